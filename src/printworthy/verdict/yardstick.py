"""Component tests of open standards held against a part: a yardstick of how strong it is, no certificate."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from printworthy.inputs import Job, LoadCase, Part
from printworthy.results import DesignValues, DirectionResult, TestLevel, Yardstick
from printworthy.ride.change import largest_force
from printworthy.ride.standards import ORDER, StandardTest, test
from printworthy.verdict.life import life
from printworthy.verdict.strength import Mesh, span


def yardsticks(
    part: Part, job: Job, design: DesignValues, result: DirectionResult, mesh: Mesh
) -> tuple[Yardstick, ...]:
    """Every test of a part whose cases are those tests (named as in `ride.standards`) or what-if events, solved in
    `result` with the special factor alone. Loads of other kinds of bicycle scale a test. Raises CardError."""
    pairs = zip(part.cases, result.cases, strict=True)
    return tuple(_held(part, job, design, replace(result, cases=(found,)), case, mesh) for case, found in pairs)


def _held(part: Part, job: Job, design: DesignValues, result: DirectionResult, case: LoadCase, mesh: Mesh) -> Yardstick:
    t = test(case.name)
    if t is None:
        (found,) = result.cases
        level = TestLevel(("what if",), largest_force(case), span(found, mesh, job.rules).high, None)
        return Yardstick(case.name, case.source, "stated", "ride event", "N", 1, (level,), ())
    levels: list[TestLevel] = []
    missing: tuple[str, ...] = ()
    for kinds, load in _loads(t):
        scaled = result.cases[0].times(load / t.loads[0])
        times = None
        if case.duty is not None:
            alone = replace(part, cases=(case,), design_life=None)
            one = replace(result, cases=(scaled,))
            lasts = life(alone, job.cards[design.material], job.vehicle, job.rules, design, one, mesh, job.fatigue)
            times, missing = lasts.low, lasts.missing
        levels.append(TestLevel(kinds, load, span(scaled, mesh, job.rules).high, times))
    return Yardstick(t.name, t.source, t.known, t.where, t.unit, t.cycles, tuple(levels), missing)


def _loads(t: StandardTest) -> Iterator[tuple[tuple[str, ...], float]]:
    """Each load once, with the kinds of bicycle it is asked of."""
    for load in dict.fromkeys(t.loads):
        yield tuple(kind for kind, own in zip(ORDER, t.loads, strict=True) if own == load), load
