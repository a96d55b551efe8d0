"""Weighed and measured pieces in the dossier."""

from __future__ import annotations

from pathlib import Path

from printworthy.dossier import pieces
from printworthy.dossier.document import Facts, Table, Text
from printworthy.errors import Place
from printworthy.evidence.capability import capability
from printworthy.inputs import DimensionSet
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


def test_without_a_density_nothing_is_expected_on_the_scale() -> None:
    (only,) = pieces.blocks(None, {}, [], RULES)
    assert isinstance(only, Text)
