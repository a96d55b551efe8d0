"""What other figures of the vehicle do to a part's verdict, without solving anew: a case whose loads all grow by one
share has stresses that grow by that share, and is judged again; where loads turn, nothing is said.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from printworthy.inputs import Job, Part
from printworthy.results import CaseChange, Check, DirectionResult, Option, PartAssessment, PartChange
from printworthy.ride.change import changes
from printworthy.verdict.decide import decide
from printworthy.verdict.life import life
from printworthy.verdict.strength import Mesh

SAME = 1e-6  # share by which a load may change and count as unchanged
TURNED = 0.01  # share of a load that may be no multiple of the old one and still be left out (stated in the answer)


def changed(before: Part, after: Part, known: PartAssessment | None, job: Job) -> PartChange:
    """A part before and after; `known`: its assessment before, `job`: the workspace after. Raises CardError."""
    if known is None:
        found = changes(before.cases, after.cases, 0.0)
        return PartChange(before.name, found, _most(found), (None, None), ("", ""), "never assessed: loads only")
    found = changes(before.cases, after.cases, known.option.mass)
    governing = known.option.result.governing.case
    use, word = known.option.result.utilisation, known.verdict.word
    if all(abs(c.scale - 1) <= SAME and c.rest <= SAME for c in found):
        return PartChange(before.name, found, governing, (use, use), (word, word), "unchanged")
    turned = max(found, key=lambda c: c.rest)
    if turned.rest > TURNED or min(c.scale for c in found) <= 0:
        how = f"{100 * turned.rest:.2g} % of '{turned.case}' acts another way: assess again"
        return PartChange(before.name, found, governing, (use, None), (word, ""), how)
    option = scaled(known, after, job, {c.case: c.scale for c in found})
    new = option.result.governing.case
    how = f"scaled with its loads, same build direction; {100 * turned.rest:.2g} % of a load acts another way"
    return PartChange(before.name, found, new, (use, option.result.utilisation), (word, option.verdict.word), how)


def _most(found: tuple[CaseChange, ...]) -> str:
    return max(found, key=lambda c: c.after).case if found else ""


def scaled(known: PartAssessment, part: Part, job: Job, by: Mapping[str, float]) -> Option:
    """The answering option judged again with every case `by` times its load (linear elasticity; own derivation)."""
    o = known.option
    result = _result(o.result, by)
    bracket, distance = o.bracket, o.distance
    if bracket is not None:
        k = by[bracket.case]
        high, limit = (None if v is None else k * v for v in (bracket.high, bracket.limit))
        values, inner = (tuple(k * v for v in each) for each in (bracket.values, bracket.inner))
        bracket = replace(bracket, values=values, inner=inner, low=k * bracket.low, high=high, limit=limit)
    if distance is not None:
        k = by[distance.case]
        value, half = (None if v is None else k * v for v in (distance.value, distance.at_half))
        distance = replace(distance, value=value, at_half=half, raw=k * distance.raw)
    checks = tuple(_check(c, max(by.values())) for c in o.checks)
    card, mesh = job.cards[o.result.material], Mesh(known.mesh, bracket, distance)
    lasts = life(part, card, job.vehicle, job.rules, o.design, result, mesh, job.fatigue)
    answer = decide(
        part, card, job.vehicle, job.rules, o.design, result, checks, known.mesh,
        bracket=bracket, distance=distance, life=lasts, weight=o.weight, heat=o.heat,
    )  # fmt: skip
    return replace(o, result=result, bracket=bracket, distance=distance, checks=checks, life=lasts, verdict=answer)


def _result(r: DirectionResult, by: Mapping[str, float]) -> DirectionResult:
    moved = tuple(replace(d, movement=by[d.case] * d.movement) for d in r.deflections)
    return replace(r, cases=tuple(c.times(by[c.case]) for c in r.cases), deflections=moved)


def _check(c: Check, most: float) -> Check:
    """Checks of movement and buckling grow with the largest growth of any case; joints have loads of their own."""
    if c.name == "buckling":
        return replace(c, capacity=c.capacity / most, utilisation=most * c.utilisation)
    if c.name.startswith("movement"):
        return replace(c, demand=most * c.demand, utilisation=most * c.utilisation)
    return c


def solved(change: PartChange, anew: PartAssessment | None) -> PartChange:
    """The change with the answer of a new assessment, where there is one."""
    if anew is None:
        return change
    result = anew.option.result
    used, word = (change.used[0], result.utilisation), (change.word[0], anew.verdict.word)
    return PartChange(change.part, change.cases, result.governing.case, used, word, "assessed anew")
