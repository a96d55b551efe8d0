"""A straight line through values of which some are only known to be exceeded, by maximum likelihood."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from printworthy.errors import CardError

Array = NDArray[np.float64]
STEPS = 200  # Newton steps; twenty are many


@dataclass(frozen=True, slots=True)
class CensoredLine:
    """y = intercept + slope x + normal scatter. `deviation`: maximum likelihood, which is low on few values.

    `leverage`: covariance of intercept and slope over deviation^2 (var intercept, covariance, var slope), from the
    observed information; the inverse of X'X where nothing is censored.
    """

    intercept: float
    slope: float
    deviation: float
    leverage: tuple[float, float, float]
    failures: int


def censored_line(x: ArrayLike, y: ArrayLike, censored: ArrayLike) -> CensoredLine:
    """Line through values y (n,) at x (n,), of which `censored` (n,) are only known to lie above y.

    Likelihood of Schmee and Hahn 1979 (Technometrics 21, 417); in the parameters intercept/s, slope/s, 1/s it has one
    maximum (Olsen 1978, Econometrica 46, 1211, from memory), found by Newton's method. CardError where no line with
    scatter can be told: fewer than three values that are known, all of them at one x, or all exactly on a line.
    """
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    open_: NDArray[np.bool_] = np.asarray(censored, dtype=bool)
    known = int((~open_).sum())
    if known < 3 or np.ptp(x[~open_]) == 0:
        raise CardError("no line can be drawn: three known values at two or more places are needed")
    centre, width = x.mean(), np.ptp(x)
    base, height = y[~open_].mean(), max(float(y[~open_].std()), 1e-12)
    design = np.column_stack([np.ones_like(x), (x - centre) / width])
    best, inverse = _maximum(design, (y - base) / height, open_)
    scale = 1 / best[2]
    line, s = best[:2] * scale, float(height * scale)
    # beta = delta / gamma: its covariance from that of (delta, gamma), over s^2
    turn = np.column_stack([np.eye(2), -line])
    spread = turn @ inverse @ turn.T
    back = np.array([[1.0, -centre / width], [0.0, 1 / width]])  # to x as it was
    intercept, slope = back @ (line * height) + np.array([base, 0.0])
    h = back @ spread @ back.T
    return CensoredLine(float(intercept), float(slope), s, (float(h[0, 0]), float(h[0, 1]), float(h[1, 1])), known)


def _maximum(design: Array, y: Array, censored: NDArray[np.bool_]) -> tuple[Array, Array]:
    """Parameters (3,) intercept/s, slope/s, 1/s at the maximum, and the inverse information (3, 3)."""
    u = np.column_stack([design, -y])
    known = ~censored

    def value(t: Array) -> float:
        r = -u @ t
        if t[2] <= 0:
            return -math.inf
        return float(known.sum() * math.log(t[2]) - 0.5 * (r[known] ** 2).sum() + special.log_ndtr(-r[censored]).sum())

    line, *_ = np.linalg.lstsq(design[known], y[known], rcond=None)
    scatter = float(np.sqrt(np.mean((y[known] - design[known] @ line) ** 2)))
    if scatter < 1e-9:
        raise CardError("no line with scatter can be drawn: the known values lie exactly on one")
    at = np.array([*line, 1.0]) / scatter
    for _ in range(STEPS):
        r = -u @ at
        pull, weight = r.copy(), np.ones_like(r)
        hazard = np.exp(-0.5 * r[censored] ** 2 - 0.5 * math.log(2 * math.pi) - special.log_ndtr(-r[censored]))
        pull[censored], weight[censored] = hazard, hazard * (hazard - r[censored])
        slope = u.T @ pull + np.array([0.0, 0.0, known.sum() / at[2]])
        information = (u * weight[:, None]).T @ u + np.diag([0.0, 0.0, known.sum() / at[2] ** 2])
        step = np.linalg.solve(information, slope)
        if float(slope @ step) < 1e-18 * known.sum():
            return at, np.asarray(np.linalg.inv(information))
        share = 1.0
        while value(at + share * step) < value(at) and share > 1e-12:
            share /= 2
        at = at + share * step
    raise CardError("no line with scatter can be drawn through these values")
