"""The waterfall: bars that meet, a final bar of the design value, every step and every untaken one in the key."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from printworthy.dossier.waterfall import waterfall
from printworthy.results import DesignValue, Step

STEPS = (Step("lower limit", 0.7, "k = 3.4", "limit"), Step("heat", 0.5, "ISO 75, assumed", "heat"))
VALUE = DesignValue("between layers, tension", 7.0, 20.0, STEPS, "b", "coupons s", "measured", 5)
LEFT = (Step("size", 1.0, "not compared"),)
SVG = "{http://www.w3.org/2000/svg}"


def test_bars_meet_and_end_at_the_design_value() -> None:
    figure = waterfall(VALUE, LEFT)
    bars = [r for r in ET.fromstring(figure.svg).iter(f"{SVG}rect") if "block" in r.get("class", "")]
    spans = [(float(r.get("y", 0)), float(r.get("y", 0)) + float(r.get("height", 0))) for r in bars]
    start, first, second, final = spans
    scale = (start[1] - start[0]) / 20.0  # units for each MPa
    assert first[0] == pytest.approx(start[0], abs=0.15)  # top of the first step is the start
    assert second[0] == pytest.approx(first[1], abs=0.15)
    assert final[0] == pytest.approx(second[1], abs=0.15)
    assert (final[1] - final[0]) / scale == pytest.approx(7.0, rel=0.01)
    assert [r.get("class") for r in bars] == ["block pale", "block", "block hatched", "block"]


def test_every_step_is_named_with_its_source() -> None:
    figure = waterfall(VALUE, LEFT)
    assert [letter for letter, _ in figure.key] == ["a", "b", "c"]
    text = " ".join(meaning for _, meaning in figure.key)
    for step in STEPS:
        assert step.name in text
        assert step.source in text
    assert "size: not taken, not compared" in text
    assert "20 MPa" in figure.caption
    assert "7 MPa" in figure.caption
