"""Loads: the resultant is exactly what was asked, whatever the mesh, and the supports answer it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import cos, pi, sin
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from printworthy.errors import LoadError
from printworthy.inputs import CylinderSelector, Face, Load, LoadCase, Support
from printworthy.shape import build, select
from printworthy.strength.loads import load_vector, resultant
from printworthy.strength.space import space
from specimens import Array, Specimen, card, facets_where, plane, solid, specimen

PRINT = card(8000.0, 3000.0, 0.35, 0.40, 1100.0, density=1.2)
HOLE, RADIUS, THICK = np.array([30.0, 10.0, 4.0]), 5.0, 8.0
VOLUME = 40 * 20 * THICK - pi * RADIUS**2 * THICK
NUMBER = st.floats(-100, 100)
VECTOR = st.tuples(NUMBER, NUMBER, NUMBER)
FEW = settings(max_examples=10)
LOADS = {
    "force": Load("force", "end", (30.0, -20.0, -80.0)),
    "pressure": Load("pressure", "top", value=0.3),
    "moment": Load("moment", "end", (200.0, 300.0, -400.0)),
    "bearing": Load("bearing", "hole", (120.0, 50.0, 0.0)),
    "bearing moment": Load("bearing moment", "hole", (300.0, -200.0, 0.0)),
    "gravity": Load("gravity", vector=(0.0, 100.0, -9810.0)),
    "acceleration": Load("acceleration", vector=(3e4, 0.0, 1e4)),
}


@cache
def lug() -> Specimen:
    """A plate of 40 x 20 x 8 mm held at x = 0, with a hole of radius 5 mm near its end; one case of every kind."""
    body = occ.Box((0, 0, 0), (40, 20, THICK)) - occ.Cylinder(occ.Pnt(30, 10, -1), occ.Z, RADIUS, 10)
    with TemporaryDirectory() as folder:
        meshed = solid(body, Path(folder), 3.0)
    faces = {
        "root": plane((0, 0, 0), (-1, 0, 0)),
        "end": plane((40, 0, 0), (1, 0, 0)),
        "top": plane((0, 0, THICK), (0, 0, 1)),
        "hole": CylinderSelector((30, 10, 0), (0, 0, 1), RADIUS),
        "half hole": facets_where(
            meshed, lambda p: (np.hypot(p[..., 0] - 30, p[..., 1] - 10) < RADIUS + 1e-6) & (p[..., 0] > 30 - 1e-6)
        ),
    }
    return specimen(meshed, PRINT, faces, [Support("root", "fixed")], *([load] for load in LOADS.values()))


def loaded(load: Load, about: Array = HOLE) -> tuple[Array, Array]:
    """Force, and moment about a point, of a load on the lug."""
    space = lug().model.space
    force, moment = resultant(space, load_vector(space, LoadCase("a", (load,), "steady", "test"), 1.2))
    return force, moment + np.cross(space.centre - about, force)


@given(VECTOR)
@FEW
def test_force_acts_at_the_centroid_of_its_face(vector: tuple[float, float, float]) -> None:
    force, moment = loaded(Load("force", "end", vector), about=np.array([40.0, 10.0, 4.0]))
    assert force == pytest.approx(np.array(vector), rel=1e-9, abs=1e-7)
    assert moment == pytest.approx(np.zeros(3), abs=1e-6)


@given(VECTOR)
@FEW
def test_moment_has_no_force(vector: tuple[float, float, float]) -> None:
    for face in ("end", "hole", "top"):
        force, moment = loaded(Load("moment", face, vector))
        size = float(np.linalg.norm(vector))
        assert force == pytest.approx(np.zeros(3), abs=1e-6 * size + 1e-12)
        assert moment == pytest.approx(np.array(vector), abs=1e-6 * size + 1e-12)


def test_pressure_presses_into_the_face() -> None:
    force, moment = loaded(Load("pressure", "end", value=0.4), about=np.array([40.0, 10.0, 4.0]))
    assert force == pytest.approx([-0.4 * 20 * THICK, 0, 0], abs=1e-9)
    assert moment == pytest.approx(np.zeros(3), abs=1e-8)
    around = loaded(Load("pressure", "hole", value=0.4))[0]
    assert around == pytest.approx(np.zeros(3), abs=1e-3 * 0.4 * 2 * pi * RADIUS * THICK)


def test_gravity_pulls_and_acceleration_pushes_back_at_the_centre_of_mass() -> None:
    centre = np.array([20 * 40 * 20, 10 * 40 * 20, 4 * 40 * 20]) * THICK - HOLE * pi * RADIUS**2 * THICK
    vector = (100.0, -2000.0, -9810.0)
    force, moment = loaded(Load("gravity", vector=vector), about=centre / VOLUME)
    assert force == pytest.approx(np.array(vector) * 1.2e-9 * VOLUME, rel=1e-4)
    assert moment == pytest.approx(np.zeros(3), abs=1e-4 * np.linalg.norm(force) * 40)
    assert loaded(Load("acceleration", vector=vector))[0] == pytest.approx(-force, rel=1e-12)


@given(st.floats(-pi, pi), st.floats(1, 1e4))
@FEW
def test_bearing_is_exactly_the_load_and_presses_one_side(angle: float, size: float) -> None:
    push = np.array([cos(angle), sin(angle), 0.0])
    load = Load("bearing", "hole", (size * push[0], size * push[1], 0.0))
    force, moment = loaded(load)
    assert force == pytest.approx(size * push, abs=1e-9 * size)
    assert np.linalg.norm(moment) < 0.02 * size * RADIUS
    space = lug().model.space
    nodal = load_vector(space, LoadCase("a", (load,), "steady", "test"), 1.2).reshape(3, -1)
    points = space.solid.points
    behind = np.flatnonzero((points - HOLE) @ push < -0.2 * RADIUS)
    assert np.abs(nodal[:, behind]).sum() < 0.05 * size


@given(st.floats(-pi, pi), st.floats(1, 1e4))
@FEW
def test_bearing_moment_is_exactly_the_moment(angle: float, size: float) -> None:
    asked = size * np.array([cos(angle), sin(angle), 0.0])
    force, moment = loaded(Load("bearing moment", "hole", (float(asked[0]), float(asked[1]), 0.0)))
    assert force == pytest.approx(np.zeros(3), abs=1e-9 * size)
    assert moment == pytest.approx(asked, abs=1e-9 * size)


@pytest.mark.parametrize(
    "load",
    [
        Load("bearing", "hole", (0.0, 0.0, 100.0)),
        Load("bearing", "half hole", (-100.0, 0.0, 0.0)),
        Load("bearing", "half hole", (0.0, 100.0, 0.0)),
        Load("bearing moment", "hole", (0.0, 0.0, 100.0)),
    ],
    ids=["along the axis", "on the missing half", "across the half", "about the axis"],
)
def test_a_pin_that_cannot_press_that_way_is_refused(load: Load) -> None:
    with pytest.raises(LoadError, match="cannot press"):
        loaded(load)


@pytest.mark.parametrize("kind", LOADS)
def test_supports_answer_every_kind_of_load(kind: str) -> None:
    case = list(LOADS).index(kind)
    solution = lug().solve((1.0, 2.0, 3.0))
    applied, reaction = solution.applied[case], solution.reactions[case]
    scale = np.abs(applied).max()
    assert scale > 0
    assert reaction == pytest.approx(-applied, abs=1e-6 * scale)
    assert solution.imbalance[case] < 1e-7


@pytest.mark.parametrize("angle", [37, 90, 290])
def test_a_pin_presses_a_hole_of_few_and_straight_elements(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, angle: float
) -> None:
    as_asked = build._cad_mesh
    monkeypatch.setattr(build, "_cad_mesh", lambda s, sizes, *rest: as_asked(s, replace(sizes, grading=0.7), *rest))
    body = occ.Box((-20, -20, 0), (20, 20, 14)) - occ.Cylinder(occ.Pnt(0, 0, -1), occ.Z, 5, 16)
    meshed = solid(body, tmp_path, 30.0)
    assert any("straight-edged" in warning for warning in meshed.report.warnings)
    here = space(meshed, {"hole": select(meshed, Face("hole", CylinderSelector((0, 0, 0), (0, 0, 1), 5.0)))})
    push = 100 * np.array([cos(np.radians(angle)), sin(np.radians(angle)), 0.0])
    load = Load("bearing", "hole", (float(push[0]), float(push[1]), 0.0))
    force, _ = resultant(here, load_vector(here, LoadCase("a", (load,), "steady", "test"), 1.2))
    assert force == pytest.approx(push, abs=1e-5)
