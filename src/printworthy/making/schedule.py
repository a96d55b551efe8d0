"""When what is done on which machine: constraint programming (CP-SAT of OR-tools) over tasks of fixed length.

schedule(tasks)                        first the least late time (by all due dates), then the earliest finish
replan(tasks, plan, now, failed)       what runs or is done stays; the failed task is done again; the rest is free
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from printworthy.errors import InputError, NotComputed
from printworthy.results import Schedule, Slot

MINUTE = 60.0
DAY = 1440  # [min]
EFFORT = 4.0  # deterministic time of the solver, about seconds, for each of the two questions
SEED = 7


@dataclass(frozen=True, slots=True)
class Task:
    """Something that one machine does without a break. length [s]; machines it may be done on; names of tasks that must
    be done before; due [s]; attended: it can start only while somebody is there; group: what a machine must be changed
    over for; start and machine fixed where it has begun already."""

    name: str
    length: float
    machines: tuple[str, ...]
    after: tuple[str, ...] = ()
    due: float | None = None
    attended: bool = False
    group: str = ""
    release: float = 0.0
    fixed: tuple[str, float] | None = None


@dataclass(frozen=True, slots=True)
class Presence:
    """When somebody is there: from `start` to `end` [min of the day], on `days` of seven from day 0."""

    start: int = 8 * 60
    end: int = 17 * 60
    days: int = 5

    def starts(self, horizon: int) -> list[list[int]]:
        """Intervals [min] up to `horizon`."""
        every = range(0, horizon + DAY, DAY)
        return [[d + self.start, d + self.end] for d in every if (d // DAY) % 7 < self.days]


@dataclass(frozen=True, slots=True, eq=False)
class _Model:
    model: Any
    start: Mapping[str, Any]
    on: Mapping[tuple[str, str], Any]
    end: Any
    late: Any


def schedule(tasks: Sequence[Task], *, presence: Presence | None = None, change: float = 0.0) -> Schedule:
    """A schedule of tasks; `change` [s] between tasks of different groups on one machine.

    Times are whole minutes, rounded up. Raises InputError for tasks that name what is not there or wait for each other,
    NotComputed where the solver finds none within its effort.
    """
    if not tasks:
        return Schedule((), 0.0, 0.0, {}, True, 0.0, "nothing to do")
    from ortools.sat.python import cp_model  # brings pandas: half a second that only a schedule should cost

    check(tasks)
    built = _model(tasks, presence, math.ceil(change / MINUTE))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1  # more would not give the same answer twice
    solver.parameters.random_seed = SEED
    solver.parameters.max_deterministic_time = EFFORT
    proven = True
    if any(t.due is not None for t in tasks):
        proven = _solve(solver, built, built.late) == cp_model.OPTIMAL
        built.model.add(built.late <= round(solver.objective_value))
        built.model.clear_hints()
        for variable in (*built.start.values(), *built.on.values(), built.end):
            built.model.add_hint(variable, solver.value(variable))
    proven = _solve(solver, built, built.end) == cp_model.OPTIMAL and proven
    return _record(tasks, built, solver, proven)


def check(tasks: Sequence[Task]) -> None:
    """Raise InputError for two tasks of one name, machines or tasks that are not there, and circles of waiting."""
    names = [t.name for t in tasks]
    if len(set(names)) < len(names):
        raise InputError("two tasks have one name", do="Give each its own")
    known = set(names)
    for t in tasks:
        if not t.machines:
            raise InputError(f"{t.name}: no machine can do it", do="Add a machine that can")
        if set(t.after) - known:
            raise InputError(f"{t.name}: waits for {', '.join(sorted(set(t.after) - known))}, which is no task")
    done: set[str] = set()
    while len(done) < len(tasks):
        ready = {t.name for t in tasks if t.name not in done and set(t.after) <= done}
        if not ready:
            raise InputError("tasks wait for each other in a circle", do="Take one of the waits out")
        done |= ready


def _minutes(seconds: float) -> int:
    return math.ceil(seconds / MINUTE - 1e-9)


def _model(tasks: Sequence[Task], presence: Presence | None, change: int) -> _Model:
    """Variables and constraints."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    total = sum(_minutes(t.length) + change for t in tasks)
    base = max((_minutes(t.release) for t in tasks), default=0)
    base = max([base, *(_minutes(t.fixed[1]) for t in tasks if t.fixed)])
    share = 1.0 if presence is None else presence.days / 7 * (presence.end - presence.start) / DAY
    attended = sum(t.attended for t in tasks)
    horizon = base + total + math.ceil((attended + 2) * 3 * DAY) if share < 1 else base + total
    windows = cp_model.Domain.from_intervals(presence.starts(horizon) if presence else [[0, horizon]])
    start, on = {}, {}
    intervals: dict[str, list[tuple[Task, Any]]] = {}
    for t in tasks:
        low = 0 if t.fixed else _minutes(t.release)
        domain = cp_model.Domain(low, horizon)
        if t.attended and t.fixed is None:
            domain = domain.intersection_with(windows)
        start[t.name] = model.new_int_var_from_domain(domain, f"start {t.name}")
        for machine in t.machines:
            here = model.new_bool_var(f"{t.name} on {machine}")
            on[t.name, machine] = here
            length = _minutes(t.length)
            interval = model.new_optional_fixed_size_interval_var(start[t.name], length, here, f"{t.name} at {machine}")
            intervals.setdefault(machine, []).append((t, interval))
        model.add_exactly_one(on[t.name, m] for m in t.machines)
        if t.fixed:
            model.add(start[t.name] == int(t.fixed[1] // MINUTE))
            model.add(on[t.name, t.fixed[0]] == 1)
    for machine, here in intervals.items():
        model.add_no_overlap(interval for _, interval in here)
        _changes(model, [t for t, _ in here], machine, start, on, change)
    _order(model, tasks, start)
    end, late = model.new_int_var(0, horizon, "end"), model.new_int_var(0, horizon * len(tasks), "late")
    for t in tasks:
        model.add(end >= start[t.name] + _minutes(t.length))
    model.add(late >= sum(_lateness(model, tasks, start, horizon)))
    return _Model(model, start, on, end, late)


def _order(model: Any, tasks: Sequence[Task], start: Mapping[str, Any]) -> None:
    """Tasks after those they wait for; of equal tasks the earlier named first, which spares the solver a search."""
    length = {t.name: _minutes(t.length) for t in tasks}
    for t in tasks:
        for before in t.after:
            model.add(start[t.name] >= start[before] + length[before])
    first: dict[tuple[object, ...], str] = {}
    for t in tasks:
        if t.fixed is None and not any(t.name in other.after for other in tasks):
            kind = (length[t.name], t.machines, t.after, t.due, t.attended, t.group, t.release)
            if kind in first:
                model.add(start[t.name] >= start[first[kind]])
            first[kind] = t.name


def _changes(
    model: Any, tasks: Sequence[Task], machine: str, start: Mapping[str, Any], on: Mapping[tuple[str, str], Any],
    change: int,
) -> None:  # fmt: skip
    """Between two tasks of different groups on one machine lies the change-over."""
    if not change:
        return
    for i, a in enumerate(tasks):
        for b in tasks[i + 1 :]:
            if a.group == b.group or (a.fixed and b.fixed):
                continue
            first = model.new_bool_var(f"{a.name} before {b.name}")
            both = [on[a.name, machine], on[b.name, machine]]
            gap_a, gap_b = _minutes(a.length) + change, _minutes(b.length) + change
            model.add(start[b.name] >= start[a.name] + gap_a).only_enforce_if(first, *both)
            model.add(start[a.name] >= start[b.name] + gap_b).only_enforce_if(first.negated(), *both)


def _lateness(model: Any, tasks: Sequence[Task], start: Mapping[str, Any], horizon: int) -> Iterator[Any]:
    for t in tasks:
        if t.due is not None:
            late = model.new_int_var(0, horizon, f"{t.name} late")
            model.add(late >= start[t.name] + _minutes(t.length) - int(t.due // MINUTE))
            yield late


def _solve(solver: Any, built: _Model, goal: Any) -> Any:
    from ortools.sat.python import cp_model

    built.model.minimize(goal)
    status = solver.solve(built.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        found = solver.status_name(status).lower()
        raise NotComputed(f"no schedule was found ({found})", do="State fewer tasks at once, or wider hours")
    return status


def _record(tasks: Sequence[Task], built: _Model, solver: Any, proven: bool) -> Schedule:
    slots = []
    for t in tasks:
        machine = next(m for m in t.machines if solver.value(built.on[t.name, m]))
        begin = t.fixed[1] if t.fixed else solver.value(built.start[t.name]) * MINUTE
        slots.append(Slot(t.name, machine, begin, begin + t.length, t.due, t.fixed is not None, t.group))
    slots.sort(key=lambda s: (s.start, s.machine))
    finish = max(s.end for s in slots)
    machines = sorted({m for t in tasks for m in t.machines})
    use = {m: sum(s.end - s.start for s in slots if s.machine == m) / finish if finish else 0.0 for m in machines}
    late = sum(s.late for s in slots)
    bound = float(solver.best_objective_bound) * MINUTE
    return Schedule(tuple(slots), finish, late, use, proven, bound, bottleneck(slots, use))


def bottleneck(slots: Sequence[Slot], use: Mapping[str, float]) -> str:
    """Which due dates are not kept, and the machine that is busiest until the latest of them."""
    late = [s for s in slots if s.late >= MINUTE]
    if not late:
        return "every due date is kept" if any(s.due is not None for s in slots) else "no due date is stated"
    worst = max(late, key=lambda s: s.late)
    busy = {m: sum(max(0.0, min(s.end, worst.end) - s.start) for s in slots if s.machine == m) for m in use}
    most = max(busy, key=lambda m: busy[m])
    count = f"{len(late)} due date is" if len(late) == 1 else f"{len(late)} due dates are"
    return (
        f"{count} not kept: {worst.task} is done {worst.late / 3600:.1f} h late; the bottleneck is {most}, busy "
        f"{busy[most] / 3600:.1f} h of the {worst.end / 3600:.1f} h until then"
    )


def replan(
    tasks: Sequence[Task], plan: Schedule, now: float, failed: str, *, presence: Presence | None = None,
    change: float = 0.0,
) -> tuple[Schedule, tuple[Task, ...]]:  # fmt: skip
    """A new schedule after `failed` broke off at `now` [s], and its tasks: what has begun stays where it is, the failed
    task stays on its machine up to now, a task `NAME again` is added, all else is free from now on.

    Raises InputError where the failed task is not one that runs now.
    """
    at = {s.task: s for s in plan.slots}
    if failed not in at or not at[failed].start <= now <= at[failed].end:
        raise InputError(f"{failed} does not run {now / 3600:.1f} h after the start", do="Name a task that runs then")
    again, made = f"{failed} again", []
    for t in tasks:
        slot = at[t.name]
        after = tuple(again if name == failed else name for name in t.after)
        if t.name == failed:
            broken = replace(t, length=now - slot.start, due=None, fixed=(slot.machine, slot.start))
            made += [broken, replace(t, name=again, after=(), release=now, fixed=None)]
        elif slot.start < now:
            made.append(replace(t, fixed=(slot.machine, slot.start)))
        else:
            made.append(replace(t, after=after, release=max(now, t.release)))
    return schedule(made, presence=presence, change=change), tuple(made)
