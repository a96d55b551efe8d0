"""Axes: round ticks, places, and nothing drawn outside the frame."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.dossier import sheet
from printworthy.dossier.plot import TOP, Axis, plot


@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e5))
def test_an_axis_has_three_to_nine_round_ticks_inside_its_ends(low: float, span: float) -> None:
    axis = Axis("force, N", low, low + span)
    values = [v for v, _ in axis.marked()]
    assert 3 <= len(values) <= 9
    assert all(-1e-6 <= float(axis.share(v)) <= 1 + 1e-6 for v in values)


def test_a_log_axis_is_marked_at_powers_of_ten() -> None:
    axis = Axis("cycles", 1e3, 1e7, log=True)
    assert [v for v, _ in axis.marked()] == [1e3, 1e4, 1e5, 1e6, 1e7]
    assert float(axis.share(1e5)) == pytest.approx(0.5)


def test_places_run_from_corner_to_corner() -> None:
    drawn = plot(Axis("x", 0, 10), Axis("y", -2, 2), height=200)
    assert drawn.at(0, -2) == pytest.approx((drawn.left, TOP + 200))
    assert drawn.at(10, 2) == pytest.approx((drawn.left + drawn.width, TOP))
    assert drawn.left + drawn.width < sheet.WIDTH


def test_everything_asked_for_is_in_the_drawing() -> None:
    drawn = plot(Axis("day", 0, 3, ticks=((1, "Mon"), (2, "Tue"))), Axis("pieces", 0, 40))
    drawn.band([0, 3], [0, 10], [5, 20])
    drawn.line([0, 3], [0, 30], "dashed", "printed")
    drawn.points([1, 2], [10, 20], "square")
    drawn.box(0.5, 1.5, 0, 8)
    drawn.level(35, "wanted")
    drawn.level(2, "due", across=False)
    drawn.say(1, 10, "<b>user's text</b>")
    read = ET.fromstring(drawn.text())
    text = {e.text for e in read.iter() if e.text}
    assert {"Mon", "Tue", "day", "pieces", "printed", "wanted", "due", "<b>user's text</b>"} <= text
    classes = [c for e in read.iter() for c in (e.get("class") or "").split()]
    assert all(name in classes for name in ("band", "dashed", "square", "block", "limit"))
