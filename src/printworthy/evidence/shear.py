"""What coupons at 0, 45 and 90 degrees to the layers say about shear: S, G13 and the shape of the criterion."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import optimize

from printworthy.errors import CardError

DRAWS = 2000  # of the bootstrap; the ends of a 90 % interval then move by about a twentieth of its width
SHARES = (0.05, 0.95)


@dataclass(frozen=True, slots=True)
class Fitted:
    """A value with its 90 % bootstrap interval; `low` or `high` infinite where draws have no finite answer."""

    value: float
    low: float
    high: float


def shear_modulus(along: float, oblique: float, across: float, poisson: float) -> float:
    """G13 [MPa] from moduli [MPa] pulled at 0, 45 and 90 degrees to the layers and nu13 [-].

    4 / E45 = 1/E1 + 1/E3 + 1/G13 - 2 nu13/E1: rotation of the compliance (Lekhnitskii; Jones, Mechanics of Composite
    Materials, equation 2.97, from memory). CardError where the three moduli leave no positive shear modulus.
    """
    inverse = 4 / oblique - 1 / along - 1 / across + 2 * poisson / along
    if inverse <= 0:
        raise CardError("the moduli at 0, 45 and 90 degrees leave no shear modulus", do="Measure strain on the coupon")
    return 1 / inverse


def shear_strength(oblique: float, between: float) -> float:
    """S [MPa] from the strength at 45 degrees and Z [MPa] by the quadratic law (s33/Z)^2 + (t/S)^2 = 1, with
    s33 = t = half the pull. Infinite where the pull alone comes up to 2 Z: the law then has no finite S."""
    half = oblique / 2
    return half / math.sqrt(1 - (half / between) ** 2) if half < between else math.inf


def exponent(oblique: float, between: float, shear: float) -> float:
    """m [-] of (s33/Z)^m + (t/S)^m = 1 through the strength at 45 degrees, Z and S [MPa]; 2 is the criterion used here,
    infinity the largest-stress one. CardError where half the pull exceeds Z or S: no m then passes through it."""
    a, b = oblique / (2 * between), oblique / (2 * shear)
    if max(a, b) >= 1:
        raise CardError("half of the 45 degree pull exceeds Z or S: no criterion of this form fits", do="Test again")
    if min(a, b) <= 0:
        raise CardError("strengths must be positive", do="Correct the coupon table")
    return float(optimize.brentq(lambda m: a**m + b**m - 1, 1e-3, 1e4))


def interval(formula: Callable[..., float], *samples: Sequence[float], seed: int = 20771) -> Fitted:
    """A formula of the means of samples (k, n_i), with its 90 % interval over resampled coupons (percentile bootstrap).

    Draws that the formula refuses count as infinite. CardError for a sample of fewer than three.
    """
    if any(len(s) < 3 for s in samples):
        raise CardError("fewer than three coupons give no interval", do="Break at least 3 of each direction")
    rng = np.random.default_rng(seed)
    means = [rng.choice(np.asarray(s), (DRAWS, len(s))).mean(axis=1) for s in samples]

    def tried(*values: float) -> float:
        try:
            return formula(*values)
        except CardError:
            return math.inf

    drawn = [tried(*row) for row in zip(*means, strict=True)]
    low, high = np.quantile(drawn, SHARES, method="inverted_cdf")
    return Fitted(formula(*(float(np.mean(s)) for s in samples)), float(low), float(high))
