"""Other figures of the vehicle, tried on the page: what they do is told before anything is written."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from served import Server, wait_for
from steps import enter

from printworthy import ride
from printworthy.dossier.document import Table
from printworthy.errors import TextError
from printworthy.page import edits, runs, whatif
from printworthy.page.desk import Desk
from printworthy.ride.vehicle import trail
from printworthy.workspace.change import way

MECHANISM = """
[frame]
wheelbase = "1150 mm"
rake = "25 deg"   # of the steering axis
offset = "40 mm"
grip = 0.8
[front]
radius = "165 mm"
mass = "7 kg"
[rear]
radius = "165 mm"
mass = "14 kg"
[[mass]]
name = "all of it"
mass = "60 kg"
centre = "560, 0, 400 mm"
"""


@pytest.fixture
def desk(shipped: Path, tmp_path: Path) -> Desk:
    return Desk(Path(shutil.copytree(shipped, tmp_path / "carrier")))


def test_two_texts_differ_in_figures() -> None:
    landing = '[[event]]\nname = "a 0.8 m drop"\nheight = "800 mm"\n'
    old = MECHANISM + landing
    assert whatif.differing(old, old) == {}
    new = old.replace('"25 deg"', '"27 deg"').replace("grip = 0.8", "grip = 0.7").replace('"800 mm"', '"900 mm"')
    found = {"frame.rake": "27 deg", "frame.grip": "0.7", "event.a 0.8 m drop.height": "900 mm"}
    assert whatif.differing(old, new) == found
    assert way("event.a 0.8 m drop.height", {"event": [{"name": "a 0.8 m drop"}]}) == [
        "event",
        "a 0.8 m drop",
        "height",
    ]
    assert whatif.kept(old, found) == new  # comments and all


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("[rear]", "[rear", "cannot be read yet"),
        ("[frame]", '[service]\nlow = "0 degC"\n[frame]', '"service" is no figure of the mechanism'),
        ('mass = "60 kg"\n', "", "a table that comes or goes"),
    ],
)
def test_what_is_no_other_figure_is_said(old: str, new: str, line: str) -> None:
    with pytest.raises(TextError, match=re.escape(line)):
        whatif.differing(MECHANISM, MECHANISM.replace(old, new))


def test_the_handling_is_there_at_once_and_the_parts_follow(desk: Desk) -> None:
    before = (desk.root / "vehicle.toml").read_bytes()
    job = desk.snapshot().job
    assert job is not None
    figures = {"frame.rake": "28 deg", "front.radius": "170 mm"}
    (first, *_), wrong = whatif.told(desk, job, {"figures": figures})
    assert isinstance(first, Table)
    assert not wrong
    rows = {row.cells[0].text: row.cells for row in first.rows}
    assert rows["trail"][1].value == pytest.approx(trail(165.0, 25.0, 40.0))
    assert rows["trail"][2].value == pytest.approx(trail(170.0, 28.0, 40.0))
    assert "wheelbase" not in rows
    text = before.decode().replace('rake = "25 deg"', 'rake = "28 deg"').replace('"165 mm"', '"170 mm"', 1)
    whole, _ = whatif.told(desk, job, {"content": text, "whole": True})
    tables = {b.caption: b for b in whole if isinstance(b, Table)}
    assert tables["Geometry and handling, before and after"].rows == first.rows
    parts = {row.cells[0].text: [c.text for c in row.cells] for row in tables["Parts, before and after"].rows}
    assert parts["fork-yoke"][6:8] == ["not assessed", "assess again"]
    assert "clamp-grip" not in parts
    assert (desk.root / "vehicle.toml").read_bytes() == before


def test_figures_that_cannot_be_are_told_with_their_line(desk: Desk) -> None:
    said = edits.VERBS["vary"](desk, {"figures": {"frame.wheelbase": "0 mm"}, "whole": True})
    (problem,) = said["problems"]
    assert problem["name"] == "vehicle.toml"
    assert problem["line"] > 1
    assert "is not above zero" in problem["what"]
    with pytest.raises(TextError, match="is no figure of the vehicle"):
        edits.VERBS["vary"](desk, {"figures": {"service.low": "0 degC"}})


def test_figures_are_kept_only_when_asked(desk: Desk) -> None:
    keys = {key for key, _, _ in whatif.fields(desk)}
    assert {"frame.rake", "frame.offset", "front.radius", "rear.radius", "event.jump off a ledge.height"} <= keys
    edits.VERBS["keep"](desk, {"figures": {"frame.rake": "27 deg"}})
    job = desk.snapshot().job
    assert job is not None
    assert job.vehicle.machine is not None
    figures = {h.name: h.value for h in ride.handling(job.vehicle.machine)}
    assert figures["trail"] == pytest.approx(trail(165.0, 27.0, 40.0))


def test_new_answers_leave_what_is_typed(tab, workspace) -> None:
    path = workspace / "vehicle.toml"
    path.write_text(path.read_text() + MECHANISM)
    server = Server(workspace).start()
    try:
        wait_for((workspace / ".cache" / "page" / "run.json").exists)
        enter(tab, server, "/ride")
        tab.get_by_label("steering-head angle, from upright").fill("28 deg")
        old = runs.last(workspace)
        assert old is not None
        runs.put(workspace, replace(old.assessment, when="a later hour"), old.keys)
        tab.get_by_role("button", name="Show them").wait_for()
        assert tab.get_by_label("steering-head angle, from upright").input_value() == "28 deg"
        tab.locator("#whatif[data-told=whole]").wait_for()
    finally:
        server.stop()


def test_a_figure_is_tried_on_the_page_and_in_the_text(tab, workspace) -> None:
    path = workspace / "vehicle.toml"
    path.write_text(path.read_text() + MECHANISM)
    stated = path.read_text()
    server = Server(workspace).start()
    try:
        enter(tab, server, "/ride")
        tab.get_by_label("steering-head angle, from upright").fill("28 deg")
        row = tab.locator("#whatif tr", has_text="trail").first
        row.wait_for()
        assert f"{trail(165.0, 28.0, 40.0):.1f}" in row.inner_text()
        tab.locator("#whatif[data-told=whole]").wait_for()
        assert path.read_text() == stated
        tab.get_by_label("offset of the front axle").fill("40")
        tab.locator("#whatif li", has_text="has no unit").wait_for()
        tab.get_by_role("button", name="Back to what is stated").click()
        tab.get_by_label("offset of the front axle").fill("30 mm")
        tab.locator("#whatif[data-told=whole]").wait_for()
        tab.get_by_role("button", name="Keep them").click()
        tab.get_by_text("Kept in vehicle.toml").wait_for()
        assert path.read_text() == stated.replace('"40 mm"', '"30 mm"')
        enter(tab, server, "/text/vehicle.toml")
        tab.locator("#text").fill(path.read_text().replace('"25 deg"', '"20 deg"'))
        row = tab.locator("#whatif tr", has_text="rake").first
        row.wait_for()
        assert "20" in row.inner_text()
        assert '"25 deg"' in path.read_text()
        tab.locator("#whatif[data-told=whole]").wait_for()
    finally:
        server.stop()
