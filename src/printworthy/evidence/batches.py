"""Whether batches are one population: k-sample Anderson-Darling, CMH-17-1G 8.3.2.2.

Source: F. W. Scholz and M. A. Stephens, K-sample Anderson-Darling tests, J. Amer. Statist. Assoc. 82 (1987) 918-924,
equations 6 and 7 and Table 1 (percentage points from memory).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from printworthy.errors import CardError
from printworthy.evidence.coupons import alike, batches_differ

LEVEL = 0.025  # of the k-sample test; CMH-17-1G 8.3.2.2
# z, b1, b2 of the critical value z + b1 / sqrt(m) + b2 / m with m = k - 1 samples less one, by level.
POINTS = {
    0.25: (0.675, -0.245, -0.105),
    0.10: (1.281, 0.250, -0.305),
    0.05: (1.645, 0.678, -0.362),
    0.025: (1.960, 1.149, -0.391),
    0.01: (2.326, 1.822, -0.396),
    0.005: (2.573, 2.364, -0.345),
    0.001: (3.085, 3.615, -0.154),
}


@dataclass(frozen=True, slots=True)
class KSample:
    """k-sample Anderson-Darling: `statistic` A2kN, its deviation, its `standard` form, and the critical one [-];
    `significance`: how often samples of one population differ as much, 0.001 and 0.25 where less or more often."""

    statistic: float
    deviation: float
    standard: float
    critical: float
    significance: float

    @property
    def differ(self) -> bool:
        """Whether the samples are told apart at the level asked."""
        return self.standard > self.critical


def k_sample(samples: Sequence[Sequence[float]], level: float = LEVEL, *, midranks: bool = False) -> KSample:
    """k-sample Anderson-Darling statistic of samples (k, n_i), `level` one of `POINTS`.

    `midranks` counts ties half (equation 7); without it equation 6. CardError for fewer than two samples or for values
    that are all equal.
    """
    groups = [np.sort(np.asarray(s, dtype=float)) for s in samples if len(s)]
    pooled = np.sort(np.concatenate(groups)) if groups else np.array([])
    distinct, counts = np.unique(pooled, return_counts=True)
    if len(groups) < 2 or len(distinct) < 2:
        raise CardError("samples cannot be compared", do="Two samples or more, with values that differ, are needed")
    k, total = len(groups), len(pooled)
    inner = 0.0
    for x in groups:
        left, right = np.searchsorted(x, distinct, "left"), np.searchsorted(x, distinct, "right")
        below = np.searchsorted(pooled, distinct, "left") + (counts / 2 if midranks else counts)
        mine = (left + right) / 2 if midranks else right
        away = below * (total - below) - (total * counts / 4 if midranks else 0.0)
        kept = away > 0
        squares = counts * (total * mine - len(x) * below) ** 2 / total
        inner += float((squares[kept] / away[kept]).sum()) / len(x)
    statistic = inner * ((total - 1) / total if midranks else 1.0)
    deviation = _deviation([len(x) for x in groups])
    m = k - 1
    standard = (statistic - m) / deviation
    limits = {share: z + b1 / math.sqrt(m) + b2 / m for share, (z, b1, b2) in POINTS.items()}
    return KSample(statistic, deviation, standard, limits[level], _significance(standard, limits))


def _significance(standard: float, limits: Mapping[float, float]) -> float:
    """Level at which a standard statistic lies, its logarithm a parabola through the critical values `limits` by level,
    as Scholz and Stephens 1987 advise (section 5, from memory); not beyond the ends of the table."""
    levels, places = np.log(list(limits)), list(limits.values())
    inside = min(max(standard, places[0]), places[-1])
    chance = math.exp(float(np.polyval(np.polyfit(places, levels, 2), inside)))
    return chance if places[0] < standard < places[-1] else math.exp(levels[0 if standard <= places[0] else -1])


def _deviation(sizes: Sequence[int]) -> float:
    """Standard deviation of A2kN when all samples are one population (Scholz and Stephens 1987, equation 4)."""
    n, k = sum(sizes), len(sizes)
    inverse = sum(1 / size for size in sizes)
    h = sum(1 / i for i in range(1, n))
    g = sum(1 / ((n - i) * j) for i in range(1, n - 1) for j in range(i + 1, n))
    a = (4 * g - 6) * (k - 1) + (10 - 6 * g) * inverse
    b = (2 * g - 4) * k**2 + 8 * h * k + (2 * g - 14 * h - 4) * inverse - 8 * h + 4 * g - 6
    c = (6 * h + 2 * g - 2) * k**2 + (4 * h - 4 * g + 6) * k + (2 * h - 6) * inverse + 4 * h
    d = (2 * h + 6) * k**2 - 4 * h * k
    variance = (a * n**3 + b * n**2 + c * n + d) / ((n - 1) * (n - 2) * (n - 3))
    return math.sqrt(variance)


def apart(batches: Sequence[Sequence[float]]) -> str:
    """Why batches (k, n_i) are not one population, in words, or "" where neither test tells them apart.

    Two questions: the means (F test at 5 %), and everything else, such as scatter (k-sample Anderson-Darling at 2.5 %).
    Batches of one coupon cannot be tested.
    """
    several = [b for b in batches if len(b) > 1]
    if batches_differ(batches):
        return "their means differ by the F test at 5 %"
    if len(several) < 2 or alike([x for b in several for x in b]):
        return ""
    found = k_sample(several)
    if found.differ:
        return f"the k-sample Anderson-Darling test tells them apart ({found.standard:.2f}, limit {found.critical:.2f})"
    return ""
