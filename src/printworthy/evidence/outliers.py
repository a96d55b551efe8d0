"""Coupons that do not belong: the maximum normed residual, CMH-17-1G 8.3.3.1 (two-sided Grubbs test)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from printworthy.evidence.coupons import alike

LEVEL = 0.05  # CMH-17-1G 8.3.3.1


@dataclass(frozen=True, slots=True)
class Residual:
    """The value farthest from the mean: its number in the set, `statistic` |x - mean| / s against `critical` [-]."""

    number: int
    value: float
    statistic: float
    critical: float

    @property
    def outlier(self) -> bool:
        """Whether the value is declared an outlier. It is never taken out here: its cause is for a person to find."""
        return self.statistic > self.critical


def critical_residual(n: int, level: float = LEVEL) -> float:
    """Critical maximum normed residual [-] of n >= 3 normal values: (n-1)/sqrt(n) sqrt(t2 / (n - 2 + t2)),
    t = t(1 - level / 2n; n - 2). CMH-17-1G Table 8.5.7 lists it for 5 %."""
    t2 = float(stdtrit(n - 2, 1 - level / (2 * n))) ** 2
    return (n - 1) / math.sqrt(n) * math.sqrt(t2 / (n - 2 + t2))


def largest_residual(values: Sequence[float], level: float = LEVEL) -> Residual | None:
    """The largest normed residual of values (n,); None for fewer than three, or for equal ones."""
    x = np.asarray(values, dtype=float)
    if len(x) < 3 or alike(values):
        return None
    away = np.abs(x - x.mean()) / x.std(ddof=1)
    at = int(away.argmax())
    return Residual(at, float(x[at]), float(away[at]), critical_residual(len(x), level))
