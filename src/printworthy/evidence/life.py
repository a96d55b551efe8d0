"""Damage of one load case by one S-N curve: stress and spectrum -> share of life spent in an hour or kilometre."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from printworthy.evidence.damage import miner
from printworthy.evidence.fatigue import as_tested, survival_life
from printworthy.results import SNCurve

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Chance:
    """Whose life is meant: share `p` of pieces, `confidence`, least scatter of strength believed `minimum_cv` [-]; of
    the two mean-stress rules the `harsher` or the milder."""

    p: float
    confidence: float
    minimum_cv: float
    harsher: bool


@dataclass(frozen=True, slots=True)
class Spent:
    """Damage per h or km, and the equivalent amplitude of the largest cycle [MPa] with its life in cycles."""

    damage: float
    amplitude: float
    cycles: float


def spent(cycles: Array, stress: float, curve: SNCurve, strength: float, chance: Chance) -> Spent:
    """Damage of a spectrum `cycles` (n, 3), range, mean, count per h or km, as shares of `stress` [MPa].

    `stress` below zero: pressed where the case's load acts fully. `strength` [MPa] as at the test. A cycle that reaches
    the strength breaks at once for the harsher judgement.
    """
    if not len(cycles):
        return Spent(0.0, 0.0, np.inf)
    amplitude, mean = abs(stress) * cycles[:, 0] / 2, stress * cycles[:, 1]
    rules = as_tested(amplitude, mean, curve.ratio, strength)
    equivalent = np.maximum(*rules) if chance.harsher else np.minimum(*rules)
    lives = np.full(len(cycles), np.inf)
    acts = (equivalent > 0) & np.isfinite(equivalent)
    if acts.any():
        lives[acts] = survival_life(
            curve, equivalent[acts], p=chance.p, confidence=chance.confidence, minimum_cv=chance.minimum_cv
        )
    if chance.harsher:
        lives[(mean + amplitude >= strength) | ~np.isfinite(equivalent)] = 1e-9
    largest = int(np.argmax(equivalent))
    return Spent(miner(cycles[:, 2], lives), float(equivalent[largest]), float(lives[largest]))
