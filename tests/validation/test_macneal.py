"""Patch tests: a linear displacement on the skin must give the even stress inside, on any mesh.

R. H. MacNeal and R. L. Harder, A proposed standard set of problems to test finite element accuracy, Finite Elements in
Analysis and Design 1 (1985) 3-20 (from memory): the solid patch, displacement 1e-3 (2x+y+z, x+2y+z, x+y+2z) / 2, E 1e6,
nu 0.25. Their seven bricks are replaced by an uneven mesh of straight tetrahedra. Curved ones pass only in the limit:
the four-point rule that stiffness and recovery share is exact for straight ones alone (rates: tests/convergence).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import ngsolve as ng
import numpy as np
import pytest
from compare import Source, compare

from printworthy.inputs import Load, Support, Vector
from printworthy.strength import solution
from printworthy.strength.margin import layer_stress
from specimens import UP, Array, Specimen, card, facets_where, isotropic_card, part_stiffness, solid, specimen

SOURCE = Source("MacNeal and Harder 1985, solid patch", "E 1e6, nu 0.25, on tetrahedra", "from memory")
PRINT = card(8000.0, 3000.0, 0.35, 0.40, 1100.0)
GRADIENT = 5e-4 * np.array([[2, 1, 1], [1, 2, 1], [1, 1, 2]])
STRAIN = np.array([GRADIENT[0, 0], GRADIENT[1, 1], GRADIENT[2, 2], *(2 * GRADIENT[[1, 0, 0], [2, 2, 1]])])


@cache
def patch() -> Specimen:
    """A unit cube with an oblique square hole through it, all its skin held where the linear displacement puts it."""
    hole = occ.Box((0.4, 0.3, -1), (0.7, 0.6, 2)).Rotate(occ.Axis((0.5, 0.5, 0.5), occ.Dir(1, 2, 8)), 25)
    body = occ.Box((0, 0, 0), (1, 1, 1)) - hole
    with TemporaryDirectory() as folder:
        meshed = solid(body, Path(folder), 0.15)
    faces = {"skin": facets_where(meshed, lambda p: np.ones(p.shape[:2], dtype=bool))}
    cube = specimen(meshed, isotropic_card(1e6, 0.25), faces, [Support("skin", "fixed")], [Load("pressure", "skin")])
    return with_skin(cube)


def with_skin(cube: Specimen) -> Specimen:
    sp = cube.model.space
    assert np.count_nonzero(~cube.model.supported.held) > 300  # else there is no inside to solve for
    shift = ng.GridFunction(sp.vector)
    shift.Set(ng.CF(tuple(GRADIENT.ravel()), dims=(3, 3)) * ng.CF((ng.x, ng.y, ng.z)))
    lift = np.where(cube.model.supported.held, shift.vec.FV().NumPy(), 0.0)
    return Specimen(replace(cube.model, lifts=lift[None]))


def stress_in_part(cube: Specimen, direction: Vector) -> Array:
    solution = cube.solve(direction)
    c = part_stiffness(cube.model.stiffness, direction)
    strains = cube.model.sampler.strains(solution.displacements[0])
    return strains @ c


def test_isotropic() -> None:
    stress = stress_in_part(patch(), UP)
    for column, (name, value) in enumerate(
        zip(("xx", "yy", "zz", "yz", "xz", "xy"), [2000.0] * 3 + [400.0] * 3, strict=True)
    ):
        worst = stress[np.argmax(np.abs(stress[:, column] - value)), column]
        compare(worst, value, rel=1e-9, source=SOURCE, quantity=f"s_{name}, worst point [psi]")


@pytest.mark.parametrize("direction", [UP, (1.0, 2.0, -0.5)])
def test_print(direction: Vector, monkeypatch: pytest.MonkeyPatch) -> None:
    """Own derivation: the stress is C times the even strain for any C. Solved further than usual, so that what is left
    is the element's."""
    monkeypatch.setattr(solution, "RESIDUAL", 1e-13)
    cube = with_skin(patch().in_material(PRINT))
    even = part_stiffness(cube.model.stiffness, direction) @ STRAIN
    stress = stress_in_part(cube, direction)
    assert stress == pytest.approx(np.tile(even, (len(stress), 1)), abs=1e-9 * np.abs(even).max())
    layers = layer_stress(cube.model, cube.solve(direction), 0)
    assert layers @ np.ones(6) == pytest.approx(np.full(len(layers), layers[0].sum()), abs=1e-8 * np.abs(even).max())
