"""The critical-distance value of a whole part: at the governing peak, and wherever else the raw stress then is higher.

Averaging lowers a singular peak, so another place may govern after it. Every place whose raw value is above the
averaged one is refined and averaged too, until none is left.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from printworthy.inputs import MaterialCard
from printworthy.results import CriticalDistance, DesignValues, DirectionResult
from printworthy.strength.criteria import Strengths, by_mode
from printworthy.strength.critical import RESOLVED, critical_value, lengths
from printworthy.strength.margin import layer_stress
from printworthy.strength.refine import Rung, refined_near, rung
from printworthy.strength.solution import solve
from printworthy.strength.system import Model, Prepared, model

Array = NDArray[np.float64]
ROUNDS = 3
PLACES = 4  # new places a round
MOST_UNKNOWNS = 120_000  # beyond it the mesh is refined no further, and the place told as not resolved
ROOM = 1.05  # a raw value this near the averaged one is not followed: it is within the scatter of the method


def governing_distance(m: Model, result: DirectionResult, design: DesignValues, card: MaterialCard) -> CriticalDistance:
    """Critical-distance value of the governing case of a direction already judged, on meshes made fine enough for it.

    Not valid where a place cannot be averaged or too many would have to be. Raises NotComputed.
    """
    worst = result.governing
    number = [case.name for case in m.part.cases].index(worst.case)
    known = lengths(card, design).of_modes()
    if not known:
        return critical_value(m, solve(m, result.direction), number, worst.point, design, result.factor, card)
    alone = replace(m.part, cases=(m.part.cases[number],))
    strengths = Strengths.of(design)
    reach, size = 2 * max(known.values()), RESOLVED * min(known.values())
    ready, new = Prepared(m.space, m.sampler), [np.asarray(worst.point, float)]
    places: list[Array] = []
    for _ in range(ROUNDS):
        ready = refined_near(ready, np.array(new), reach, size, MOST_UNKNOWNS)
        places += new
        at = rung(model(ready, alone, card, result.direction), strengths, result.direction, result.factor)
        found = [critical_value(at.model, at.solution, 0, p, design, result.factor, card) for p in places]
        if bad := [f for f in found if not f.valid]:
            return max(bad, key=lambda f: f.raw)
        highest = max(found, key=lambda f: f.value or 0.0)
        new = higher_elsewhere(at, strengths, result.factor, [np.array(f.point) for f in found], reach, highest)
        if not new:
            return replace(highest, words=f"{highest.words}; {_counted(len(places))}")
    words = f"not valid: more than {len(places)} places lie above the averaged value"
    return replace(highest, valid=False, words=words)


def higher_elsewhere(
    at: Rung, strengths: Strengths, factor: float, places: list[Array], reach: float, averaged: CriticalDistance
) -> list[Array]:
    """Up to `PLACES` points [mm], the highest first and each `reach` from all others, with raw utilisation above the
    averaged one."""
    raw = factor * by_mode(layer_stress(at.model, at.solution, 0), strengths).max(axis=1)
    points = at.model.sampler.points
    above = raw > ROOM * (averaged.value or 0.0)
    for place in places:
        above &= np.linalg.norm(points - place, axis=1) > reach
    new: list[Array] = []
    while above.any() and len(new) < PLACES:
        new.append(points[int(np.argmax(np.where(above, raw, -np.inf)))])
        above &= np.linalg.norm(points - new[-1], axis=1) > reach
    return new


def _counted(places: int) -> str:
    return "highest of the places above it" if places > 1 else "no other place is above it"
