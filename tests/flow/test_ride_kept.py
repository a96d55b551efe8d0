"""What the ride says is kept beside the answers of the parts, and found again only for the same vehicle and parts."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from printworthy import answers, verdict
from printworthy.inputs import Job
from printworthy.workspace.cache import Cache


def test_it_is_computed_once_and_again_for_another_vehicle(
    shipped_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Job] = []

    def ridden(job: Job, parts: tuple[answers.PartAssessment, ...]) -> answers.Ride | None:
        asked.append(job)
        return verdict.ridden(job, parts)

    monkeypatch.setattr(answers, "ridden", ridden)
    first = answers.ride_of(shipped_job, (), Cache(tmp_path))
    assert first is not None
    assert first.drop is not None
    assert answers.ride_of(shipped_job, (), Cache(tmp_path)) == first
    assert len(asked) == 1

    machine = shipped_job.vehicle.machine
    assert machine is not None
    grippy = replace(
        shipped_job, vehicle=replace(shipped_job.vehicle, machine=replace(machine, grip=machine.grip + 0.1))
    )
    assert answers.ride_of(grippy, (), Cache(tmp_path)) != first
    assert len(asked) == 2
    fewer = replace(shipped_job, parts=shipped_job.parts[1:])
    answers.ride_of(fewer, (), Cache(tmp_path))
    assert len(asked) == 3
