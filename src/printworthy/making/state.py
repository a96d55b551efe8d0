"""The state of a plan in a file: its tasks, who does what when, and what has failed so far.

begin(job, done)            the plan of an assessed vehicle set
failed(state, task, now)    the plan after a print broke off
dump, load                  as JSON text
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from printworthy.errors import InputError
from printworthy.inputs import Job
from printworthy.making.plan import Made, change, presence, tasks_of
from printworthy.making.schedule import Presence, Task, replan
from printworthy.results import Assessment, Schedule


@dataclass(frozen=True, slots=True)
class PlanState:
    """A plan that runs; times [s] from its start. `change` between materials; `failures` (task, time)."""

    title: str
    invented: bool
    tasks: tuple[Task, ...]
    presence: Presence
    change: float
    schedule: Schedule
    failures: tuple[tuple[str, float], ...] = ()


STATE: TypeAdapter[PlanState] = TypeAdapter(PlanState)


def begin(job: Job, done: Assessment) -> PlanState:
    """The plan of a vehicle set. InputError where nothing was scheduled."""
    making = done.making
    if making is None or making.schedule is None:
        raise InputError("there is no schedule to keep", where=str(job.root), do="State printers, and parts that print")
    stated, found = {p.name: p for p in job.parts}, {p.part: p for p in making.parts}
    parts = [
        (Made(stated[p.part], job.cards[p.option.result.material], p.printing, p.verdict.word), found[p.part])
        for p in done.parts
        if p.printing is not None
    ]
    tasks = tuple(tasks_of(making.beds, parts, job.workshop))
    return PlanState(done.title, making.invented, tasks, presence(job.workshop), change(job.workshop), making.schedule)


def failed(state: PlanState, task: str, now: float) -> PlanState:
    """The plan after `task` broke off at `now` [s]: what has begun stays, the task is done again, the rest is free.

    InputError for a task that is not there or does not run then, or a time before an earlier failure.
    """
    if state.failures and now < state.failures[-1][1]:
        when = state.failures[-1][1] / 3600
        raise InputError(f"{now / 3600:.1f} h lies before the last failure, {when:.1f} h", do="Failures come in order")
    running = [s.task for s in state.schedule.slots if s.start <= now <= s.end]
    if task not in running:
        told = f"Then run: {', '.join(running)}" if running else "Nothing runs then"
        raise InputError(f"{task} does not run {now / 3600:.1f} h after the start", do=told)
    plan, tasks = replan(state.tasks, state.schedule, now, task, presence=state.presence, change=state.change)
    return PlanState(
        state.title, state.invented, tasks, state.presence, state.change, plan, (*state.failures, (task, now))
    )


def dump(state: PlanState) -> str:
    """The state as JSON text."""
    return STATE.dump_json(state, indent=1).decode()


def load(path: Path) -> PlanState:
    """The state in a file. InputError where it cannot be read or is no plan."""
    try:
        return STATE.validate_json(path.read_bytes())
    except OSError as error:
        do = "Name the file that printworthy making --plan wrote"
        raise InputError(f"cannot be read: {error.strerror}", where=str(path), do=do) from error
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(p) for p in first["loc"]) or "the file"
        what = f"is no plan ({place}: {first['msg']})"
        raise InputError(what, where=str(path), do="Write one with printworthy making --plan") from error
