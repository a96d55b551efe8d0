"""What happens on a ride: the largest forces of every event by place, and forces over time of landings and bumps."""

from __future__ import annotations

from collections.abc import Sequence

from printworthy.dossier import words
from printworthy.dossier.document import Block, Cell, Column, Figure, Row, Table
from printworthy.dossier.plot import Axis, Line, plot
from printworthy.results import ForceCourse, Happened

PLACES = ("front wheel, ground", "rear wheel, ground", "one peg", "seat", "one grip")
# Lines of a course; the axle's force is left out where it is the tyre's (no mass between them).
LINES: tuple[tuple[str, Line], ...] = (("front tyre", "solid"), ("rear tyre", "dashed"), ("rider", "dotted"))


def blocks(events: Sequence[Happened]) -> tuple[Block, ...]:
    """The table, then a figure for each event that takes time."""
    if not events:
        return ()
    return (largest(events), *(over_time(e, e.course) for e in events if e.course is not None))


def largest(events: Sequence[Happened]) -> Table:
    """The largest forces of every event, by place."""
    rows = []
    for e in events:
        places = [Cell("none") if p not in e.peaks else Cell(words.number(e.peaks[p]), e.peaks[p], "N") for p in PLACES]
        pushed = [(place, force) for place, force in e.peaks.items() if place not in PLACES]
        push = Cell("; ".join(f"{words.number(f)} {place}" for place, f in pushed) or "none")
        kind = e.kind if e.judged else f"{e.kind}, what if"
        rows.append(Row((Cell(e.event), Cell(kind), Cell(e.words), *places, push, Cell(e.source))))
    columns = (
        Column("event"), Column("kind"), Column("what it does"),
        *(Column(p, "N", "number") for p in PLACES), Column("a push", "N"), Column("source of its severity"),
    )  # fmt: skip
    note = (
        "Sizes of forces, the event's own factor counted. Of a pair the larger; legs and seat bear the rider, hands "
        "steady (assumed stiffnesses). In events that take time each place has its own instant."
    )
    return Table("What happens on a ride, and its largest forces", columns, tuple(rows), note=note, stacked=True)


def over_time(e: Happened, course: ForceCourse) -> Figure:
    """Forces of one event over time."""
    shown = [(name, style) for name, style in LINES if name in course.forces]
    top = max(max(course.forces[name]) for name, _ in shown)
    frame = plot(Axis("time, ms", 0.0, 1000 * course.time[-1]), Axis("force, N", 0.0, 1.1 * top))
    told = []
    for name, style in shown:
        forces = course.forces[name]
        frame.line([1000 * t for t in course.time], forces, style)
        at = max(range(len(forces)), key=forces.__getitem__)
        frame.points([1000 * course.time[at]], [forces[at]])
        told.append(
            (style, f"{name}: at most {words.number(forces[at])} N after {words.number(1000 * course.time[at])} ms")
        )
    caption = f"Forces over time in '{e.event}': {e.words}. From the bounce-pitch model; discs: the largest."
    return Figure(frame.text(), f"{caption} {'; '.join(t for _, t in told)}", caption, tuple(told))
