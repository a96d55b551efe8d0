"""A part with infill beside the same print without, in one table."""

from __future__ import annotations

from dataclasses import replace

import synthetic

from printworthy.dossier.hollow import compared
from printworthy.inputs import Fill
from printworthy.results import SolidOption

BY_LAW, MEASURED = Fill(1.6, 0.25), Fill(1.6, 0.25, 0.12, 0.08, "own bars, 2026-03")


def test_both_prints_stand_with_mass_use_and_movement() -> None:
    part = synthetic.assessment().parts[0]
    solid = SolidOption(synthetic.direction_result("pa-cf", (0.0, 0.0, 1.0), 0.2), 2 * part.option.mass)
    table = compared(replace(part, solid=solid), BY_LAW)
    assert table is not None
    hollow, full = (dict(zip((c.title for c in table.columns), row.cells, strict=True)) for row in table.rows)
    assert [row.chosen for row in table.rows] == [True, False]
    assert full["mass"].value == 2 * float(hollow["mass"].value or 0)
    assert full["utilisation"].value == solid.result.utilisation
    assert hollow["utilisation"].value == part.option.result.utilisation
    assert full["largest movement"].value == max(c.max_displacement for c in solid.result.cases)
    assert "6.25 % of the solid print's stiffness, 3.75 % of its strength; open-cell foam" in table.note
    told = compared(replace(part, solid=solid), MEASURED)
    assert told is not None
    assert "12 % of the solid print's stiffness, 8 % of its strength; own bars, 2026-03" in told.note


def test_a_solid_part_has_no_such_table() -> None:
    assert compared(synthetic.assessment().parts[0], None) is None
