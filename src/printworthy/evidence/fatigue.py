"""Life under repeated load of one size: S-N curve of a coupon set, survival, mean stress.

Sources: O. H. Basquin 1910 (the straight line in logarithms); ASTM E739 (its statistics without run-outs; asks for 6 to
12 coupons); J. Goodman 1899; K. N. Smith, P. Watson and T. H. Topper 1970 as written by K. Walker 1970; from memory.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import nctdtrit, ndtri

from printworthy.errors import CardError
from printworthy.evidence.coupons import log_deviation
from printworthy.evidence.regression import censored_line
from printworthy.inputs import FatigueSet
from printworthy.results import SNCurve

Array = NDArray[np.float64]
SWT = 0.5  # Walker's exponent that gives the parameter of Smith, Watson and Topper
FREEDOM = 2  # intercept and slope are taken from the same failures as the scatter


def sn_curve(tests: FatigueSet) -> SNCurve:
    """The S-N curve of a coupon set: log10(cycles) on a straight line over log10(amplitude), run-outs kept as such.

    The squared scatter is multiplied by f/(f - 2), f failures: exact without run-outs. CardError if no curve can be
    told (fewer than three failures, one level, no scatter) or if life grows with stress.
    """
    x, y = np.log10(tests.amplitudes), np.log10(tests.cycles)
    try:
        line = censored_line(x, y, tests.run_outs)
    except CardError as error:
        do = "Break at least three coupons, on two or more stress levels; 6 to 12 are usual"
        raise CardError(f'fatigue set "{tests.name}": {error.what}', where=tests.place, do=do) from error
    if line.slope >= 0:
        what = f'fatigue set "{tests.name}": life grows with stress'
        raise CardError(what, where=tests.place, do="Check that stress and cycles are not exchanged; test more levels")
    deviation = line.deviation * math.sqrt(line.failures / (line.failures - FREEDOM))
    return SNCurve(
        tests.name, tests.material, tests.direction, tests.ratio, line.intercept, line.slope, deviation, line.leverage,
        len(tests.cycles), line.failures, min(tests.amplitudes), max(tests.amplitudes), max(tests.cycles),
        tests.source, tests.invented,
    )  # fmt: skip


def survival_life(
    curve: SNCurve, amplitude: ArrayLike, *, p: float, confidence: float, minimum_cv: float = 0.0
) -> Array:
    """Cycles (...) that a share `p` of coupons survives at `amplitude` (...) [MPa], with `confidence`.

    10^(line - k s), k = sqrt(h) t'(confidence; f - 2, z_p/sqrt(h)) with the leverage h of the place and the non-central
    t quantile: the exact tolerance limit of a regression line (Owen 1968, from memory) without run-outs; with run-outs
    the counts of failures stand for the sample, which simulation found to keep its promise (docs/method/fatigue.md).
    `minimum_cv` [-] is the least scatter of strength believed: lives scatter by its multiple along the curve.
    """
    x = np.log10(np.asarray(amplitude, dtype=float))
    h = curve.leverage[0] + 2 * curve.leverage[1] * x + curve.leverage[2] * x * x
    root = np.sqrt(np.maximum(h, 1e-12))
    k = root * nctdtrit(curve.failures - FREEDOM, ndtri(p) / root, confidence)
    least = -curve.slope * log_deviation(minimum_cv) / math.log(10)
    return np.asarray(10 ** (curve.intercept + curve.slope * x - k * max(curve.deviation, least)))


def basquin_life(amplitude: ArrayLike, coefficient: float, exponent: float) -> Array:
    """Cycles (...) at `amplitude` (...) from amplitude = coefficient N^exponent, both stresses in [MPa].

    Constants given for reversals 2N give reversals.
    """
    return np.asarray((np.asarray(amplitude, dtype=float) / coefficient) ** (1 / exponent))


def goodman(amplitude: ArrayLike, mean: ArrayLike, strength: float) -> Array:
    """Fully reversed amplitude (...) [MPa] as damaging as `amplitude` about `mean` (...) [MPa]: a/(1 - m/strength).

    A mean in compression is given no credit; a mean at or above the strength gives infinity. With the coefficient of a
    fatigue curve as `strength` this is Morrow's form.
    """
    a, m = np.asarray(amplitude, dtype=float), np.maximum(np.asarray(mean, dtype=float), 0.0)
    left = 1 - m / strength
    return np.asarray(np.where(left > 0, a / np.where(left > 0, left, 1.0), np.inf))


def gerber(amplitude: ArrayLike, mean: ArrayLike, strength: float) -> Array:
    """Fully reversed amplitude (...) [MPa] by Gerber's parabola, a/(1 - (m/strength)^2), W. Gerber 1874 (from memory).

    For comparison: it lies below Goodman's, was drawn through metals, and decides nothing here. Means as in `goodman`.
    """
    a, m = np.asarray(amplitude, dtype=float), np.maximum(np.asarray(mean, dtype=float), 0.0)
    left = 1 - (m / strength) ** 2
    return np.asarray(np.where(left > 0, a / np.where(left > 0, left, 1.0), np.inf))


def walker(amplitude: ArrayLike, mean: ArrayLike, exponent: float = SWT) -> Array:
    """Fully reversed amplitude (...) [MPa] as damaging as `amplitude` about `mean` (...) [MPa]: max^(1-g) a^g.

    g = 0.5 is Smith, Watson and Topper's form; the same as max ((1 - R)/2)^g. Nothing opens, no damage.
    """
    a = np.asarray(amplitude, dtype=float)
    return np.asarray(np.maximum(a + np.asarray(mean, dtype=float), 0.0) ** (1 - exponent) * a**exponent)


def as_tested(amplitude: ArrayLike, mean: ArrayLike, ratio: float, strength: float) -> tuple[Array, Array]:
    """Amplitudes (...) [MPa] that a test at stress ratio `ratio` must have to damage as `amplitude` about `mean` does,
    by Goodman's line and by Smith, Watson and Topper; both give the amplitude itself for cycles of the test's ratio."""
    slant = max((1 + ratio) / (1 - ratio), 0.0)  # mean over amplitude of the test
    reversed_ = goodman(amplitude, mean, strength)
    finite = np.isfinite(reversed_)
    value = np.where(finite, reversed_, 1.0)
    line = np.where(finite, value / (1 + slant * value / strength), np.inf)
    return line, walker(amplitude, mean) * math.sqrt((1 - ratio) / 2)
