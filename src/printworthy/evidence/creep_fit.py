"""Findley's m and n from creep tests of one's own: a coupon under a steady load, its length read over time.

strain(t) = strain(0) (1 + m t^n), t in hours (W. N. Findley, J. S. Lai, K. Onaran, Creep and Relaxation of Nonlinear
Viscoelastic Materials, 1976). Only the growth counts, so that any length that grows with strain serves.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import optimize

from printworthy.errors import CardError
from printworthy.evidence.creep import REACH

FEWEST = 8  # readings
SHORTEST = 1.0  # [h] of test: in less, handling and slack are most of what is read
STEEP = 0.9  # exponent from which the growth is flow, or the coupon near breaking, and not Findley's
LOOSE = 0.1  # residual over growth above which the law does not describe the readings
SURE = 2.0  # standard errors on each side of a single test
ENDS = ((0.0, 0.0, 0.01), (np.inf, 1e3, 0.99))  # of strain(0), m, n


@dataclass(frozen=True, slots=True)
class Findley:
    """m and n of one test with their standard errors [-], its length [h], residual over the growth of strain [-]."""

    m: float
    n: float
    error_m: float
    error_n: float
    hours: float
    residual: float


@dataclass(frozen=True, slots=True)
class CreepFigures:
    """m and n as (value, low, high) for a card, over how many tests, the shortest of `hours` [h]; believed to `reach`
    [h]; `cautions` in words."""

    m: tuple[float, float, float]
    n: tuple[float, float, float]
    tests: int
    hours: float
    reach: float
    cautions: tuple[str, ...]


def fitted(hours: ArrayLike, lengths: ArrayLike) -> Findley:
    """Least squares of Findley's law through readings (k,) at `hours` (k,) [h]; `lengths` in any unit.

    CardError for fewer than eight readings, less than an hour, no growth, or a growth that is not Findley's.
    """
    t, y = np.asarray(hours, dtype=float), np.asarray(lengths, dtype=float)
    if len(t) < FEWEST or t.max() < SHORTEST:
        what = f"{len(t)} readings over {t.max() if len(t) else 0:.3g} h are too few"
        raise CardError(what, do=f"Read {FEWEST} times or more over hours, closer together at the start")
    if np.any(np.diff(t) <= 0) or t[0] < 0 or not np.all(y > 0):
        raise CardError("times do not rise from 0, or a reading is not above zero", do="Count from when the load came")
    growth = float(y[-1] - y[0])
    if growth <= 0.0:
        raise CardError("nothing grows", do="Check the gauge: without creep state creep_amplitude = 0")
    scale = y[0]
    start = (1.0, max(growth / scale / t[-1] ** 0.2, 1e-3), 0.2)
    found, covariance = optimize.curve_fit(_law, t, y / scale, start, bounds=ENDS, max_nfev=5000)
    residual = float(np.sqrt(np.mean((_law(t, *found) - y / scale) ** 2)) / (growth / scale))
    if found[2] >= STEEP:
        what = f"strain grows as time to the power {found[2]:.2f}: flow, or a coupon near breaking"
        raise CardError(what, do="Test at a lower stress")
    if residual > LOOSE:
        what = f"readings lie {100 * residual:.0f} % of their growth off Findley's law"
        raise CardError(what, do="Look for a slipping grip, a step in the load, or warmth")
    _, m_error, n_error = np.sqrt(np.diag(covariance))
    return Findley(float(found[1]), float(found[2]), float(m_error), float(n_error), float(t[-1]), residual)


def _law(t: np.ndarray, start: float, m: float, n: float) -> np.ndarray:
    return np.asarray(start * (1 + m * t**n))


def figures(tests: Sequence[Findley]) -> CreepFigures:
    """What a card may state after `tests` alike: means, and the range over the tests, or of a single one its errors."""
    if len(tests) == 1:
        (one,) = tests
        m, n = ((v, max(v - SURE * e, 0.0), v + SURE * e) for v, e in ((one.m, one.error_m), (one.n, one.error_n)))
        n = (n[0], max(n[1], 0.01), min(n[2], 0.99))
    else:
        m, n = (
            (float(np.mean(v)), min(v), max(v)) for v in ([t.m for t in tests], [t.n for t in tests])
        )  # fmt: skip
    shortest = min(t.hours for t in tests)
    reach = REACH * shortest
    cautions = [f"believed for ten times the shortest test, {reach:.4g} h (common practice, no source), not beyond",
                "holds for the stress, direction of the layers, moisture and temperature of the test"]  # fmt: skip
    if len(tests) < 3:
        cautions.append(
            f"{len(tests)} test{'s' if len(tests) > 1 else ''}: how pieces scatter is not known; creep three"
        )
    return CreepFigures(m, n, len(tests), shortest, reach, tuple(cautions))
