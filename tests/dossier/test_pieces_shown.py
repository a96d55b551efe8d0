"""Weighed and measured pieces in the dossier."""

from __future__ import annotations

from pathlib import Path

from printworthy.dossier import pieces
from printworthy.dossier.document import Facts, Table, Text
from printworthy.errors import Place
from printworthy.evidence.capability import capability
from printworthy.inputs import DimensionSet, Weighing
from printworthy.results import Weighed, Weight
from printworthy.workspace.rules import read_rules

RULES = read_rules()
ONE = Weighed("one", 0.0223, 0.88, 0.92, 0.98, "under-extruded", (0.81, 0.9), (0.63, 0.9), "scale <b>", True)
BORE = DimensionSet("bore", "peg", 12.0, 11.9, 12.1, (11.97, 12.0, 12.03), "gauge", False, Place(Path("b.csv"), 2))


def test_every_piece_and_dimension_is_shown_and_the_claim_beside() -> None:
    held = {"bore": capability(BORE.values, BORE.lower, BORE.upper)}
    scale, weighed, table = pieces.blocks(Weight(0.024, 0.025, (ONE,)), held, [BORE], RULES)
    assert isinstance(scale, Facts)
    assert [cell.text for _, cell in scale.pairs] == ["24 g", "25 g"]
    assert isinstance(weighed, Table)
    assert [c.text for c in weighed.rows[0].cells] == [
        "one", "22.3", "88 to 92", "98", "under-extruded", "81 to 90", "63 to 90", "scale <b>",
    ]  # fmt: skip
    assert weighed.rows[0].cells[4].mark == "invented"
    assert isinstance(table, Table)
    own, claim = table.rows
    # tolerance 0.2 over six times 0.03; the claim: 100 um over 50 um
    assert (own.cells[5].text, claim.cells[5].text) == ("1.11", "2")
    assert "common practice, no source" in claim.cells[-1].text


def test_the_beads_that_were_laid_are_shown_with_what_they_leave() -> None:
    """w 0.5, h 0.25, pitch 0.475: section 0.111587 mm2, closing 0.44635 mm, voids 6.03 and 7.58 % (closed forms of a
    stadium)."""
    laid = Weighing("one", "peg", "pla", 0.0223, None, (0.5, 0.25, 0.475, 1.0), "scale", False, Place(Path("w.csv"), 2))
    *_, table = pieces.blocks(Weight(0.0248, 0.0248, (ONE,)), {}, [], RULES, [laid])
    assert isinstance(table, Table)
    assert table.caption == "Inside the bead"
    assert [c.text for c in table.rows[0].cells[5:]] == ["0.1116", "0.446", "6.03", "7.58", "61.5", "23.3 to 23.3"]


def test_without_a_density_nothing_is_expected_on_the_scale() -> None:
    (only,) = pieces.blocks(None, {}, [], RULES)
    assert isinstance(only, Text)
