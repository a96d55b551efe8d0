"""A running plan as one page: who does what when, what has begun, what failed, what moved."""

from __future__ import annotations

from pathlib import Path

from printworthy.dossier import page
from printworthy.dossier.document import Block, Cell, Column, Document, Facts, Items, Row, Section, Table
from printworthy.dossier.making import duration
from printworthy.dossier.making_set import gantt
from printworthy.making.state import PlanState
from printworthy.results import Schedule, Slot


def write_plan(state: PlanState, path: Path, before: PlanState | None = None) -> None:
    """Write the page of a plan; `before`: the plan it replaces, so that what moved is told."""
    plan = state.schedule
    pairs = (
        ("done after", Cell(duration(plan.finish), plan.finish, "s")),
        ("late, all together", Cell(duration(plan.late), plan.late, "s")),
        ("failures so far", Cell(str(len(state.failures)), float(len(state.failures)))),
    )
    blocks: list[Block] = [gantt(plan)]
    if state.failures:
        told = tuple(f"{task} broke off {duration(now)} after the start" for task, now in state.failures)
        blocks.append(Items("Failures", told))
    blocks.append(slots(plan, before.schedule if before else None))
    section = Section("plan", "Plan", tuple(blocks), invented=state.invented)
    document = Document(state.title, "Who does what when.", Facts("The plan", pairs), (section,), state.invented,
                        "printworthy")  # fmt: skip
    path.write_text(page.lay_out(document, path.with_suffix(".json").name), encoding="utf-8")


def slots(plan: Schedule, before: Schedule | None) -> Table:
    """Every task with its machine and times, and by how much it moved."""
    old = {s.task: s for s in before.slots} if before else {}
    rows = tuple(
        Row((Cell(s.task), Cell(s.machine), Cell(duration(s.start), s.start, "s"), Cell(duration(s.end), s.end, "s"),
             Cell("none" if s.due is None else duration(s.due)), Cell(duration(s.late) if s.late else "no"),
             Cell(moved(s, old.get(s.task), began=s.fixed))))
        for s in plan.slots
    )  # fmt: skip
    columns = (
        Column("task"), Column("machine"), Column("starts", "", "number"), Column("ends", "", "number"), Column("due"),
        Column("late"), Column("against the plan before" if before else "state"),
    )  # fmt: skip
    return Table("Tasks in order of start", columns, rows, "Times from the start of the plan.", stacked=True)


def moved(slot: Slot, old: Slot | None, *, began: bool) -> str:
    """What happened to a task, in words."""
    if began:
        cut = old is not None and slot.end < old.end
        return "broke off" if cut else "done or running, stays"
    if old is None:
        return "new" if slot.task.endswith(" again") else "to come"
    if slot.start == old.start and slot.machine == old.machine:
        return "as before"
    shift = slot.start - old.start
    said = f"{duration(abs(shift))} {'later' if shift > 0 else 'earlier'}" if shift else "same time"
    return said + (f", on {slot.machine} instead of {old.machine}" if slot.machine != old.machine else "")
