"""Supports: what they hold, what they leave free and how that is said, beds against closed forms."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal

import netgen.occ as occ
import numpy as np
import pytest

from printworthy.errors import LoadError, Place
from printworthy.inputs import CylinderSelector, Load, LoadCase, Support
from printworthy.strength import Prepared, prepared
from printworthy.strength.supports import prescribed, supported
from specimens import UP, facets_where, isotropic_card, plane, shape_faces, solid, specimen

MODULUS = 2000.0


@cache
def plate() -> Prepared:
    """A plate of 40 x 20 x 8 mm with a hole of radius 5 mm along z through (30, 10)."""
    body = occ.Box((0, 0, 0), (40, 20, 8)) - occ.Cylinder(occ.Pnt(30, 10, -1), occ.Z, 5, 10)
    with TemporaryDirectory() as folder:
        meshed = solid(body, Path(folder), 3.0)
    faces = {
        "left": plane((0, 0, 0), (-1, 0, 0)),
        "right": plane((40, 0, 0), (1, 0, 0)),
        "front": plane((0, 0, 0), (0, -1, 0)),
        "base": plane((0, 0, 0), (0, 0, -1)),
        "hole": CylinderSelector((30, 10, 0), (0, 0, 1), 5.0),
        "half hole": facets_where(
            meshed, lambda p: (np.hypot(p[..., 0] - 30, p[..., 1] - 10) < 5 + 1e-6) & (p[..., 0] > 30 - 1e-6)
        ),
    }
    return prepared(meshed, shape_faces(meshed, faces)[1])


def refusal(*supports: Support) -> str:
    with pytest.raises(LoadError) as caught:
        supported(plate().space, supports, MODULUS)
    return str(caught.value)


def directions(words: str, verb: str) -> np.ndarray:
    """Unit vectors that a refusal names after `verb`."""
    found = re.findall(verb + r" \(([^)]*)\)", words)
    return np.array([[float(x) for x in f.split(",")] for f in found])


def test_no_support_leaves_six_motions() -> None:
    words = refusal()
    assert "6 free motions" in words
    assert len(directions(words, "slides along")) == 3
    assert len(directions(words, "turns about the axis")) == 3
    assert np.linalg.matrix_rank(directions(words, "slides along"), tol=1e-3) == 3


def test_one_sliding_plane_leaves_two_slides_and_a_turn() -> None:
    words = refusal(Support("base", "sliding"))
    assert "3 free motions" in words
    assert directions(words, "slides along")[:, 2] == pytest.approx([0, 0], abs=1e-3)
    assert np.abs(directions(words, "turns about the axis")) == pytest.approx(np.array([[0, 0, 1]]), abs=1e-3)


def test_parallel_sliding_planes_are_worth_one() -> None:
    words = refusal(Support("left", "sliding"), Support("right", "sliding"))
    assert "3 free motions" in words
    assert directions(words, "slides along")[:, 0] == pytest.approx([0, 0], abs=1e-3)


def test_two_square_planes_leave_one_slide() -> None:
    words = refusal(Support("left", "sliding"), Support("front", "sliding"))
    assert "one free motion" in words
    assert np.abs(directions(words, "slides along")) == pytest.approx(np.array([[0, 0, 1]]), abs=1e-3)


def test_a_smooth_pin_leaves_a_slide_along_it_and_a_turn_about_it() -> None:
    words = refusal(Support("hole", "foundation", stiffness=100.0, tangential=0.0))
    assert "2 free motions" in words
    assert np.abs(directions(words, "slides along")) == pytest.approx(np.array([[0, 0, 1]]), abs=1e-3)
    assert np.abs(directions(words, "turns about the axis")) == pytest.approx(np.array([[0, 0, 1]]), abs=1e-3)
    assert directions(words, "through")[0, :2] == pytest.approx([30, 10], abs=0.1)


def test_a_smooth_pin_and_its_thrust_plane_leave_the_turn() -> None:
    words = refusal(Support("hole", "foundation", stiffness=100.0, tangential=0.0), Support("base", "sliding"))
    assert "one free motion" in words
    assert np.abs(directions(words, "turns about the axis")) == pytest.approx(np.array([[0, 0, 1]]), abs=1e-3)
    assert directions(words, "through")[0, :2] == pytest.approx([30, 10], abs=0.1)


@pytest.mark.parametrize(
    "supports",
    [
        [Support("left", "fixed")],
        [Support("hole", "bolt hole")],
        [Support("base", "foundation", stiffness=10.0)],
        [Support("base", "sliding"), Support("left", "sliding"), Support("front", "sliding")],
        [
            Support("hole", "foundation", stiffness=1e-4, tangential=0.0),
            Support("base", "sliding"),
            Support("front", "sliding"),
        ],
    ],
    ids=["fixed", "bolt", "bed", "three planes", "soft pin and planes"],
)
def test_enough_supports_pass(supports: list[Support]) -> None:
    held = supported(plate().space, supports, MODULUS)
    assert held.held.any() or held.beds


def test_a_bolt_is_as_stiff_as_the_wall_it_presses() -> None:
    """Lame: a hole in a wide plate under inside pressure p grows by (1 + nu) p a / E; the bed is E / a, half across."""
    (bed,) = supported(plate().space, [Support("hole", "bolt hole")], MODULUS).beds
    assert bed.normal == pytest.approx(MODULUS / 5, rel=1e-6)
    assert bed.tangential == pytest.approx(MODULUS / 10, rel=1e-6)


@pytest.mark.parametrize(
    ("support", "words"),
    [
        (Support("hole", "sliding"), "sliding support hole is not a plane"),
        (Support("base", "bolt hole"), "bolt hole base is not a whole round wall"),
        (Support("half hole", "bolt hole"), "bolt hole half hole is not a whole round wall"),
        (Support("base", "foundation"), "foundation base has no stiffness"),
    ],
)
def test_supports_that_cannot_be(support: Support, words: str) -> None:
    assert words in refusal(support)


def test_a_pressed_block_sinks_into_its_bed(tmp_path: Path) -> None:
    """Winkler bed, own derivation: sinking p / k at the foot, p / k + p L / E at the head, even stress p between."""
    block = solid(occ.Box((0, 0, 0), (10, 10, 20)), tmp_path, 6.0)
    faces = {
        "x0": plane((0, 0, 0), (-1, 0, 0)), "y0": plane((0, 0, 0), (0, -1, 0)),
        "foot": plane((0, 0, 0), (0, 0, -1)), "head": plane((0, 0, 20), (0, 0, 1)),
    }  # fmt: skip
    supports = [Support("x0", "sliding"), Support("y0", "sliding"), Support("foot", "foundation", 50.0, 0.0)]
    pressed = specimen(block, isotropic_card(MODULUS, 0.35), faces, supports, [Load("pressure", "head", value=3.0)])
    solution = pressed.solve()
    assert pressed.moved(solution, (10, 10, 0))[2] == pytest.approx(-3 / 50, rel=1e-8)
    assert pressed.moved(solution, (10, 10, 20))[2] == pytest.approx(-3 / 50 - 3 * 20 / MODULUS, rel=1e-8)
    assert pressed.at((10, 10, 20), solution) == pytest.approx([0, 0, -3, 0, 0, 0], abs=1e-7)
    assert solution.reactions[0, :3] == pytest.approx([0, 0, 300], abs=1e-5)


def test_a_bed_gives_along_and_across_as_stated(tmp_path: Path) -> None:
    """A block slid and pressed on a bed of 50 along and 20 N/mm3 across; own derivation: movement p / k at its foot."""
    block = solid(occ.Box((0, 0, 0), (10, 10, 4)), tmp_path, 4.0)
    faces = {"foot": plane((0, 0, 0), (0, 0, -1))}
    bed = Support("foot", "foundation", 50.0, 20.0)
    loads = [[Load("force", "foot", (40.0, 0.0, 0.0))], [Load("force", "foot", (0.0, 0.0, -100.0))]]
    carried = specimen(block, isotropic_card(MODULUS, 0.35), faces, [bed], *loads)
    solution = carried.solve()
    assert carried.moved(solution, (10, 10, 0), 0)[0] == pytest.approx(40 / 100 / 20, rel=1e-6)
    assert carried.moved(solution, (10, 10, 0), 1)[2] == pytest.approx(-100 / 100 / 50, rel=1e-6)


def test_oblique_sliding_planes_hold_like_square_ones(tmp_path: Path) -> None:
    """A block turned by 30 and 20 degrees, pulled along its axis: even stress, up to the stiffness of the planes."""
    turn = np.array(_turned(np.eye(3)))
    body = (
        occ.Box((0, 0, 0), (10, 10, 20)).Rotate(occ.Axis((0, 0, 0), occ.Y), 30).Rotate(occ.Axis((0, 0, 0), occ.X), 20)
    )
    block = solid(body, tmp_path, 6.0)
    low = [facets_where(block, lambda p, a=axis: np.abs(p @ turn[a]) < 1e-6) for axis in range(3)]
    faces = {f"plane {i}": f for i, f in enumerate(low)}
    faces["head"] = facets_where(block, lambda p: np.abs(p @ turn[2] - 20) < 1e-6)
    supports = [Support(f"plane {i}", "sliding") for i in range(3)]
    pulled = specimen(block, isotropic_card(MODULUS, 0.35), faces, supports, [Load("pressure", "head", value=-3.0)])
    solution = pulled.solve(UP)
    along = np.outer(turn[2], turn[2]) * 3.0
    stress = pulled.skin_stress(solution)
    expected = along[(0, 1, 2, 1, 0, 0), (0, 1, 2, 2, 2, 1)]
    assert stress == pytest.approx(np.tile(expected, (len(stress), 1)), abs=3e-3)
    assert pulled.moved(solution, tuple(20 * turn[2])) @ turn[2] == pytest.approx(3 * 20 / MODULUS, rel=1e-3)


def _turned(axes: np.ndarray) -> np.ndarray:
    a, b = np.radians(30), np.radians(20)
    about_y = np.array([[np.cos(a), 0, np.sin(a)], [0, 1, 0], [-np.sin(a), 0, np.cos(a)]])
    about_x = np.array([[1, 0, 0], [0, np.cos(b), -np.sin(b)], [0, np.sin(b), np.cos(b)]])
    return axes @ (about_x @ about_y).T


@pytest.mark.parametrize("kind", ["sliding", "foundation", "bolt hole"])
def test_only_a_fixed_face_can_be_moved(kind: Literal["sliding", "foundation", "bolt hole"]) -> None:
    """A displacement on a face that no fixed support holds would act nowhere: refused, not passed over."""
    face = {"sliding": "right", "foundation": "right", "bolt hole": "hole"}[kind]
    where = Place(Path("part.toml"), 31)
    case = LoadCase("pull", (Load("displacement", face, (0.1, 0.0, 0.0), place=where),), "steady", "test")
    supports = (Support("left", "fixed"), Support(face, kind, 10.0, 10.0))
    with pytest.raises(LoadError) as caught:
        prescribed(plate().space, case, supports)
    assert str(caught.value).startswith("part.toml:31: pull: face")
    assert f"face {face} is to be moved but is not a fixed support" in str(caught.value)
    assert "\n" not in str(caught.value)
    moved = prescribed(plate().space, case, (*supports[:1], Support(face, "fixed")))
    assert moved.max() == pytest.approx(0.1)


def test_a_model_refuses_to_move_a_face_that_nothing_holds(tmp_path: Path) -> None:
    block = solid(occ.Box((0, 0, 0), (10, 10, 4)), tmp_path, 4.0)
    faces = {"foot": plane((0, 0, 0), (0, 0, -1)), "head": plane((0, 0, 4), (0, 0, 1))}
    moving = [Load("displacement", "head", (0.0, 0.0, 0.1))]
    with pytest.raises(LoadError, match="head is to be moved but is not a fixed support"):
        specimen(block, isotropic_card(MODULUS, 0.35), faces, [Support("foot", "fixed")], moving)
