"""Branches of the handbook's flow that its worked cases do not reach; those are in validation/test_cmh17_flow.py.

The order of the questions is that of CMH-17-1G 8.3.1 (from memory); samples follow the distribution in question.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from printworthy.evidence import basis
from printworthy.evidence.limits import joined
from printworthy.evidence.recommend import levene, recommended

BATCHES = [
    [99.0239966, 103.341238, 100.30213, 98.4634133, 92.264728, 103.487693, 113.734763],
    [108.172659, 108.426732, 116.260375, 121.04961, 111.223082, 104.574843, 103.222552],
    [99.3918538, 87.3421658, 102.730741, 96.3694916, 99.5946088, 97.0712407],
]  # CMH-17-1G 8.3.11.1.1, ETW2


def drawn(kind: str, n: int) -> list[float]:
    """Quantiles of a distribution at even shares: a sample that its own family must accept and the others may not."""
    share = (np.arange(n) + 0.5) / n
    if kind == "Weibull":
        return list(stats.weibull_min.ppf(share, 0.9, scale=50))
    return list(stats.norm.ppf(share, 60, 4) if kind == "normal" else np.exp(stats.norm.ppf(share, 3, 0.9)))


@pytest.mark.parametrize("kind", ["normal", "Weibull", "lognormal"])
def test_the_family_that_is_left(kind: str) -> None:
    found = recommended([drawn(kind, 200)])
    assert found is not None
    assert found.method == kind
    limits = {"normal": basis.normal_limit, "Weibull": basis.weibull_limit, "lognormal": basis.lognormal_limit}
    assert found.b == limits[kind](drawn(kind, 200), 0.90)


def test_a_large_sample_of_no_family_takes_an_order_statistic() -> None:
    two_humps = [*np.linspace(10, 11, 40), *np.linspace(90, 91, 40)]
    found = recommended([[float(x) for x in two_humps]])
    assert found is not None
    # CMH-17-1G Table 8.5.12: rank 4 at n = 76 to 88 (binomial: 1 - B(3; 80, 0.1) = 0.965, 1 - B(4; 80, 0.1) = 0.912)
    assert found.b == pytest.approx(sorted(two_humps)[3])
    assert "order" not in found.method
    assert "value number 4" in found.method


def test_two_batches_that_differ_give_none() -> None:
    found = recommended([BATCHES[1], [x - 40 for x in BATCHES[0]]])
    assert found is not None
    assert found.b is None
    assert "third batch" in found.cautions[0]


def test_unequal_variances_are_cautioned() -> None:
    wide = [[100, 101, 102, 103, 104], [60, 90, 130, 170, 200], [150, 151, 152, 153, 154]]
    found, test = recommended(wide), levene(wide)
    assert test is not None
    assert test.differ
    assert found is not None
    assert any("equal variances" in c for c in found.cautions)


@pytest.mark.parametrize("values", [[50.0, 51.0], [50.0, 50.0, 50.0]])
def test_too_little_gives_nothing(values: list[float]) -> None:
    assert recommended([values]) is None


def test_four_values_cannot_be_tested() -> None:
    found = recommended([[50.0, 51.0, 52.0, 53.0]])
    assert found is not None
    assert "no distribution can be tested" in found.path[1]
    assert any("an estimate" in c for c in found.cautions)


def test_decisions_never_exceed_the_recommended_basis_of_a_full_sample() -> None:
    found = joined(BATCHES, 0.90, 0.95, 0.06)
    assert found.value == pytest.approx(63.2, abs=0.05)  # CMH-17-1G 8.3.11.2.2
    assert "recommended" in found.words
