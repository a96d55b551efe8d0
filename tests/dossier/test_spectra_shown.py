"""The load spectrum in the dossier: every case with a duty, counted as it is; nothing where there is nothing."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import numpy as np
import pytest

from printworthy.dossier import spectra
from printworthy.dossier.document import Figure, Table
from printworthy.evidence.damage import spectrum
from printworthy.inputs import Cycle, Duty, LoadCase
from printworthy.results import SNCurve

SIZES = (Cycle.swing(1.0, 0.0, 2.0), Cycle.swing(0.5, 0.0, 40.0), Cycle.swing(0.05, 0.0, 1000.0))
GRAB = LoadCase("grab <b>", (), "steady", "test", duty=Duty("h", SIZES, "counted"))
RUT = LoadCase("rut", (), "steady", "test", duty=Duty("h", (Cycle.swing(1.0, -0.5, 3.0),), "made up"))
NEVER = LoadCase("never", (), "steady", "test", duty=Duty("h", (Cycle.swing(1.0, 0.0, 0.0),), "never"))
BARE = LoadCase("bare", (), "steady", "test")


def test_a_part_without_duties_has_no_spectrum() -> None:
    assert spectra.blocks((BARE, NEVER)) == ()


def test_cycles_add_up_from_the_largest() -> None:
    assert GRAB.duty is not None
    counts, ranges = spectra.above(spectrum(GRAB.duty))
    assert counts.tolist() == [2.0, 42.0, 1042.0]
    assert ranges.tolist() == [1.0, 0.5, 0.05]


def test_every_cycle_is_in_the_table_and_every_case_in_the_picture() -> None:
    picture, table = spectra.blocks((GRAB, RUT, BARE))
    assert isinstance(table, Table)
    assert isinstance(picture, Figure)
    told = {(r.cells[0].text, r.cells[1].text): r.cells[2].value for r in table.rows}
    assert told == pytest.approx({
        ("grab <b>", "0.9 to 1"): 2.0, ("grab <b>", "0.4 to 0.5"): 40.0, ("grab <b>", "0 to 0.1"): 1000.0,
        ("rut", "1.4 to 1.5"): 3.0,
    })  # fmt: skip
    lines = [e for e in ET.fromstring(picture.svg).iter() if (e.get("class") or "").startswith("curve ")]
    assert len(lines) == 2
    assert [name for _, name in picture.key] == ["grab <b>", "rut"]


def test_one_steady_range_by_hand() -> None:
    """b = -0.5, m = 2: ((2 x 1 + 40 x 0.25 + 1000 x 0.0025) / 1042)^0.5 = 0.11796."""
    curve = SNCurve(
        "set", "stuff", "in layer", 0.0, 10.0, -2.0, 0.1, (0.1, 0.0, 0.1), 6, 6, 1.0, 9.0, 1e6, "test", True
    )
    *_, table = spectra.blocks((GRAB,), (curve,))
    assert isinstance(table, Table)
    (row,) = table.rows
    assert [c.value for c in row.cells[2:]] == pytest.approx([2.0, (14.5 / 1042) ** 0.5, 1042.0])


def test_rare_cycles_stay_in_the_picture() -> None:
    rare = LoadCase("rare", (), "steady", "test", duty=Duty("km", (Cycle.swing(1.0, 0.0, 1e-7),), "test"))
    picture, table = spectra.blocks((rare,))
    assert isinstance(picture, Figure)
    assert isinstance(table, Table)
    assert np.isclose(table.rows[0].cells[2].value or 0.0, 1e-7)
    assert "NaN" not in picture.svg
