"""Filled and hollow: a part with infill beside the same print without."""

from __future__ import annotations

from printworthy.dossier import tables
from printworthy.dossier.document import Cell, Column, Row, Table
from printworthy.inputs import Fill
from printworthy.results import DirectionResult, PartAssessment
from printworthy.strength.zones import LAW, shares


def compared(part: PartAssessment, fill: Fill | None) -> Table | None:
    """Mass, utilisation and movement with the stated infill and printed solid; None for a part that is solid."""
    if fill is None or part.solid is None:
        return None

    def row(name: str, mass: float, result: DirectionResult, *, chosen: bool) -> Row:
        moved = max(c.max_displacement for c in result.cases)
        cells = (Cell(name), tables.figure(1000 * mass, "g"), tables.use(result.utilisation, result.solver),
                 Cell(result.governing.mode), Cell(result.governing.case), tables.figure(moved, "mm"))  # fmt: skip
        return Row(cells, chosen=chosen)

    stiffness, strength = shares(fill)
    hollow = f"walls of {fill.wall:.3g} mm, infill {100 * fill.density:.3g} %"
    rows = (
        row(hollow, part.option.mass, part.option.result, chosen=True),
        row("solid", part.solid.mass, part.solid.result, chosen=False),
    )
    columns = (Column("print"), Column("mass", "g", "number"), Column("utilisation", "", "bar"),
               Column("governing mode"), Column("governing case"),
               Column("largest movement", "mm", "number"))  # fmt: skip
    note = (
        f"Both built {tables.turned(part.option.result.direction)}, on the same mesh. Infill: {100 * stiffness:.3g} % "
        f"of the solid print's stiffness, {100 * strength:.3g} % of its strength; "
        f"{fill.source if fill.measured else LAW}. Stresses in the infill are those that would bring the solid print "
        "as near its strength."
    )
    return Table("Filled and hollow", columns, rows, note=note)
