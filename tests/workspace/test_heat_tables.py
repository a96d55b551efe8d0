"""Heat in the workspace: what is wrong is one line with file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from printworthy import workspace

SOURCE = """
[[heat_source]]
name = "spare"
kind = "disc"
emissivity = 0.8
source = "invented"
"""


def lines(folder: Path) -> list[str]:
    return [str(p) for p in workspace.problems(folder)]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('view = 0.5', 'view = 0.5\ngap = "3 mm"', "a path has 2 ways"),
        ('view = 0.5', 'view = 1.5', "cannot be meant here (taken are 0.001 to 1)"),
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


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('mass = "0.42 kg"', 'mass = "420 kg"', '"420 kg" cannot be meant here (taken are 5 g to 200 kg'),
        ('mass = "0.42 kg"', 'mass = "0.42 g"', "cannot be meant here"),
        ('mass = "0.42 kg"', 'mass = "nan kg"', "nan"),
        ('area = "420 cm^2"', 'area = "420 cm"', "cm"),
        ('area = "420 cm^2"', 'area = "420 mm^2"', "taken are 5 cm^2 to 10 m^2"),
        ('specific_heat = "460 to 500 J/(kg*K)"', 'specific_heat = "0.46 to 0.5 J/(kg*K)"', "taken are 100 to 5000"),
        ('emissivity = 0.7', 'emissivity = 0.0007', "0.02, polished metal"),
        ('duration = "40 min"', 'duration = "40 s"', "a descent of 900 m in 0.667 min is none that is ridden"),
        ('height = "900 m"', 'height = "900 mm"', "taken are 1 to 9000 m"),
        ('temperature = "128 degC"', 'temperature = "12.8 degC"', '"brake caliper" at 12.8 degC is colder'),
        ('temperature = "128 degC"', 'temperature = "1280 degC"', "taken are up to 1000 degC"),
        ('temperature = "128 degC"', 'temperature = ""', "temperature"),
        ('power = "165 to 175 W"', 'power = "165 to 175 kW"', "taken are 0 to 100 kW"),
    ],
)  # fmt: skip
def test_a_figure_of_heat_that_cannot_be_meant(shipped: Path, old: str, new: str, said: str) -> None:
    path = shipped / "vehicle.toml"
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))
    try:
        found = lines(shipped)
    finally:
        path.write_text(text)
    assert len(found) == 1, found
    assert said in found[0], found
    assert "vehicle.toml:" in found[0]


def test_a_temperature_near_the_part_is_that_of_the_hottest_day(shipped: Path) -> None:
    path = shipped / "parts" / "headlamp-surround.toml"
    text = path.read_text()
    near = 'near = [{ source = "controller", temperature = "4 degC", temperature_source = "thermocouple" }]'
    path.write_text(text.replace(next(x for x in text.splitlines() if x.startswith("near")), near))
    try:
        (line,) = lines(shipped)
    finally:
        path.write_text(text)
    assert "4 degC near the controller is colder than the hot end of service, 40 degC" in line
