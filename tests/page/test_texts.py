"""Texts are written over the version they were made from alone; comments and order stay; versions come back."""

from __future__ import annotations

import tomllib
from pathlib import Path

import netgen.occ as occ
import numpy as np
import pytest

from printworthy.errors import TextError
from printworthy.inputs import Geometry
from printworthy.page import picking, skins, texts
from printworthy.page.bringing import quoted
from printworthy.shape import mesh, read

PART = """# first line
role = "cover"   # what it is
material = "petg"

[geometry]
file = "bar.step"

[faces.held]     # the wall
plane = { point = "0, 0, 0 mm", normal = "-x" }

[[support]]
face = "held"
kind = "fixed"

[[case]]
name = "pull"
kind = "steady"
source = "weighed"

[[case.load]]    # its own mass
gravity = "0, 0, -1 g"

[making]         # last
quantity = 2
"""


def test_a_text_is_written_over_the_version_it_was_made_from_alone(tmp_path: Path) -> None:
    made = texts.write(tmp_path, "vehicle.toml", "a = 1\n", "")
    with pytest.raises(texts.Changed) as changed:
        texts.write(tmp_path, "vehicle.toml", "a = 2\n", "")
    assert changed.value.text.content == "a = 1\n"
    (tmp_path / "vehicle.toml").write_text("a = 3\n")  # another program
    with pytest.raises(texts.Changed) as changed:
        texts.write(tmp_path, "vehicle.toml", "a = 2\n", made.digest)
    assert (tmp_path / "vehicle.toml").read_text() == "a = 3\n"
    now = texts.write(tmp_path, "vehicle.toml", "a = 2\n", changed.value.text.digest)
    assert now.earlier == 1
    assert texts.undo(tmp_path, "vehicle.toml", now.digest).content == "a = 3\n"


def test_every_version_comes_back_in_turn_with_its_own_line_ends(tmp_path: Path) -> None:
    (tmp_path / "vehicle.toml").write_bytes(b"a = 1\r\nb = 2\r\n")
    text = texts.read(tmp_path, "vehicle.toml")
    for n in range(3):
        text = texts.write(tmp_path, "vehicle.toml", f"a = {n}\nb = 2\nc = 3\n", text.digest)
    assert (tmp_path / "vehicle.toml").read_bytes() == b"a = 2\r\nb = 2\r\nc = 3\r\n"
    for wanted in ("a = 1\nb = 2\nc = 3\n", "a = 0\nb = 2\nc = 3\n", "a = 1\nb = 2\n"):
        text = texts.undo(tmp_path, "vehicle.toml", text.digest)
        assert text.content == wanted
    with pytest.raises(TextError, match="no earlier"):
        texts.undo(tmp_path, "vehicle.toml", text.digest)


@pytest.mark.parametrize(
    ("use", "expected"),
    [
        ({"as": "face"}, {}),
        ({"as": "support", "kind": "bolt hole", "stiffness": "5 N/mm^3"},
         {"support": {"face": "hole", "kind": "bolt hole", "stiffness": "5 N/mm^3"}}),
        ({"as": "load", "load": "bearing", "value": "0, 0, -9 N", "case": "pull"},
         {"load": {"face": "hole", "bearing": "0, 0, -9 N"}}),
        ({"as": "load", "load": "force", "value": "1, 0, 0 N", "case": "new", "case_kind": "impact", "source": "said"},
         {"case": {"name": "new", "kind": "impact", "source": "said",
                   "load": [{"face": "hole", "force": "1, 0, 0 N"}]}}),
    ],
)  # fmt: skip
def test_a_face_is_added_and_every_other_line_stays(use, expected) -> None:
    line = 'cylinder = { point = "0, 0, 0 mm", axis = "+z", radius = "4 mm" }'
    new = picking.with_face(PART, "hole", line, use)
    data, before = tomllib.loads(new), tomllib.loads(PART)
    assert data["faces"].pop("hole") == tomllib.loads(line)
    if "support" in expected:
        assert data["support"].pop() == expected["support"]
    if "load" in expected:
        assert data["case"][0]["load"].pop() == expected["load"]
    if "case" in expected:
        assert data["case"].pop() == expected["case"]
    assert data == before
    left = iter(new.splitlines())
    assert all(any(old == other for other in left) for old in PART.splitlines() if old)


def test_a_face_that_cannot_be_added_says_why() -> None:
    line = 'patch = { point = "0, 0, 0 mm" }'
    for name, use in (("held", {"as": "face"}), ("1x", {"as": "face"}), ("x", {"as": "support", "kind": "glued"})):
        with pytest.raises(TextError):
            picking.with_face(PART, name, line, use)


def test_what_a_person_types_stays_one_text_in_toml() -> None:
    for typed in ('a "quoted" one', "back\\slash", 'x"]\n[evil]\ny = "1', "tab\there"):
        assert list(tomllib.loads(f"a = {quoted(typed)}\n")) == ["a"]


def test_a_click_proposes_what_finds_the_face_again(tmp_path: Path) -> None:
    """A plate of 40 x 20 x 6 mm with a hole of 8 mm about (10, 10): sizes as drawn here."""
    plate = occ.Box((0, 0, 0), (40, 20, 6)) - occ.Cylinder((10, 10, 0), occ.Z, r=4, h=6)
    plate.WriteStep(str(tmp_path / "plate.step"))
    solid = mesh(read(Geometry(tmp_path / "plate.step")), element_size=4.0)
    hole = picking.proposals(solid, (14.0, 10.0, 3.0))
    assert hole[0]["words"].startswith("the hole of diameter 8 mm along")
    assert tomllib.loads(hole[0]["text"])["cylinder"]["radius"] == "4 mm"
    radius = np.linalg.norm(solid.corners[hole[0]["facets"]].reshape(-1, 3)[:, :2] - 10.0, axis=1)
    assert radius == pytest.approx(4.0, abs=1e-6)
    flat = picking.proposals(solid, (30.0, 10.0, 6.0))
    assert tomllib.loads(flat[0]["text"])["plane"]["normal"] == "+z"
    assert solid.corners[flat[0]["facets"]][..., 2] == pytest.approx(6.0)
    assert {next(iter(tomllib.loads(p["text"]))) for p in flat} == {"plane", "patch"}


def test_half_precision_is_rounded_up_by_a_thousandth_at_most() -> None:
    """IEEE 754 binary16 has 11 significant bits: the next number is at most 2^-10 of it away (from 2^-14 on)."""
    values = np.concatenate([np.geomspace(2**-14, 6e4, 5000), [1.0, np.nextafter(1.0, 2.0), 1.0004]])
    half = skins.halved(values)
    assert half.dtype == np.float16
    assert (half >= values).all()
    assert (half <= values * (1 + 2**-10)).all()
    assert half[-3] == 1.0
    assert (half[-2:] > 1.0).all()
    assert np.isfinite(skins.halved(np.array([1e9, np.inf]))).all()
