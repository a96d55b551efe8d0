"""Life in the dossier: every figure of the record, every test in the picture, nothing where there is nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from printworthy.dossier import lasting
from printworthy.dossier.document import Facts, Figure, Items, Table, Text
from printworthy.errors import Place
from printworthy.evidence.fatigue import sn_curve
from printworthy.inputs import FatigueSet, RideSpan
from printworthy.results import Life, LifeRow
from printworthy.workspace.rules import read_rules

RULES = read_rules()
TESTS = FatigueSet(
    "up <b>", "pa-cf", "between layers", 0.0, (4.0, 4.0, 3.0, 3.0, 2.0, 2.0), (900.0, 1400.0, 8e3, 1.9e4, 2e5, 1e6),
    (False, False, False, False, False, True), 23.0, "", "made up", True, Place(Path("a.csv")),
)  # fmt: skip
CURVE = sn_curve(TESTS)
ROWS = (
    LifeRow("standing <i>", "between layers", "up <b>", 3.0, 1.5, 40.0, 1200.0),
    LifeRow("never", "between layers", "up <b>", 0.0, 0.0, 0.0, 1e9),
)
LIFE = Life("h", RideSpan(500.0, "h"), 1234.0, 56789.0, True, ROWS, (CURVE,), (), ("cases add up",), True)


def text(blocks: tuple[object, ...]) -> str:
    found = []
    for b in blocks:
        match b:
            case Facts():
                found += [f"{name}: {cell.text}" for name, cell in b.pairs]
            case Items():
                found += [b.title, *b.items]
            case Table():
                found += [cell.text for row in b.rows for cell in row.cells]
            case Figure():
                found.append(b.caption)
            case Text():
                found.append(b.text)
    return "\n".join(found)


def test_a_computed_life_is_told_with_what_it_rests_on() -> None:
    told = text(lasting.blocks(LIFE, (TESTS,), RULES))
    for words in ("wanted: 500 h", "1200 h", "56\u202f000 h", "within what was tested", "cases add up", "standing <i>"):
        assert words in told, words
    assert "90 % of pieces, 95 % confidence" in told


def test_every_test_and_every_case_that_repeats_is_in_the_picture() -> None:
    (picture,) = [b for b in lasting.blocks(LIFE, (TESTS,), RULES) if isinstance(b, Figure)]
    read = ET.fromstring(picture.svg)
    groups = {g.get("class"): len(g) for g in read.iter() if (g.get("class") or "").startswith("points ")}
    assert groups == {"points disc": 5, "points ring": 1, "points square": 1}
    assert sum("curve" in (e.get("class") or "") for e in read.iter()) == 2
    assert "A" in {e.text for e in read.iter()}
    assert ("A", "standing <i>") in picture.key
    assert "INVENTED" in picture.caption


def test_places_stay_inside_the_frame() -> None:
    (picture,) = [b for b in lasting.blocks(LIFE, (TESTS,), RULES) if isinstance(b, Figure)]
    read = ET.fromstring(picture.svg)
    for group in read.iter():
        if (group.get("class") or "").startswith("points "):
            for path in group:
                x, y = (float(v) for v in (path.get("transform") or "")[len("translate(") : -1].split())
                assert 0 < x < 720
                assert 0 < y < 320


def test_an_undecided_life_says_what_is_missing_and_shows_the_tests_at_hand() -> None:
    life = replace(LIFE, low=None, middle=None, rows=(), missing=("no S-N set 'in layer'",), assumed=())
    blocks = lasting.blocks(life, (TESTS,), RULES)
    told = text(blocks)
    assert "life: not decided" in told
    assert "no S-N set 'in layer'" in told
    assert any(isinstance(b, Figure) for b in blocks)


@pytest.mark.parametrize("life", [None])
def test_no_life_is_said(life: Life | None) -> None:
    assert "not computed" in text(lasting.blocks(life, (), RULES))
