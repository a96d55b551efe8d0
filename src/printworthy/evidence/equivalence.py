"""Whether a new batch, machine or setting gives what was qualified.

Sources: M. G. Vangel, Lot acceptance and compliance testing using the sample mean and an extremum, Technometrics 44
(2002) 242; CMH-17-1G 8.4.1 (minimum and mean), 8.4.2 (change of the mean), 8.4.4 (modified coefficient of variation).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy import fft, optimize
from scipy.special import log_ndtr, ndtr, ndtri, stdtrit

from printworthy.errors import CardError

STEP = 2e-3  # [-] cell of the convolution; its error is of second order
LEVEL = 0.05
WIDEST = 9.0  # [-] upper end of the truncated normal density


@dataclass(frozen=True, slots=True)
class Acceptance:
    """A batch is accepted if its lowest value and its mean reach these limits [MPa]."""

    lowest_allowed: float
    mean_allowed: float
    lowest: float
    mean: float

    @property
    def accepted(self) -> bool:
        """Whether both limits are reached."""
        return self.lowest >= self.lowest_allowed and self.mean >= self.mean_allowed


@dataclass(frozen=True, slots=True)
class MeanChange:
    """Two-sided test of a changed mean: `statistic` t against `critical` [-], `low` to `high` the band that passes."""

    statistic: float
    critical: float
    low: float
    high: float

    @property
    def changed(self) -> bool:
        """Whether the mean has changed."""
        return abs(self.statistic) > self.critical


def modified_cv(cv: float) -> float:
    """Coefficient of variation [-] as CMH-17-1G 8.4.4 raises it: 6 % below 4 %, cv/2 + 4 % to 8 %, then itself."""
    return 0.06 if cv < 0.04 else max(cv / 2 + 0.04, cv) if cv < 0.08 else cv


@cache
def acceptance_factors(n: int, level: float = LEVEL) -> tuple[float, float]:
    """k1, k2 [-]: accept n values if min >= mean - k1 s and average >= mean - k2 s of the qualified population.

    Both tests alone reject equally often, together a share `level` of sound batches (Vangel 2002). The joint
    probability is the n-fold convolution of the normal density cut off at -k1, done on cells. 2 <= n <= 50.
    """
    if not 2 <= n <= 50 or not 0 < level < 1:
        raise CardError(f"no acceptance factors for n = {n}, level = {level:g}", do="Use 2 to 50 coupons, level 0 to 1")

    def mean_factor(k1: float) -> float:
        alone = -math.expm1(n * float(log_ndtr(k1)))
        return -float(ndtri(alone)) / math.sqrt(n)

    def rejected(k1: float) -> float:
        return _rejected(n, k1, mean_factor(k1)) - level

    # the share rejected by one test alone lies between level / 2 and level
    ends = [-float(ndtri(-math.expm1(math.log1p(-share) / n))) for share in (level, level / 2)]
    k1 = float(optimize.brentq(rejected, ends[0], ends[1], xtol=1e-7))
    return k1, mean_factor(k1)


def _rejected(n: int, k1: float, k2: float) -> float:
    """Share of sound batches of n whose minimum lies below -k1 or whose mean lies below -k2."""
    cells = math.ceil((WIDEST + k1) / STEP)
    edges = -k1 + STEP * np.arange(cells + 1)
    mass = np.diff(ndtr(edges))
    size = n * (cells - 1) + 1
    padded = fft.next_fast_len(size, real=True)
    total = fft.irfft(fft.rfft(mass, padded) ** n, padded)[:size]  # n-fold convolution
    # sum of n cell centres: the first is n (-k1 + STEP / 2), then one STEP each
    places = n * (-k1 + STEP / 2) + STEP * np.arange(size)
    cumulated = np.cumsum(total)
    # each sum stands for a cell of one STEP around it
    below = float(np.interp(-n * k2, places + STEP / 2, cumulated))
    return 1.0 - (float(cumulated[-1]) - below)


def acceptance(
    mean: float, deviation: float, sample: Sequence[float], level: float = LEVEL, *, modified: bool = False
) -> Acceptance:
    """Limits for a new batch `sample` (n,) against a qualified population of `mean`, `deviation` [MPa].

    `modified`: the deviation is raised by `modified_cv`, which covers the scatter a single batch does not show.
    """
    k1, k2 = acceptance_factors(len(sample), level)
    s = mean * modified_cv(deviation / mean) if modified else deviation
    x = np.asarray(sample, dtype=float)
    return Acceptance(mean - k1 * s, mean - k2 * s, float(x.min()), float(x.mean()))


def mean_change(
    qualified: tuple[int, float, float], new: tuple[int, float, float], level: float = LEVEL, *, modified: bool = False
) -> MeanChange:
    """Pooled two-sided t test of two samples given as (n, mean, standard deviation), CMH-17-1G 8.4.2.

    `modified` raises the deviation of the qualified sample only.
    """
    (n1, m1, s1), (n2, m2, s2) = qualified, new
    s1 = m1 * modified_cv(s1 / m1) if modified else s1
    freedom = n1 + n2 - 2
    pooled = math.sqrt(((n1 - 1) * s1**2 + (n2 - 1) * s2**2) / freedom)
    error = pooled * math.sqrt(1 / n1 + 1 / n2)
    critical = float(stdtrit(freedom, 1 - level / 2))
    return MeanChange((m2 - m1) / error, critical, m1 - critical * error, m1 + critical * error)
