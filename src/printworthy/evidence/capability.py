"""Process capability of a dimension: what the spread of made pieces says against its tolerance."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from scipy.special import chdtri, ndtr, ndtri

from printworthy.errors import CardError
from printworthy.results import Capability


def capability(values: Sequence[float], lower: float, upper: float, confidence: float = 0.95) -> Capability:
    """Cp, Cpk and their lower limits of `values` (n,) between the limits `lower` and `upper`, one unit throughout [mm].

    Cp = (U - L)/(6 s); Cpk = min(U - m, m - L)/(3 s) (NIST/SEMATECH e-Handbook 6.1.6). Lower limits, one-sided: of Cp
    by the chi-square distribution of s, exact for normal values; of Cpk by Bissell 1990 (Appl. Stat. 39, 331), good
    from about n = 30. `outside`: share of a normal process with this mean and spread. CardError for
    fewer than two values, values without spread, or crossed limits.
    """
    x = np.asarray(values, dtype=float)
    if len(x) < 2:
        raise CardError(f"{len(x)} measured pieces have no spread", do="Measure at least two, better 30")
    if not lower < upper:
        raise CardError(f"limits {lower:g} and {upper:g} are crossed", do="State the lower limit first")
    mean, s, n = float(x.mean()), float(x.std(ddof=1)), len(x)
    if s == 0:
        raise CardError(
            "all measured values are equal", do="Read the gauge finer: a process without spread is not known"
        )
    cp, cpk = (upper - lower) / (6 * s), min(upper - mean, mean - lower) / (3 * s)
    cp_low = cp * math.sqrt(float(chdtri(n - 1, confidence)) / (n - 1))
    z = float(ndtri(confidence))
    cpk_low = cpk - z * math.sqrt(1 / (9 * n) + cpk**2 / (2 * (n - 1)))
    outside = float(ndtr((lower - mean) / s) + ndtr((mean - upper) / s))
    return Capability(n, mean, s, lower, upper, cp, cpk, cp_low, cpk_low, outside)
