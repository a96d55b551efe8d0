"""Memory kept between processes: what does not fit beside the others waits for them."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from beam import write

from printworthy import flow, workspace
from printworthy.workers import Tell, room, spread
from printworthy.workspace.cache import Cache

THERE = 8.0  # [GB]


def kept(gigabytes: float, tell: Tell) -> tuple[float, float]:
    """When it began and ended."""
    with room(gigabytes, THERE, lambda: tell("", "waits for memory", 0.0)):
        began = time.monotonic()
        time.sleep(0.3)
        return began, time.monotonic()


@pytest.mark.parametrize(("gigabytes", "together"), [((3.0, 4.0), True), ((5.0, 4.0), False), ((9.0, 9.0), False)])
def test_two_processes_share_the_memory_there_is(gigabytes: tuple[float, float], together: bool) -> None:
    told: list[str] = []
    first, second = sorted(spread(kept, gigabytes, lambda _, stage, __: told.append(stage), workers=2))
    if together:  # a process may be late in starting, so that they need not meet
        assert told == []
    else:
        assert second[0] >= first[1]


def test_alone_nothing_waits() -> None:
    with room(100.0, THERE, lambda: pytest.fail("waited")):
        pass


def test_a_part_larger_than_the_machine_is_told_before_it_is_begun(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a machine of 0.2 GB, less than an empty process has."""
    monkeypatch.setattr("printworthy.strength.machine_memory", lambda: 0.2)
    told: list[str] = []
    job = workspace.read(write(tmp_path))
    done, _ = flow.assess(job, Cache(tmp_path / ".cache"), lambda _, stage, __: told.append(stage), workers=1)
    (refusal,) = done.refusals
    assert refusal.word == "not decided"
    assert "need about" in refusal.line
    assert "this machine has 0.2 GB. State a larger element_size" in refusal.line
    assert told[-1].startswith("needs about")
