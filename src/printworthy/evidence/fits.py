"""Distributions fitted to coupon strengths, and how well they fit (Anderson-Darling, observed significance level).

Sources: MIL-HDBK-17-1F / CMH-17-1G Vol. 1, 8.3.4 (statistics and significance levels; formulas from memory, confirmed
by the published worked set, see tests/validation/test_cmh17.py); D'Agostino and Stephens 1986; Lawless 1982.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy import optimize
from scipy.special import log_ndtr, ndtr

from printworthy.evidence.coupons import alike

Family = Literal["normal", "lognormal", "Weibull"]
FEWEST = 5  # below, the size correction of the normal statistic is not positive or means nothing
REJECTED = 0.05  # observed significance level below which a family is rejected, CMH-17-1G 8.3.4


@dataclass(frozen=True, slots=True)
class Fit:
    """One family fitted to strengths: `place` and `scale` are mean and standard deviation [MPa] (normal), those of ln x
    [-] (lognormal), or scale [MPa] and shape [-] (Weibull); `statistic` A2 and its `significance` [-]; `stephens`: the
    level by Stephens's correction, which fits few values better; None for Weibull."""

    family: Family
    place: float
    scale: float
    statistic: float
    significance: float
    stephens: float | None = None

    @property
    def rejected(self) -> bool:
        """Whether the family is rejected at 5 %."""
        return self.significance < REJECTED

    def share_below(self, strengths: np.ndarray) -> np.ndarray:
        """Share (n,) [-] of parts weaker than each of `strengths` (n,) [MPa]."""
        if self.family == "Weibull":
            return np.asarray(-np.expm1(-((strengths / self.place) ** self.scale)))
        x = np.log(strengths) if self.family == "lognormal" else strengths
        return np.asarray(ndtr((x - self.place) / self.scale))


def fits(values: Sequence[float]) -> tuple[Fit, ...]:
    """Normal, lognormal and Weibull fits of strengths (n,) [MPa]; none for fewer than five, or for equal values."""
    x = np.sort(np.asarray(values, dtype=float))
    if len(x) < FEWEST or x[0] <= 0 or alike(x.tolist()):
        return ()
    logs = np.log(x)
    shape, scale = weibull(x)
    hazard = (x / scale) ** shape
    return (
        _gaussian("normal", x),
        _gaussian("lognormal", logs),
        _of("Weibull", scale, shape, np.log(-np.expm1(-hazard)), -hazard),
    )


def weibull(values: Sequence[float] | np.ndarray) -> tuple[float, float]:
    """Maximum-likelihood shape [-] and scale [values' unit] of the two-parameter Weibull distribution; values (n,) > 0.

    The shape is the root of sum(x^b ln x) / sum(x^b) - 1/b - mean(ln x) (Lawless 1982, 4.1.1); n >= 2, not all equal.
    """
    logs = np.log(np.asarray(values, dtype=float))
    top = logs.max()
    near = logs - top  # x / max(x), so that no power overflows

    def slope(shape: float) -> float:
        weights = np.exp(shape * near)
        return float((weights * near).sum() / weights.sum() - 1 / shape - near.mean())

    guess = 1.2 / float(near.std())
    shape = float(optimize.brentq(slope, 1e-3 * guess, 1e3 * guess, xtol=1e-12, rtol=1e-12))
    return shape, math.exp(top) * float(np.exp(shape * near).mean()) ** (1 / shape)


def anderson_darling(below: np.ndarray, above: np.ndarray) -> float:
    """A2 [-] from ln F(x_i) and ln(1 - F(x_i)), (n,) for sorted x: -n - sum (2i - 1)/n (ln F_i + ln(1 - F_n+1-i))."""
    n = len(below)
    weights = (2 * np.arange(1, n + 1) - 1) / n
    return float(-n - (weights * (below + above[::-1])).sum())


def significance(family: Family, statistic: float, n: int) -> float:
    """Observed significance level [-] of A2 with both parameters estimated from `n` values, CMH-17-1G 8.3.4.

    Normal and lognormal: A* = (1 + 4/n - 25/n2) A2, 1 / (1 + exp(-0.48 + 0.78 ln A* + 4.58 A*)); Weibull:
    A* = (1 + 0.2/sqrt(n)) A2, 1 / (1 + exp(-0.10 + 1.24 ln A* + 4.48 A*)). Needs n >= 5.
    """
    if family == "Weibull":
        star, a, b, c = (1 + 0.2 / math.sqrt(n)) * statistic, -0.10, 1.24, 4.48
    else:
        star, a, b, c = (1 + 4 / n - 25 / n**2) * statistic, -0.48, 0.78, 4.58
    return 1 / (1 + math.exp(min(a + b * math.log(star) + c * star, 700.0)))


def stephens_level(statistic: float, n: int) -> float:
    """Level [-] of A2 of `n` >= 5 values against a normal distribution fitted to them, by M. A. Stephens.

    A* = A2 (1 + 0.75/n + 2.25/n2) and the fitted curves of R. B. D'Agostino and M. A. Stephens, Goodness-of-Fit
    Techniques, 1986, Table 4.9 (from memory). For comparison: the flow of CMH-17 rejects by `significance`, whose own
    correction shrinks A2 below n = 7 and must not be mixed with these curves.
    """
    star = statistic * (1 + 0.75 / n + 2.25 / n**2)
    if star >= 0.6:
        return math.exp(max(1.2937 - 5.709 * star + 0.0186 * star**2, -700.0)) if star < 100 else 0.0
    if star >= 0.34:
        return math.exp(0.9177 - 4.279 * star - 1.38 * star**2)
    if star >= 0.2:
        return 1 - math.exp(-8.318 + 42.796 * star - 59.938 * star**2)
    return 1 - math.exp(-13.436 + 101.14 * star - 223.73 * star**2)


def _gaussian(family: Family, x: np.ndarray) -> Fit:
    mean, deviation = float(x.mean()), float(x.std(ddof=1))
    z = (x - mean) / deviation
    return _of(family, mean, deviation, log_ndtr(z), log_ndtr(-z))


def _of(family: Family, place: float, scale: float, below: np.ndarray, above: np.ndarray) -> Fit:
    statistic = anderson_darling(below, above)
    stephens = None if family == "Weibull" else stephens_level(statistic, len(below))
    return Fit(family, place, scale, statistic, significance(family, statistic, len(below)), stephens)
