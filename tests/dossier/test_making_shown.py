"""Charts of making: every word is readable and inside the drawing, limits are seen, times are told as people do."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from printworthy.dossier import sheet
from printworthy.dossier.making import duration
from printworthy.dossier.making_set import gantt, kit_curve
from printworthy.dossier.plot import LETTER
from printworthy.results import KitPoint, Schedule, Slot, Spares

HOUR = 3600.0


def texts(svg: str) -> dict[str, ET.Element]:
    return {e.text: e for e in ET.fromstring(svg).iter() if e.tag.endswith("text") and e.text}


def test_words_on_dark_bars_are_light_and_words_without_room_stand_beside() -> None:
    slots = (
        Slot("dry pa-cf", "dryer", 0, 8 * HOUR, None),
        Slot("bed 1", "warm 1", 8 * HOUR, 30 * HOUR, None),
        Slot("finish bed 1", "bench", 30 * HOUR, 30.5 * HOUR, None),
    )
    use = {"bench": 0.02, "dryer": 0.3, "warm 1": 0.7}
    found = gantt(Schedule(slots, 30.5 * HOUR, 0, use, optimal=True, bound=0, words="every due date is kept"))
    words = texts(found.svg)
    assert "light" in (words["bed 1"].get("class") or "")
    assert "light" not in (words["dry pa-cf"].get("class") or "")
    beside = words["finish bed 1"]
    bars = [e for e in ET.fromstring(found.svg).iter() if (e.get("class") or "").startswith("block")]
    left = float(beside.get("x") or 0)
    right = left + LETTER * len("finish bed 1")
    assert left > 0
    assert right < sheet.WIDTH
    y = float(beside.get("y") or 0) - 5
    for bar in bars:
        x0, y0, w, h = (float(bar.get(k) or 0) for k in ("x", "y", "width", "height"))
        assert right <= x0 or left >= x0 + w or y < y0 or y > y0 + h


def test_the_limit_of_a_kit_is_inside_its_chart() -> None:
    points = (KitPoint(0, 0.1, (), 0, printer=False), KitPoint(8, 0.99, (("a", 3),), 0, printer=False))
    found = kit_curve(Spares((), 48 * 30.4375 * 86400, 60.0, points, (), points[-1], ()))
    (line,) = [e for e in ET.fromstring(found.svg).iter() if e.get("class") == "limit"]
    assert 0 < float((line.get("d") or "").removeprefix("M").split()[0]) < sheet.WIDTH
    assert "absence of 48 months" in found.caption


@pytest.mark.parametrize(
    ("seconds", "told"),
    [(40 * 60, "40 min"), (20 * HOUR, "20 h"), (56 * 86400, "56 days"), (365.25 * 86400, "12 months")],
)
def test_times_are_told_in_the_unit_people_use(seconds: float, told: str) -> None:
    assert duration(seconds) == told
