"""What a solved part must obey: same answer however it lies in space, both ways up, in proportion to its load."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.meshing as netgen
import netgen.occ as occ
import ngsolve as ng
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from printworthy.inputs import Load, Part, Support, Vector
from printworthy.shape import Solid
from printworthy.strength import Prepared, model, prepared, utilisation
from printworthy.strength.margin import layer_stress
from specimens import Array, Specimen, card, design_values, isotropic_card, plane, solid, specimen

PRINT = card(8000.0, 3000.0, 0.35, 0.40, 1100.0, density=1.2)
DESIGN = design_values(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=70.0)
NUMBER = st.floats(-1, 1)
DIRECTION = st.tuples(NUMBER, NUMBER, NUMBER).filter(lambda v: float(np.linalg.norm(v)) > 0.1)
ANGLE = st.floats(-3, 3)
FEW = settings(max_examples=8)
FORCE, MOMENT = (30.0, -20.0, -80.0), (500.0, -900.0, 250.0)


@cache
def bracket() -> Specimen:
    """An L-shaped bracket of 30 x 10 x 25 mm held by its foot, with a force and a moment on its end."""
    body = occ.Box((0, 0, 0), (30, 10, 25)) - occ.Box((10, -1, -1), (31, 11, 17))
    with TemporaryDirectory() as folder:
        meshed = solid(body, Path(folder), 7.0)
    faces = {"foot": plane((0, 0, 0), (0, 0, -1)), "end": plane((30, 0, 25), (1, 0, 0))}
    loads = [Load("force", "end", FORCE)], [Load("moment", "end", MOMENT)]
    return specimen(meshed, PRINT, faces, [Support("foot", "fixed")], *loads)


def used(s: Specimen, direction: Vector, factor: float = 1.0) -> Array:
    """Utilisation (cases, modes)."""
    return np.array([list(c.by_mode.values()) for c in utilisation(s.model, direction, DESIGN, factor).cases])


def with_cases(s: Specimen, *cases: list[Load]) -> Specimen:
    """The same solid with other loads."""
    pattern = s.model.part.cases[0]
    part = replace(s.model.part, cases=tuple(replace(pattern, loads=tuple(c)) for c in cases))
    return Specimen(model(Prepared(s.model.space, s.model.sampler), part, PRINT))


def rotation(axis: Vector, angle: float) -> Array:
    k = np.asarray(axis) / np.linalg.norm(axis)
    cross = np.array([[0, -k[2], k[1]], [k[2], 0, -k[0]], [-k[1], k[0], 0]])
    return np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross


def turned_solid(body: Solid, turn: Array) -> Solid:
    """The same straight tetrahedra at turned points."""
    points = body.points @ turn.T
    raw = netgen.Mesh(dim=3)
    raw.AddPoints(np.ascontiguousarray(points))
    raw.Add(netgen.FaceDescriptor(surfnr=1, domin=1, domout=0, bc=1))
    raw.AddElements(dim=3, index=1, data=np.ascontiguousarray(body.tets, dtype=np.int32), base=0)
    raw.AddElements(dim=2, index=1, data=np.ascontiguousarray(body.facets, dtype=np.int32), base=0)
    return replace(body, mesh=ng.Mesh(raw), points=points)


def vector(values: Array) -> Vector:
    x, y, z = (float(v) for v in values)
    return x, y, z


@given(DIRECTION, DIRECTION, ANGLE)
@FEW
def test_a_part_turned_with_its_build_direction_is_the_same_part(direction: Vector, axis: Vector, angle: float) -> None:
    here, turn = bracket(), rotation(axis, angle)
    case = here.model.part.cases
    loads = [(replace(c, loads=(replace(c.loads[0], vector=vector(turn @ c.loads[0].vector)),))) for c in case]
    part: Part = replace(here.model.part, cases=tuple(loads))
    body = turned_solid(here.model.space.solid, turn)
    there = Specimen(model(prepared(body, here.model.space.faces), part, PRINT))
    expected = used(here, direction)
    assert used(there, vector(turn @ direction)) == pytest.approx(expected, rel=1e-6, abs=1e-7 * expected.max())


@given(DIRECTION)
@FEW
def test_both_ways_up_are_the_same_print(direction: Vector) -> None:
    expected = used(bracket(), direction)
    assert used(bracket(), vector(-np.asarray(direction))) == pytest.approx(expected, rel=1e-7)
    assert used(bracket(), vector(3.7 * np.asarray(direction))) == pytest.approx(expected, rel=1e-7)


@given(DIRECTION, st.floats(0.01, 100))
@FEW
def test_utilisation_is_in_proportion_to_load_and_factor(direction: Vector, times: float) -> None:
    once = used(bracket(), direction)
    more = with_cases(bracket(), [Load("force", "end", vector(times * np.array(FORCE)))])
    assert used(more, direction)[0] == pytest.approx(times * once[0], rel=1e-6)
    assert used(bracket(), direction, times) == pytest.approx(times * once, rel=1e-6)


@given(DIRECTION)
@FEW
def test_loads_together_are_the_sum_of_loads_apart(direction: Vector) -> None:
    both = with_cases(bracket(), [Load("force", "end", FORCE), Load("moment", "end", MOMENT)]).solve(direction)
    apart = bracket().solve(direction).displacements.sum(axis=0)
    assert both.displacements[0] == pytest.approx(apart, abs=1e-7 * np.abs(apart).max())


@given(DIRECTION)
@FEW
def test_an_isotropic_part_has_no_directions(direction: Vector) -> None:
    plain = bracket().in_material(isotropic_card(2000.0, 0.35))
    up, other = plain.solve(), plain.solve(direction)
    assert other.displacements == pytest.approx(up.displacements, abs=1e-9 * np.abs(up.displacements).max())
    expected = plain.skin_stress(up)
    assert plain.skin_stress(other) == pytest.approx(expected, abs=1e-9 * np.abs(expected).max())


def test_no_load_uses_nothing() -> None:
    idle = with_cases(bracket(), [Load("pressure", "end", value=0.0)], [Load("displacement", "foot")])
    assert used(idle, (1.0, 2.0, 3.0)) == pytest.approx(np.zeros((2, 6)), abs=0)


@given(DIRECTION, DIRECTION)
@FEW
def test_moving_the_support_moves_the_part_without_stress(direction: Vector, shift: Vector) -> None:
    carried = with_cases(bracket(), [Load("displacement", "foot", shift)])
    solution = carried.solve(direction)
    points = len(carried.model.space.solid.points)
    moved = solution.displacements[0].reshape(3, -1)[:, :points]
    assert moved == pytest.approx(np.tile(np.array(shift)[:, None], points), abs=1e-7)
    assert used(carried, direction).max() < 1e-6
    assert solution.reactions[0] == pytest.approx(np.zeros(6), abs=1e-4)


def test_a_rigid_motion_has_no_strain() -> None:
    sampler = bracket().model.sampler
    for motion in bracket().model.space.rigid:
        assert np.abs(sampler.strains(motion)).max() < 1e-12 * np.abs(motion).max()


@given(DIRECTION)
@FEW
def test_work_of_the_load_is_twice_the_strain_energy(direction: Vector) -> None:
    """Clapeyron's theorem; the energy is summed over the quadrature points from the stress that is judged."""
    s = bracket()
    solution = s.solve(direction)
    c = s.model.sampler
    for case in range(2):
        stress = layer_stress(s.model, solution, case)[: len(c.weights)]
        energy = float(c.weights @ np.einsum("pi,ij,pj->p", stress, np.linalg.inv(s.model.stiffness), stress))
        work = float(s.model.loads[case] @ solution.displacements[case])
        assert work == pytest.approx(energy, rel=1e-7)
