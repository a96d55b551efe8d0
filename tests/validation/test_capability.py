"""Process capability: NIST/SEMATECH e-Handbook of Statistical Methods, section 6.1.6, its example, from memory."""

from __future__ import annotations

import numpy as np
import pytest
from compare import Source, compare
from scipy import stats

from printworthy.evidence.capability import capability

SOURCE = Source("NIST/SEMATECH e-Handbook 6.1.6", "limits 8 and 20, mean 16, standard deviation 2", "from memory")
NORMAL = Source("Normal process, centred", "share outside 2 Phi(-3 Cp)", "derived")


def values(mean: float, deviation: float) -> np.ndarray:
    """Seven values of exactly this mean and standard deviation."""
    x = np.array([-3.0, -2, -1, 0, 1, 2, 3])
    return mean + deviation * x / x.std(ddof=1)


def test_example() -> None:
    found = capability(values(16.0, 2.0), 8.0, 20.0)
    compare(found.cp, 1.0, rel=1e-9, source=SOURCE, quantity="Cp")
    compare(found.cpk, 0.6667, abs=1e-4, source=SOURCE, quantity="Cpk")
    compare(found.outside, 0.022782, abs=1e-6, source=SOURCE, quantity="share outside")


@pytest.mark.parametrize(("cp", "ppm"), [(1.0, 2699.8), (1.33, 66.07), (4 / 3, 63.34), (1.67, 0.544), (5 / 3, 0.573)])
def test_fallout(cp: float, ppm: float) -> None:
    found = capability(values(0.0, 1 / (3 * cp)), -1.0, 1.0)
    compare(1e6 * found.outside, ppm, rel=1e-3, source=NORMAL, quantity=f"of a million outside at Cp {cp:.4f}")


def test_lower_limits_keep_their_promise() -> None:
    """Of 4000 sets of 30 from a process of Cp 1.33 and Cpk 1.1, about 95 in 100 lower limits lie below the truth."""
    rng = np.random.default_rng(60616)
    s, shift = 1 / (3 * 1.33), 1 - 1.1 / 1.33
    kept = [(c.cp_low <= 1.33, c.cpk_low <= 1.1) for c in
            (capability(shift + s * rng.standard_normal(30), -1.0, 1.0) for _ in range(4000))]  # fmt: skip
    cp, cpk = np.mean(kept, axis=0)
    luck = 4 * float(stats.binom.std(4000, 0.95)) / 4000
    assert cp == pytest.approx(0.95, abs=luck)
    assert cpk == pytest.approx(0.95, abs=luck + 0.01)  # an approximation
