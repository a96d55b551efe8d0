"""A plan in a file, planned again after failures: nothing that has begun moves, whatever the order of calls."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from printworthy.cli import app
from printworthy.cli.replan import keep
from printworthy.errors import InputError
from printworthy.making import state
from printworthy.making.schedule import Presence, Task, schedule

HOUR = 3600.0
RUN = CliRunner()


def started() -> state.PlanState:
    """Four beds on two printers, somebody there all day, a change of material of half an hour."""
    there = Presence(0, 24 * 60, 7)
    tasks = [Task(f"bed {k}", 5 * HOUR, ("p 1", "p 2"), due=12 * HOUR, attended=True, group="ab"[k % 2])
             for k in range(1, 5)]  # fmt: skip
    tasks += [Task(f"finish bed {k}", HOUR, ("bench",), after=(f"bed {k}",)) for k in range(1, 5)]
    plan = schedule(tasks, presence=there, change=0.5 * HOUR)
    return state.PlanState("a set", True, tuple(tasks), there, 0.5 * HOUR, plan)


def test_text_and_back(tmp_path: Path) -> None:
    first = started()
    path = tmp_path / "plan.json"
    path.write_text(state.dump(first), encoding="utf-8")
    assert state.load(path) == first


def test_two_failures_in_a_row_move_nothing_that_has_begun() -> None:
    first = started()
    one = next(s.task for s in first.schedule.slots if s.start <= 3 * HOUR <= s.end and s.task.startswith("bed"))
    second = state.failed(first, one, 3 * HOUR)
    again = f"{one} again"
    begin = next(s.start for s in second.schedule.slots if s.task == again)
    third = state.failed(second, again, begin + HOUR)
    assert third.failures == ((one, 3 * HOUR), (again, begin + HOUR))
    for before, after, now in ((first, second, 3 * HOUR), (second, third, begin + HOUR)):
        there = {s.task: s for s in after.schedule.slots}
        for slot in before.schedule.slots:
            if slot.start < now:
                assert (there[slot.task].start, there[slot.task].machine) == (slot.start, slot.machine)
    made = {s.task for s in third.schedule.slots}
    assert f"{again} again" in made
    waits = next(s for s in third.schedule.slots if s.task == f"finish {one}")
    assert waits.start >= next(s.end for s in third.schedule.slots if s.task == f"{again} again")


@pytest.mark.parametrize(("task", "hours", "words"), [("bed 9", 3, "does not run 3.0 h"), ("bed 1", 90, "Nothing")])
def test_what_does_not_run_cannot_fail(task: str, hours: float, words: str) -> None:
    with pytest.raises(InputError) as error:
        state.failed(started(), task, hours * HOUR)
    assert words in str(error.value)


def test_failures_come_in_order() -> None:
    first = started()
    one = next(s.task for s in first.schedule.slots if s.start <= 3 * HOUR <= s.end)
    with pytest.raises(InputError, match="before the last failure"):
        state.failed(state.failed(first, one, 3 * HOUR), one, 2 * HOUR)


def test_the_verb_writes_state_and_page(tmp_path: Path) -> None:
    first, path = started(), tmp_path / "plan.json"
    keep(first, path)
    assert "<svg" in path.with_suffix(".html").read_text(encoding="utf-8")
    one = next(s.task for s in first.schedule.slots if s.start <= 3 * HOUR <= s.end)
    result = RUN.invoke(app, ["replan", str(path), "--failed", one, "--at", "3 h"])
    assert result.exit_code == 0
    assert f"{one} again" in result.output
    assert state.load(path) == state.failed(first, one, 3 * HOUR)
    page = path.with_suffix(".html").read_text(encoding="utf-8")
    for words in ("broke off", "done or running, stays", f"{one} again"):
        assert words in page
    wrong = RUN.invoke(app, ["replan", str(path), "--failed", one, "--at", "200 h"])
    assert isinstance(wrong.exception, InputError)
    assert state.load(path) == state.failed(first, one, 3 * HOUR)  # a refusal leaves the state alone


@pytest.mark.parametrize("text", ["", "{}", "no json"])
def test_what_is_no_plan_is_told(tmp_path: Path, text: str) -> None:
    path = tmp_path / "plan.json"
    path.write_text(text)
    with pytest.raises(InputError, match=re.escape("is no plan")):
        state.load(path)
    with pytest.raises(InputError, match="cannot be read"):
        state.load(tmp_path / "absent.json")
