"""Surfaces known again from points on them, and bodies whose volume is known when they are refined.

Volumes by hand: a cylinder pi r^2 h; the ring that a fillet of radius f leaves outside a pin of radius r in its corner
with a plate, by Pappus.
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import netgen.occ as occ
import numpy as np
import pytest

from printworthy.strength.halving import refined
from printworthy.strength.rounds import Patch, Plane, Sphere, Turned, cylinder, known, plane, sphere, turned
from printworthy.strength.skin import face_surfaces
from specimens import solid

RNG = np.random.default_rng(40961)
AXIS = np.array([2.0, -1.0, 2.0]) / 3
SIDE = np.array([1.0, 2.0, 0.0]) / np.sqrt(5)
OUT = np.cross(AXIS, SIDE)
POINT = np.array([7.0, -3.0, 11.0])


def around(distance: Any, place: Any, angle: np.ndarray) -> np.ndarray:
    """Points at a distance from the axis, a place along it and an angle about it."""
    out = np.cos(angle)[:, None] * SIDE + np.sin(angle)[:, None] * OUT
    return POINT + np.reshape(distance, (-1, 1)) * out + np.reshape(place, (-1, 1)) * AXIS


def rough_normals(angle: np.ndarray, noise: float) -> np.ndarray:
    n = around(1.0, 0.0, angle) - POINT + noise * RNG.normal(size=(len(angle), 3))
    return n / np.linalg.norm(n, axis=1, keepdims=True)


def test_cylinder_from_a_quarter_and_rough_normals() -> None:
    angle, place = RNG.uniform(0, np.pi / 2, 30), RNG.uniform(0, 4, 30)
    found = cylinder(around(2.5, place, angle), rough_normals(angle, 0.05))
    assert found is not None
    assert abs(found.axis @ AXIS) == pytest.approx(1, abs=1e-9)
    off = around(RNG.uniform(2, 3, 30), place, angle)
    away = found.project(off) - POINT
    assert np.linalg.norm(away - np.outer(away @ AXIS, AXIS), axis=1) == pytest.approx(2.5, abs=1e-8)


def test_cone_and_torus_about_the_axis_of_their_hole() -> None:
    angle, t = RNG.uniform(0, 2 * np.pi, 40), RNG.uniform(0, 1, 40)
    cone = turned(around(2 + t, t, angle), POINT, AXIS)
    assert cone is not None
    moved = cone.project(around(2 + t + 0.1, t, angle)) - POINT
    place = moved @ AXIS
    assert np.linalg.norm(moved - np.outer(place, AXIS), axis=1) == pytest.approx(2 + place, abs=1e-9)
    bow = RNG.uniform(0, np.pi / 2, 40)
    torus = turned(around(4 - np.cos(bow), 1 - np.sin(bow), angle), POINT + 3 * AXIS, AXIS)
    assert torus is not None
    assert torus.radius == pytest.approx(1, rel=1e-9)
    far = torus.project(around(4 - 1.2 * np.cos(bow), 1 - 1.2 * np.sin(bow), angle))
    assert far == pytest.approx(around(4 - np.cos(bow), 1 - np.sin(bow), angle), abs=1e-9)


def test_sphere_and_plane() -> None:
    p = RNG.normal(size=(20, 3))
    ball = sphere(POINT + 3 * p / np.linalg.norm(p, axis=1, keepdims=True))
    assert ball is not None
    assert ball.radius == pytest.approx(3, rel=1e-9)
    assert ball.centre == pytest.approx(POINT, abs=1e-9)
    flat = plane(POINT + RNG.normal(size=(20, 1)) * SIDE + RNG.normal(size=(20, 1)) * OUT)
    assert flat is not None
    assert abs(flat.normal @ AXIS) == pytest.approx(1, abs=1e-9)


def test_what_is_no_round_is_not_called_one() -> None:
    angle, place = RNG.uniform(0, np.pi / 2, 40), RNG.uniform(0, 4, 40)
    oval = POINT + 2.5 * np.cos(angle)[:, None] * SIDE + 2.45 * np.sin(angle)[:, None] * OUT + place[:, None] * AXIS
    assert cylinder(oval, rough_normals(angle, 0.0)) is None
    assert sphere(oval) is None
    assert plane(oval) is None
    assert turned(oval, POINT, AXIS) is None
    assert cylinder(around(2.5, place[:8], angle[:8]), rough_normals(angle[:8], 0.0)) is None  # too few to prove it
    assert known({1: Patch(oval, oval, rough_normals(angle, 0.0))}) == {}


def test_two_arcs_are_a_cylinder_because_their_facets_are() -> None:
    # The corners of a strip of flats lie on two circles, and so on a sphere as well.
    angle = np.linspace(0, 1.5, 9)
    corners = np.concatenate([around(5, 0, angle), around(5, 40, angle)])
    halves = 0.5 * (angle[1:] + angle[:-1])
    flats = around(5 * np.cos(0.5 * (angle[1] - angle[0])), 20, halves)
    assert sphere(corners) is not None
    found = known({0: Patch(corners, flats, around(1, 0, halves) - POINT)})[0]
    assert isinstance(found, Turned)
    assert found.at[0] == pytest.approx(5, rel=1e-9)


def test_fillet_at_a_pin_keeps_its_volume() -> None:
    r, f, plate, pin = 2.0, 1.0, 6.0, 4.0
    square = occ.Box((-plate, -plate, 0), (plate, plate, 2))
    body = square + occ.Cylinder((0, 0, 0), occ.Z, r=r, h=2 + pin)
    ring = [e for e in body.edges if abs(e.center.z - 2) < 1e-9 and abs(e.center.x) < 1 and abs(e.center.y) < 1]
    body = body.MakeFillet(ring, f)
    with TemporaryDirectory() as folder:
        coarse = solid(body, Path(folder), 3.0)
    kinds = [type(s) for s in face_surfaces(coarse).values()]
    assert kinds.count(Turned) == 2  # the pin and its fillet
    assert kinds.count(Plane) == 7
    assert Sphere not in kinds
    fine, _ = refined(coarse, {}, np.ones(len(coarse.tets), dtype=bool))
    fillet = f**2 * (1 - np.pi / 4)
    middle = r + f * (5 / 6 - np.pi / 4) / (1 - np.pi / 4)  # distance of its centroid from the axis
    exact = 2 * (2 * plate) ** 2 + np.pi * r**2 * pin + 2 * np.pi * middle * fillet
    assert fine.volume == pytest.approx(exact, rel=1e-4)
    assert abs(coarse.volume - exact) > 5 * abs(fine.volume - exact)
