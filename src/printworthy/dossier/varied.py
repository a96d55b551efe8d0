"""What other figures of the vehicle do, before and after: handling, parts, the drop limit."""

from __future__ import annotations

from collections.abc import Sequence

from printworthy.dossier import words
from printworthy.dossier.document import Block, Cell, Column, Items, Row, Table, Text
from printworthy.results import DropLimit, Handling, PartChange, Varied

SAME = 1e-9  # share by which a figure may differ and count as the same


def handling(pairs: Sequence[tuple[Handling, Handling]]) -> tuple[Block, ...]:
    """Figures of the vehicle that change, and what is odd about them after."""
    moved = [(a, b) for a, b in pairs if abs(a.value - b.value) > SAME * max(abs(a.value), abs(b.value))]
    if not moved:
        return (Text("No handling figure changes."),)
    rows = tuple(
        Row((
            Cell(a.name), *(Cell(words.number(h.value, 4), h.value, h.unit) for h in (a, b)), Cell(a.unit),
            Cell(b.source, mark="look" if b.warning else ""),
        ))
        for a, b in moved
    )  # fmt: skip
    columns = (
        Column("figure"), Column("before", "", "number"), Column("after", "", "number"), Column("unit"), Column("from"),
    )  # fmt: skip
    warned = tuple(f"{b.name}: {b.warning}" for _, b in moved if b.warning)
    table = Table("Geometry and handling, before and after", columns, rows, stacked=True)
    return (table, Items("Worth a second look after", warned)) if warned else (table,)


def parts(found: Varied) -> Table:
    """Governing load, utilisation and word of every part that sits in the vehicle; those that change stand first."""
    moved = sorted(found.parts, key=lambda p: p.how == "unchanged")
    rows = tuple(Row(tuple(_cells(p))) for p in moved)
    columns = (
        Column("part"), Column("case"), Column("load before", "N", "number"), Column("after", "N", "number"),
        Column("used", "", "number"), Column("after", "", "number"), Column("word"), Column("after"), Column("how"),
    )  # fmt: skip
    note = (
        "The governing case and its largest force on a face; used: utilisation, 1 is the limit. Parts without a place "
        "in the vehicle, and those that stay metal, are not in it."
    )
    return Table("Parts, before and after", columns, rows, note=note, stacked=True)


def _cells(p: PartChange) -> list[Cell]:
    case = next((c for c in p.cases if c.case == p.governing), None)
    loads = [Cell("")] * 2 if case is None else [Cell(words.number(v), v, "N") for v in (case.before, case.after)]
    used = [Cell("") if u is None else Cell(words.utilisation(u), u) for u in p.used]
    told = [Cell(p.word[0] or "not assessed"), Cell(p.word[1] or "assess again")]
    return [Cell(p.part), Cell(p.governing), *loads, *used, *told, Cell(p.how)]


def drop(found: Varied) -> tuple[Block, ...]:
    """Heights at which parts go, before and after; or why there are none."""
    was, now = found.drop
    if was is None or now is None:
        return ()
    open_ = {f"{when}: {line}" for when, limit in (("before", was), ("after", now)) for line in limit.refused}
    if open_:
        return (Items("No drop limit is shown, because", tuple(sorted(open_))),)
    old = {p.name: p for p in was.parts}
    rows = tuple(
        Row((
            Cell(p.name), Cell("metal" if p.metal else "printed"),
            *(_height(q.height) for q in (old[p.name], p)),
            *(Cell(words.utilisation(q.stated), q.stated) for q in (old[p.name], p)),
        ))
        for p in now.parts if p.name in old
    )  # fmt: skip
    return (Table(f"What goes first: {now.event}", _columns(was, now), rows, note=now.words, stacked=True),)


def _columns(was: DropLimit, now: DropLimit) -> tuple[Column, ...]:
    used = (f"used at {words.number(limit.height)} mm" for limit in (was, now))
    ends = (Column(f"{name}, {when}", "", "number") for name, when in zip(used, ("before", "after"), strict=True))
    heights = Column("limit before", "mm", "number"), Column("after", "mm", "number")
    return (Column("part"), Column("made as"), *heights, *ends)


def _height(height: float | None) -> Cell:
    return Cell("not reached") if height is None else Cell(words.number(height), height, "mm")
