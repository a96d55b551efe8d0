"""How well measured pieces agree with what was predicted of them: the ratio measured / predicted, piece by piece."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, minimize_scalar
from scipy.special import chdtri, fdtrc, log_ndtr, stdtrit

CONFIDENCE = 0.95  # of the interval of the mean, both sides
WIDEST = 50.0  # [standard deviations] from the mean that an interval is looked for; further is no end


@dataclass(frozen=True, slots=True)
class Agreement:
    """Ratios of `n` pieces, `open_` of them only known to be exceeded. `mean` geometric; `scatter`: standard deviation
    of ln(ratio) [-], 0 for one piece; `low`, `high`: where the mean of all such pieces lies with 95 %; None: no end
    is known. `method` in words."""

    n: int
    open_: int
    mean: float
    scatter: float
    low: float | None
    high: float | None
    method: str

    @property
    def off(self) -> bool:
        """Whether the interval leaves 1 out: the prediction is off."""
        return (self.low is not None and self.low > 1) or (self.high is not None and self.high < 1)


def agreement(ratios: Sequence[float], exceeded: Sequence[bool] | None = None) -> Agreement:
    """Mean, scatter and interval of ratios (n,) above 0, one for each piece; `exceeded` (n,): the piece went on, its
    ratio is at least this.

    Ratios are taken as log-normal. All known: Student's t interval of the mean of ln(ratio), n - 1 degrees of freedom
    (NIST/SEMATECH e-Handbook 1.3.5.2). Some exceeded: maximum likelihood with right-censored values, interval by the
    likelihood ratio against chi-square with one degree of freedom (Meeker and Escobar 1998, ch. 8, from memory), which
    is narrow on few pieces. One piece, or fewer than two that are known, has no interval.

    Raises ValueError for no ratio, one that is not above 0, or not a number.
    """
    values = np.asarray(ratios, dtype=float)
    if not len(values) or not np.all(np.isfinite(values)) or np.any(values <= 0):
        raise ValueError("ratios above 0 are needed")
    logs = np.log(values)
    beyond: NDArray[np.bool_] = np.zeros(len(logs), bool) if exceeded is None else np.asarray(exceeded, dtype=bool)
    known = logs[~beyond]
    if len(known) < 2:
        words = "one piece: no interval" if len(logs) == 1 else "fewer than two pieces ended: no interval"
        mean = float(np.exp(logs.mean()))
        return Agreement(len(logs), int(beyond.sum()), mean, 0.0, None, None, words)
    if not beyond.any():
        return _students(logs)
    return _censored(logs, beyond)


def differ(groups: Sequence[Sequence[float]]) -> float:
    """Probability [-] of means of ln(ratio) so far apart were the groups alike: one-way analysis of variance
    (NIST/SEMATECH e-Handbook 7.4.3); 1 where fewer than two groups, or no two pieces of one group, can tell."""
    logs = [np.log(np.asarray(g, dtype=float)) for g in groups if len(g)]
    total, between = sum(len(g) for g in logs), len(logs) - 1
    within = total - len(logs)
    if between < 1 or within < 1:
        return 1.0
    grand = np.concatenate(logs).mean()
    square = sum(len(g) * (g.mean() - grand) ** 2 for g in logs) / between
    rest = sum(((g - g.mean()) ** 2).sum() for g in logs) / within
    if rest <= 0:
        return 1.0 if square <= 0 else 0.0
    return float(fdtrc(between, within, square / rest))


def _students(logs: NDArray[np.float64]) -> Agreement:
    n, middle, s = len(logs), float(logs.mean()), float(logs.std(ddof=1))
    half = float(stdtrit(n - 1, (1 + CONFIDENCE) / 2)) * s / math.sqrt(n)
    low, high = math.exp(middle - half), math.exp(middle + half)
    return Agreement(n, 0, math.exp(middle), s, low, high, f"t interval, {n - 1} degrees of freedom")


def _censored(logs: NDArray[np.float64], beyond: NDArray[np.bool_]) -> Agreement:
    unit = max(float(logs.std()), 1e-6)
    centre = float(logs.mean())
    z = (logs - centre) / unit

    def worst(mean: float, log_s: float) -> float:
        """Minus log-likelihood of the standardised values."""
        t = (z - mean) / math.exp(log_s)
        return float(np.sum(0.5 * t[~beyond] ** 2 + log_s) - np.sum(log_ndtr(-t[beyond])))

    def scale(mean: float) -> tuple[float, float]:
        found = minimize_scalar(lambda x: worst(mean, x), bounds=(-6.0, 6.0), method="bounded", options={"xatol": 1e-9})
        return float(found.fun), float(found.x)

    best = minimize_scalar(lambda m: scale(m)[0], bounds=(-WIDEST, WIDEST), method="bounded", options={"xatol": 1e-9})
    middle, least = float(best.x), float(best.fun)
    drop = float(chdtri(1, 1 - CONFIDENCE)) / 2

    def beneath(mean: float) -> float:
        return scale(mean)[0] - least - drop

    ends = [
        float(brentq(beneath, middle, far)) if beneath(far) > 0 else None for far in (middle - WIDEST, middle + WIDEST)
    ]
    low, high = (None if e is None else math.exp(centre + unit * e) for e in ends)
    spread = unit * math.exp(scale(middle)[1])
    method = "likelihood ratio with pieces that went on"
    return Agreement(len(logs), int(beyond.sum()), math.exp(centre + unit * middle), spread, low, high, method)
