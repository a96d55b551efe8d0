"""Acceptance factors of a new batch.

M. G. Vangel, Lot acceptance and compliance testing using the sample mean and an extremum, Technometrics 44 (2002) 242,
table as carried in cmstatr (inst/extdata/k1.vangel.csv, k2.vangel.csv).
"""

from __future__ import annotations

import numpy as np
import pytest
from compare import Source, compare

from printworthy.evidence.equivalence import acceptance_factors

SOURCE = Source("Vangel 2002, acceptance by mean and minimum", "tables of k1 and k2", "found")
K1 = {3: 2.3239, 4: 2.4420, 5: 2.5286, 6: 2.5967, 7: 2.6527, 8: 2.7000, 9: 2.7411, 10: 2.7772}
K2 = {3: 1.0868, 4: 0.9486, 5: 0.8525, 6: 0.7808, 7: 0.7246, 8: 0.6790, 9: 0.6411, 10: 0.6089}
STRICT = {5: (3.0715, 1.1425), 6: (3.1283, 1.0443), 8: (3.2153, 0.9059), 10: (3.2807, 0.8110)}
WHY = "the table comes from an approximation of the joint distribution, best for many coupons"


def test_factors() -> None:
    for n in K1:
        k1, k2 = acceptance_factors(n, 0.05)
        compare(k1, K1[n], rel=6e-4, source=SOURCE, quantity=f"k1 at 5 %, n = {n}", why=WHY)
        compare(k2, K2[n], rel=1e-3, source=SOURCE, quantity=f"k2 at 5 %, n = {n}", why=WHY)
    for n, (first, second) in STRICT.items():
        k1, k2 = acceptance_factors(n, 0.01)
        compare(k1, first, rel=2e-4, source=SOURCE, quantity=f"k1 at 1 %, n = {n}", why=WHY)
        compare(k2, second, rel=2e-4, source=SOURCE, quantity=f"k2 at 1 %, n = {n}", why=WHY)


@pytest.mark.parametrize(("n", "level"), [(2, 0.25), (3, 0.05), (9, 0.05)])
def test_sound_batches_are_refused_as_often_as_said(n: int, level: float) -> None:
    k1, k2 = acceptance_factors(n, level)
    x = np.random.default_rng(40961).standard_normal((2_000_000, n))
    refused = ((x.min(axis=1) < -k1) | (x.mean(axis=1) < -k2)).mean()
    assert refused == pytest.approx(level, abs=4 * (level * (1 - level) / 2e6) ** 0.5)
