"""What-if events and component tests of open standards: what a part would bear of them."""

from __future__ import annotations

from collections.abc import Sequence

from printworthy.dossier import words
from printworthy.dossier.document import Block, Cell, Column, Items, Row, Table, Text
from printworthy.dossier.tables import use
from printworthy.results import PartAssessment, TestLevel, Yardstick

NOTE = (
    "A yardstick, no certificate: only the whole component on the standard's rig passes its test. The load of the test "
    "acts on this part through the vehicle's own geometry, with the special factor and the mesh error and without a "
    "factor on load; strengths are design values at the service temperature, lives those of the S-N sets."
)


def blocks(found: Sequence[Yardstick]) -> tuple[Block, ...]:
    """All tests of a part, one line for each load."""
    if not found:
        return (Text("No what-if event is stated, and no test of an open standard is known for a part of this role."),)
    rows = tuple(
        Row((
            Cell(y.test), Cell(", ".join(level.kinds)), Cell(words.number(level.load), level.load, y.unit),
            Cell(y.unit), Cell(words.number(y.cycles), y.cycles), use(level.used), Cell(answer(y, level)),
            Cell(f"{y.source}: {y.where}", mark="" if y.known == "published" else y.known),
        ))
        for y in found for level in y.levels
    )  # fmt: skip
    columns = (
        Column("test"), Column("asked of"), Column("load", "", "number"), Column("unit"),
        Column("cycles", "", "number"), Column("utilisation", "", "bar"), Column("at this load"), Column("source"),
    )  # fmt: skip
    missing = tuple(dict.fromkeys(m for y in found for m in y.missing))
    made: list[Block] = [
        Table("What-if events, and tests of open standards as yardsticks", columns, rows, note=NOTE, stacked=True)
    ]
    return (*made, Items("Fatigue tests are not decided for want of", missing)) if missing else tuple(made)


def answer(y: Yardstick, level: TestLevel) -> str:
    """What the part does at one load of a test."""
    if level.used > 1:
        return "not borne once"
    if y.known == "stated":
        return "borne, as far as slow coupons tell"
    if not y.cycles > 10:
        return "borne"
    if level.times is None:
        return "borne once; fatigue not decided"
    if level.times >= 1:
        return f"borne, {words.number(min(level.times, 1000), 2)} times{' and more' if level.times > 1000 else ''}"
    lasts = float(f"{level.times * y.cycles:.2g}")  # no life is known to four figures
    return f"tires after {words.number(lasts, 2)} cycles" if lasts >= 1 else "tires in its first cycles"


def summary(parts: Sequence[PartAssessment]) -> Table | None:
    """One line for each part and test: for which kinds of bicycle the load is borne."""
    rows = []
    for number, part in enumerate(parts, 1):
        link = f"part-{number}"
        for y in part.yardsticks:
            if y.known == "stated":
                told = answer(y, y.levels[0])
                rows.append(Row((Cell(part.title), Cell(f"what if: {y.test}"), Cell(told), Cell(y.source)), link=link))
                continue
            borne = [k for level in y.levels if answer(y, level).startswith("borne,") or answer(y, level) == "borne"
                     for k in level.kinds]  # fmt: skip
            open_ones = [k for level in y.levels if "not decided" in answer(y, level) for k in level.kinds]
            told = f"bears the load for {', '.join(borne)}" if borne else "does not bear it"
            if open_ones:
                told = f"fatigue not decided for {', '.join(open_ones)}"
            rows.append(Row((Cell(part.title), Cell(y.test), Cell(told), Cell(y.source)), link=link))
    if not rows:
        return None
    columns = (Column("part"), Column("what"), Column("answer"), Column("source"))
    note = (
        "Beside the verdict: what-if events, and loads of open standards as yardsticks, no certificate. Loads, set-ups "
        "and provenance stand in each part."
    )
    return Table("What if, and tests of open standards", columns, tuple(rows), note=note, stacked=True)
