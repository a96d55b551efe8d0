"""Axes: round ticks, places, and nothing drawn outside the frame."""

from __future__ import annotations

from itertools import combinations, pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.dossier import sheet
from printworthy.dossier.plot import LINE, TOP, Axis, log_ticks, plot


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


def test_names_of_lines_keep_apart_and_near_their_lines() -> None:
    drawn = plot(Axis("x", 0, 10), Axis("y", 0, 100), height=200)
    drawn.ends([(50, "A"), (50, "B"), (51, "C"), (90, "D"), (0, "E")])
    read = {e.text: float(e.get("y") or 0) - 5 for e in ET.fromstring(drawn.text()).iter() if (e.text or "") in "ABCDE"}
    places = sorted(read.values())
    assert all(b - a >= LINE - 0.11 for a, b in pairwise(places))
    assert read["D"] == pytest.approx(drawn.at(10, 90)[1], abs=0.1)
    assert read["E"] == pytest.approx(TOP + 200, abs=0.1)
    middle = sorted(read[k] for k in "ABC")[1]
    assert middle == pytest.approx(drawn.at(10, 50.33)[1], abs=0.2)  # the three lie about their mean


def test_a_word_beside_a_place_covers_no_other() -> None:
    drawn = plot(Axis("x", 0, 10), Axis("y", 0, 100), height=200)
    for _ in range(4):
        drawn.name(5, 50, "ab")
    boxes = drawn.taken
    assert len(boxes) == 4
    assert not any(a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] for a, b in combinations(boxes, 2))


def test_the_last_figure_of_an_axis_ends_inside_the_drawing() -> None:
    drawn = plot(Axis("pieces", 1, 1e5, log=True), Axis("y", 0, 1))
    (last,) = [e for e in ET.fromstring(drawn.text()).iter() if len(e.text or "") > 6]
    assert (last.text or "").startswith("100")
    assert "end" in (last.get("class") or "")
    assert float(last.get("x") or 0) < sheet.WIDTH


@given(st.floats(1e-6, 1e6), st.floats(1.3, 1e12))
def test_an_axis_by_powers_of_ten_has_three_to_nine_ticks_however_long(low: float, ratio: float) -> None:
    values = [v for v, _ in log_ticks(low, low * ratio)]
    assert 3 <= len(values) <= 9
    assert all(low * (1 - 1e-9) <= v <= low * ratio * (1 + 1e-9) for v in values)


def test_ticks_by_powers_of_ten_are_round() -> None:
    assert [v for v, _ in log_ticks(5.0, 50.0)] == [5, 10, 20, 50]
    assert [v for v, _ in log_ticks(6.1, 15.2)] == [8, 10, 15]
    assert [v for v, _ in log_ticks(6.3, 7.9)] == [6.5, 7.0, 7.5]
