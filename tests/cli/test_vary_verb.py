"""The verb vary: before and after on the screen, nothing written, wrong figures in one line."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from printworthy import flow
from printworthy.cli import app
from printworthy.errors import TextError
from printworthy.ride.vehicle import trail
from printworthy.workspace import WorkspaceProblems


def test_trail_and_loads_change_and_nothing_is_written(shipped: Path) -> None:
    before = (shipped / "vehicle.toml").read_bytes()
    told = CliRunner().invoke(app, ["vary", str(shipped), "frame.rake=28 deg", "rider.mass=90 kg", "--json"])
    assert told.exit_code == 0
    found = json.loads(told.stdout)
    figures = {old["name"]: (old["value"], new["value"]) for old, new in found["handling"]}
    # R tan(rake) - offset / cos(rake), as in check of the single track: the formula's own tests stand there
    assert figures["trail"] == pytest.approx((trail(165.0, 25.0, 40.0), trail(165.0, 28.0, 40.0)))
    assert figures["rider seated: front wheel load"][1] > figures["rider seated: front wheel load"][0]
    parts = {p["part"]: p for p in found["parts"]}
    yoke = {c["case"]: c for c in parts["fork-yoke"]["cases"]}["hard braking"]
    assert yoke["after"] != yoke["before"]
    assert yoke["rest"] > 0.01
    lever = {c["case"]: c for c in parts["hand-lever"]["cases"]}["panic grab"]
    assert (lever["scale"], lever["rest"]) == pytest.approx((1.0, 0.0), abs=1e-9)
    assert {p["word"][1] for p in found["parts"]} == {""}
    assert "pinch-bolt" not in parts
    assert "clamp-grip" not in parts
    assert (shipped / "vehicle.toml").read_bytes() == before


def test_a_drop_limit_that_cannot_be_told_says_why(shipped: Path) -> None:
    told = CliRunner().invoke(app, ["vary", str(shipped), "rider.mass=90 kg"])
    assert "no drop limit before: Foot peg lies in the load path and was not assessed" in told.stdout
    assert "no drop limit after: Foot peg" in told.stdout


def test_the_tables_say_what_is_not_known(shipped: Path) -> None:
    told = CliRunner().invoke(app, ["vary", str(shipped), "mass.supplies on the front rack.mass=50 kg"])
    assert told.exit_code == 0
    assert "not assessed" in told.stdout
    assert "trail" in told.stdout


@pytest.mark.parametrize(
    ("figure", "line"),
    [
        ("rake", r'"rake" is no figure of the vehicle.*TABLE\.KEY'),
        ("service.low", r'"service.low" is no figure of the vehicle'),
        ("mass.frame.mass", r'there is no "frame" in the vehicle.*frame with battery'),
        ("middle.radius", r'"middle.radius" is no figure of the vehicle'),
    ],
)
def test_a_figure_that_leads_nowhere(shipped: Path, figure: str, line: str) -> None:
    with pytest.raises(TextError, match=line):
        flow.read(shipped, {figure: "1 mm"})


@pytest.mark.parametrize(
    ("figure", "text", "line"),
    [
        ("frame.rake", "26", r"vehicle\.toml:\d+ \(frame\.rake\): angle .* has no unit"),
        ("frame.rakee", "26 deg", r'"rakee" is not known here'),
        ("front.radius", "-3 mm", r"is not above zero"),
    ],
)
def test_a_value_that_cannot_be(shipped: Path, figure: str, text: str, line: str) -> None:
    with pytest.raises(WorkspaceProblems) as caught:
        flow.read(shipped, {figure: text})
    assert any(re.search(line, str(p)) for p in caught.value.problems)
