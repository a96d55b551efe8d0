"""Coupon statistics: one-sided lower tolerance limits, one batch or several.

A lower limit for a share p of all parts with a stated confidence is what coupons can promise; the mean is not.
Sources: CMH-17-1G Vol. 1 chapter 8 (limits, batches; published factors and worked sets via the tests of an open
statistics package), and the non-central t distribution for the exact factor.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.special import fdtri, nctdtrit, ndtri

from printworthy.errors import CardError

Distribution = Literal["lognormal", "normal"]
SMALLEST = 3  # below three coupons no limit is given: the factor for two is 20.6 and one coupon has no scatter at all
ROUNDING = 1e-9  # of the largest: values that differ by less are one value written or computed in two ways
BATCH_LEVEL = 0.05  # level of the F test on batch means; CMH-17-1G 8.3.11.2 uses the same


@dataclass(frozen=True, slots=True)
class LowerLimit:
    """A lower limit [MPa] and what it was made of; `cv` measured, `cv_used` after the stated minimum [-].

    `usable` False: the limit is not positive, so it says only that `n` coupons are too few for this scatter.
    """

    value: float
    mean: float
    n: int
    k: float
    cv: float
    cv_used: float
    distribution: Distribution
    usable: bool
    words: str


@dataclass(frozen=True, slots=True)
class Spread:
    """One-way analysis of variance: mean squares between and within batches, effective batch size [values' unit]."""

    between: float
    within: float
    size: float


def tolerance_factor(n: int, p: float, confidence: float) -> float:
    """Factor k [-] of the lower limit mean - k s, exact for normal values: t'(confidence; n-1, z_p sqrt(n)) / sqrt(n).

    Non-central t quantile; the published table (CMH-17-1G, kB and kA) is rounded to about 0.002. Needs n >= 2.
    """
    if n < 2 or not 0 < p < 1 or not 0 < confidence < 1:
        raise CardError(
            f"no tolerance factor for n = {n}, p = {p:g}, confidence = {confidence:g}",
            do="Use n >= 2 and shares between 0 and 1",
        )
    root = math.sqrt(n)
    return float(nctdtrit(n - 1, ndtri(p) * root, confidence)) / root


def alike(values: Sequence[float]) -> bool:
    """Whether values (n,) differ by rounding alone, so that they show no scatter."""
    return float(np.ptp(values)) <= ROUNDING * max(abs(v) for v in values)


def log_deviation(cv: float) -> float:
    """Standard deviation of ln x [-] of lognormal values with coefficient of variation `cv` [-]: sqrt(ln(1 + cv^2))."""
    return math.sqrt(math.log1p(cv * cv))


def lower_limit(
    values: Sequence[float],
    *,
    p: float,
    confidence: float,
    minimum_cv: float = 0.0,
    distribution: Distribution = "lognormal",
) -> LowerLimit:
    """Lower limit of strengths (n,) [MPa] for a share `p` of all parts with `confidence`.

    `minimum_cv` [-] is the least scatter believed, applied on the log scale for "lognormal" (the idea of the modified
    coefficient of variation, CMH-17-1G 8.4.4). CardError for fewer than three values or a value that is not positive.
    """
    x = _checked(values)
    mean, cv = float(x.mean()), float(x.std(ddof=1) / x.mean())
    k = tolerance_factor(len(x), p, confidence)
    if distribution == "lognormal":
        deviation = max(float(np.log(x).std(ddof=1)), log_deviation(minimum_cv))
        value = math.exp(float(np.log(x).mean()) - k * deviation)
        used = math.sqrt(math.expm1(deviation**2))
    else:
        used = max(cv, minimum_cv)
        value = mean * (1 - k * used)
    usable = value > 0
    words = f"{distribution}, k = {k:.3f}, scatter {100 * used:.1f} %"
    if used > cv * (1 + 1e-9) and minimum_cv > cv:
        words += f" (measured {100 * cv:.1f} %, raised to the stated minimum)"
    if not usable:
        words += f"; the limit is not positive: not usable with n = {len(x)}"
    return LowerLimit(value, mean, len(x), k, cv, used, distribution, usable, words)


def spread(batches: Sequence[Sequence[float]]) -> Spread:
    """Mean squares between and within batches and the effective batch size n' (CMH-17-1G 8.3.11.2.2).

    n' = (N - sum n_i^2 / N) / (k - 1), which is 6.65 for the worked set of 7, 7 and 6.
    CardError for one batch, or when no batch holds two values.
    """
    groups = [np.asarray(b, dtype=float) for b in batches]
    count, total = len(groups), sum(len(g) for g in groups)
    if count < 2 or total <= count:
        raise CardError(
            "batches cannot be compared", do="At least two batches, one of them with two coupons, are needed"
        )
    grand = np.concatenate(groups).mean()
    between = sum(len(g) * (g.mean() - grand) ** 2 for g in groups) / (count - 1)
    within = sum(((g - g.mean()) ** 2).sum() for g in groups) / (total - count)
    star = sum(len(g) ** 2 for g in groups) / total
    return Spread(float(between), float(within), float((total - star) / (count - 1)))


def batches_differ(batches: Sequence[Sequence[float]], level: float = BATCH_LEVEL) -> bool:
    """True if the batch means differ by the F test at `level`. Scatter that differs between batches is not tested.

    Batches of one coupon each cannot be tested and count as one batch.
    """
    count, total = len(batches), sum(len(b) for b in batches)
    if count < 2 or total <= count or alike([x for b in batches for x in b]):
        return False
    s = spread(batches)
    return s.between > s.within * float(fdtri(count - 1, total - count, 1 - level))


def between_batch_limit(
    batches: Sequence[Sequence[float]], *, p: float, confidence: float, minimum_deviation: float = 0.0
) -> float:
    """Lower limit [values' unit] when batches differ: one-way random effects, CMH-17-1G 8.3.11.2.2.

    mean - T S with S^2 = MSB/n' + (1 - 1/n') MSE, T between k(N) (batches agree) and k(number of batches).
    Meant for three batches or more: with two, k(2) = 20.6 leaves nothing.
    """
    s = spread(batches)
    values = np.concatenate([np.asarray(b, dtype=float) for b in batches])
    alike, apart = tolerance_factor(len(values), p, confidence), tolerance_factor(len(batches), p, confidence)
    if s.between <= s.within:
        factor = alike
    else:
        w = math.sqrt(s.between / (s.between + (s.size - 1) * s.within))
        root = 1 / math.sqrt(s.size)
        factor = (alike - apart * root + (apart - alike) * w) / (1 - root)
    deviation = math.sqrt(s.between / s.size + (s.size - 1) / s.size * s.within)
    return float(values.mean()) - factor * max(deviation, minimum_deviation)


def _checked(values: Sequence[float]) -> np.ndarray:
    x = np.asarray(values, dtype=float)
    if len(x) < SMALLEST:
        raise CardError(f"{len(x)} coupons give no lower limit", do=f"Break at least {SMALLEST}, better 5")
    if not np.all(np.isfinite(x)) or np.any(x <= 0):
        raise CardError("a coupon strength is not a positive number", do="Correct the coupon table")
    return x
