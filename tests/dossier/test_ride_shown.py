"""The free body as a picture: one arrow for one place, seen from where places part, nothing cut off."""

from __future__ import annotations

from itertools import combinations
from xml.etree import ElementTree as ET

import pytest

from printworthy.dossier import sheet
from printworthy.dossier.document import Text
from printworthy.dossier.plot import LETTER, LINE
from printworthy.dossier.ride import free_body, loose, part_blocks, side_view, together
from printworthy.inputs import Job, Vector
from printworthy.results import FreeBody, Push

NONE: Vector = (0.0, 0.0, 0.0)
YOKE = (
    Push("left leg", (0, 80, 0), (1157, 0, 0), NONE, "load"),
    Push("left leg", (0, 80, 0), (0, 0, 429), NONE, "load"),
    Push("right leg", (0, -80, 0), (1157, 0, 0), NONE, "load"),
    Push("right leg", (0, -80, 0), (0, 0, 429), NONE, "load"),
    Push("inertia of the part", (-9, 0, 14), (-2, 0, -5), NONE, "inertia"),
    Push("weight of the part", (-9, 0, 14), (-1.5, 0, -3.3), NONE, "inertia"),
    Push("stem", (-40, 0, 0), (-2310, 0, -850), (0, 34100, 0), "support"),
)


def test_a_loose_part_is_said_to_be_none_of_the_vehicle(shipped_job: Job) -> None:
    job = shipped_job
    parts = {p.name: p for p in job.parts}
    titles = {name: part.title for name, part in parts.items()}
    told = loose(job, titles)
    assert told is not None
    assert told.text.endswith(f": {titles['clamp-grip']}.")  # the pinch bolt is metal whatever is asked of it
    assert loose(job, {"foot-peg": "Foot peg"}) is None
    (said,) = part_blocks((), "coupon about to break", parts["clamp-grip"])
    assert isinstance(said, Text)
    assert said.text.startswith("No part of the vehicle")


def test_what_acts_at_one_place_is_one_arrow() -> None:
    found = together(YOKE)
    assert [p.name for p in found] == ["left leg", "right leg", "inertia of the part and weight of the part", "stem"]
    assert found[0].force == (1157, 0, 429)
    assert found[2].force == pytest.approx((-3.5, 0, -8.3))


def test_two_legs_side_by_side_are_seen_from_where_they_part() -> None:
    found = free_body(FreeBody("step", "event", YOKE, 0.0, ""))
    assert "seen along z" in found.caption
    assert dict(found.key)["d"] == "stem: 2 461 N and 34.1 N m (support)".replace(" 461", "\u202f461")


@pytest.mark.parametrize("side", [1.0, 30.0])
def test_letters_are_apart_and_arrows_inside(side: float) -> None:
    pushes = tuple(Push(p.name, (side * p.point[0], p.point[1], p.point[2]), p.force, p.moment, p.kind) for p in YOKE)
    svg = ET.fromstring(free_body(FreeBody("step", "event", pushes, 0.0, "")).svg)
    height = float((svg.get("viewBox") or "").split()[3])
    letters = [e for e in svg.iter() if e.tag.endswith("text") and len(e.text or "") == 1 and (e.text or "").isalpha()]
    assert sorted(e.text or "" for e in letters) == ["a", "b", "c", "d"]
    places = [(float(e.get("x") or 0), float(e.get("y") or 0)) for e in letters]
    assert all(abs(a[0] - b[0]) >= LETTER or abs(a[1] - b[1]) >= LINE - 1e-6 for a, b in combinations(places, 2))
    ends = [float(e.get(k) or 0) for e in svg.iter() if e.tag.endswith("line") for k in ("x1", "x2")]
    assert ends
    assert all(0 < x < sheet.WIDTH for x in ends)
    assert all(0 < float(e.get(k) or 0) < height for e in svg.iter() if e.tag.endswith("line") for k in ("y1", "y2"))


def test_names_on_the_vehicle_keep_off_the_steering_axis(shipped_job: Job) -> None:
    machine = shipped_job.vehicle.machine
    assert machine is not None
    svg = ET.fromstring(side_view(machine).svg)
    (axis,) = [e for e in svg.iter() if e.get("class") == "curve dashed"]
    (x0, y0), (x1, y1) = ([float(v) for v in p.split(",")] for p in (axis.get("points") or "").split())
    told = {e.text: e for e in svg.iter() if e.tag.endswith("text")}
    for name in ("supplies on the front rack", "frame with battery", "rider standing", "rider seated", "grip", "seat"):
        x, y = (float(told[name].get(k) or 0) for k in ("x", "y"))
        line = x0 + (x1 - x0) * (y - 5 - y0) / (y1 - y0)
        assert line < x or line > x + 0.8 * LETTER * len(name) or not y1 <= y - 5 <= y0, name
