"""Filled and hollow: a part with infill beside the same print without."""

from __future__ import annotations

from printworthy.dossier import tables
from printworthy.dossier.document import Cell, Column, Row, Table
from printworthy.dossier.making import duration
from printworthy.evidence.bead import closing_pitch
from printworthy.inputs import Fill
from printworthy.results import DirectionResult, PartAssessment, Printing
from printworthy.strength.zones import LAW, shares

COLUMNS = (
    Column("print"), Column("mass", "g", "number"), Column("time of one print"), Column("utilisation", "", "bar"),
    Column("governing mode"), Column("governing case"), Column("largest movement", "mm", "number"),
)  # fmt: skip


def compared(part: PartAssessment, fill: Fill | None) -> Table | None:
    """Mass, time, utilisation and movement with the stated infill and printed solid; None for a part that is solid."""
    if fill is None or part.solid is None:
        return None
    option, solid = part.option, part.solid
    words = f"walls of {fill.wall:.3g} mm, infill {100 * fill.density:.3g} %"
    rows = (
        _row(words, option.mass, option.result, part.printing, chosen=True),
        _row("solid", solid.mass, solid.result, solid.printing, chosen=False),
    )
    stiffness, strength = shares(fill)
    note = (
        f"Both built {tables.turned(option.result.direction)}, on the same mesh. Infill: {100 * stiffness:.3g} % "
        f"of the solid print's stiffness, {100 * strength:.3g} % of its strength; "
        f"{fill.source if fill.measured else LAW}. Stresses in the infill are those that would bring the solid print "
        f"as near its strength. {_laid(part.printing)}"
    )
    return Table("Filled and hollow", COLUMNS, rows, note=note.strip())


def _row(name: str, mass: float, result: DirectionResult, printing: Printing | None, *, chosen: bool) -> Row:
    moved = max(c.max_displacement for c in result.cases)
    seconds = None if printing is None else printing.seconds
    cells = (
        Cell(name), tables.figure(1000 * mass, "g"), Cell(duration(seconds), seconds, "s"),
        tables.use(result.utilisation, result.solver), Cell(result.governing.mode), Cell(result.governing.case),
        tables.figure(moved, "mm"),
    )  # fmt: skip
    return Row(cells, chosen=chosen)


def _laid(p: Printing | None) -> str:
    """The wall as whole beads, which the print's time and cost are for."""
    if p is None:
        return ""
    wide = p.walls * closing_pitch(p.bead_width, p.layer_height)
    return f"Time and cost are for whole beads: {p.walls} of them, {wide:.3g} mm."
