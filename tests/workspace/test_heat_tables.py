"""Heat in the workspace: what is wrong is one line with file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from printworthy import workspace
from printworthy.demo import build

SOURCE = """
[[heat_source]]
name = "spare"
kind = "disc"
emissivity = 0.8
source = "invented"
"""


def lines(folder: Path) -> list[str]:
    return [str(p) for p in workspace.problems(folder)]


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("heat") / "carrier"
    build(place)
    return place


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('view = 0.5', 'view = 0.5\ngap = "3 mm"', "a path has 2 ways"),
        ('view = 0.5', 'view = 1.5', "is not above 0 and at most 1"),
        ('view = 0.5', '', "a path has 0 ways"),
        ('view = 0.5', 'view = 0.5\nshields = 1', "belong together"),
        ('view = 0.5', 'film = "5 W/(m^2*K)"', "film is to the air"),
        ('source = "front disc"', 'source = "front disk"', 'Did you mean "front disc"?'),
        ('face = "side to the disc"', 'face = "side"', 'face "side" is not stated'),
        ('film = "8 to 14 W/(m^2*K)"', 'film = "8 to 14"', "has no unit"),
        ('film = "8 to 14 W/(m^2*K)"', 'film = "14 to 8 W/(m^2*K)"', "runs downwards"),
        ('film = "8 to 14 W/(m^2*K)"', 'film = "0 W/(m^2*K)"', "free skin is zero"),
        ('{ source = "disc", distance = "22 mm" },', '', "near names no disc"),
    ],
)  # fmt: skip
def test_a_wrong_hot_state(shipped: Path, old: str, new: str, said: str) -> None:
    path = shipped / "parts" / "caliper-bracket.toml"
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))
    try:
        found = lines(shipped)
    finally:
        path.write_text(text)
    assert found
    assert any(said in line and "caliper-bracket.toml:" in line for line in found), found


@pytest.mark.parametrize(
    ("added", "said"),
    [
        (SOURCE, "not driven by exactly one thing"),
        (SOURCE + 'losses = { power = "100 W", duration = "1 h" }\n', "lacks mass, specific_heat, area, film"),
        (SOURCE.replace("spare", "front disc") + 'temperature = "90 degC"\n', "stands twice"),
        (SOURCE + 'temperature = 90\n', "has no unit"),
    ],
)  # fmt: skip
def test_a_wrong_source(shipped: Path, added: str, said: str) -> None:
    path = shipped / "vehicle.toml"
    text = path.read_text()
    path.write_text(text + added)
    try:
        found = lines(shipped)
    finally:
        path.write_text(text)
    assert any(said in line and "vehicle.toml:" in line for line in found), found
