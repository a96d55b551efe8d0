"""The drop limit before and after: a heavier rider lowers it, a higher drop uses more of every part."""

from __future__ import annotations

from pathlib import Path

import pytest

from printworthy import flow, ride
from printworthy.inputs import Job

HEAVY = {"rider.mass": "110 kg"}
HIGH = {"event.jump off a ledge.height": "400 mm"}


def test_the_solved_cases_stay_and_the_landing_changes(shipped: Path, shipped_job: Job) -> None:
    before = shipped_job
    used = {p.name: ride.Usage("print", {c.name: 0.5 for c in p.cases}) for p in before.parts}
    was = ride.drop_limit(before.vehicle, before.parts, used)
    heavy = ride.drop_limit(flow.read(shipped, HEAVY).vehicle, before.parts, used)
    high = ride.drop_limit(flow.read(shipped, HIGH).vehicle, before.parts, used)
    assert was is not None
    assert heavy is not None
    assert high is not None
    first, heavier, higher = ({p.name: p for p in limit.parts} for limit in (was, heavy, high))
    peg = "Foot peg"
    assert (heavier[peg].height or 0) < (first[peg].height or 0)
    # the limit belongs to the part and the vehicle, not to the height that was asked about
    assert higher[peg].height == pytest.approx(first[peg].height, rel=0.01)
    assert all(higher[name].stated > p.stated for name, p in first.items())
    assert (was.height, high.height) == (150.0, 400.0)
