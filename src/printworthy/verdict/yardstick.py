"""Component tests of open standards held against a part: a yardstick of how strong it is, no certificate."""

from __future__ import annotations

from dataclasses import replace

from printworthy.inputs import Job, LoadCase, Part
from printworthy.results import DesignValues, DirectionResult, TestLevel, Yardstick
from printworthy.ride.change import largest_force
from printworthy.ride.standards import test
from printworthy.ride.yardsticks import levels
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
    found_at: list[TestLevel] = []
    missing: tuple[str, ...] = ()
    assert job.vehicle.machine is not None  # only a stated mechanism has tests held against its parts
    asked = levels(t, job.vehicle.machine)
    for kinds, load in asked:
        scaled = result.cases[0].times(load / asked[0][1])
        times = None
        if case.duty is not None:
            alone = replace(part, cases=(case,), design_life=None)
            one = replace(result, cases=(scaled,))
            lasts = life(alone, job.cards[design.material], job.vehicle, job.rules, design, one, mesh, job.fatigue)
            times, missing = lasts.low, lasts.missing
        found_at.append(TestLevel(kinds, load, span(scaled, mesh, job.rules).high, times))
    return Yardstick(t.name, t.source, t.known, t.where, t.unit, t.cycles, tuple(found_at), missing)
