"""The same mesh, material, supports and loads in another finite-element program.

T. Gustafsson and G. D. McBain, scikit-fem: A Python package for finite element assembly, Journal of Open Source
Software 5 (2020) 2369. It assembles with its own elements, quadrature and direct solver; only the mesh and the
stiffness in part axes (checked in test_bond.py) are handed over. The bracket has flat faces and straight elements.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import netgen.occ as occ
import numpy as np
import pytest
import skfem
from compare import Source, compare
from skfem.helpers import dot

from printworthy.inputs import Load, Support
from printworthy.strength.criteria import MODES, Strengths, by_mode
from printworthy.strength.elastic import layer_frame, part_stiffness
from printworthy.strength.margin import layer_stress
from specimens import Specimen, card, plane, solid, specimen

SOURCE = Source(
    "Gustafsson and McBain 2020, scikit-fem", "same mesh, print 8000/3000/0.35/0.40/1100 MPa", "another program"
)
DIRECTION = (1.0, -2.0, 3.0)
STRENGTHS = Strengths(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=70.0)
GRAVITY, DENSITY = 9810.0, 1.2e-9  # [mm/s2], [tonne/mm3]
CASES = {
    "force on the end": [Load("force", "end", (30.0, -20.0, -100.0))],
    "pressure on the top": [Load("pressure", "top", value=0.5)],
    "moment on the end": [Load("moment", "end", (400.0, -900.0, 250.0))],
    "own weight": [Load("gravity", vector=(0.0, 0.0, -1000 * GRAVITY))],
}


@cache
def bracket() -> Specimen:
    """An L-shaped bracket, held by its foot."""
    body = occ.Box((0, 0, 0), (40, 12, 30)) - occ.Box((10, 0, -1), (41, 12, 20))
    with TemporaryDirectory() as folder:
        meshed = solid(body, Path(folder), 5.0)
    faces = {
        "foot": plane((0, 0, 0), (0, 0, -1)),
        "end": plane((40, 0, 30), (1, 0, 0)),
        "top": plane((0, 0, 30), (0, 0, 1)),
    }
    material = card(8000.0, 3000.0, 0.35, 0.40, 1100.0, density=1.2)
    return specimen(meshed, material, faces, [Support("foot", "fixed")], *CASES.values())


def strain(u: Any) -> list[Any]:
    """Engineering strain of a displacement in scikit-fem, order 11, 22, 33, 23, 13, 12."""
    g = u.grad
    return [g[0, 0], g[1, 1], g[2, 2], g[1, 2] + g[2, 1], g[0, 2] + g[2, 0], g[0, 1] + g[1, 0]]


@cache
def other() -> tuple[Any, list[np.ndarray]]:
    """Basis and displacements of every case in scikit-fem."""
    body = bracket().model.space.solid
    mesh = skfem.MeshTet(np.ascontiguousarray(body.points.T), np.ascontiguousarray(body.tets.T))
    basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementTetP2()), intorder=4)
    c = part_stiffness(bracket().model.stiffness, DIRECTION)

    @skfem.BilinearForm
    def energy(u: Any, v: Any, w: Any) -> Any:
        a, b = strain(u), strain(v)
        return sum(c[i, j] * a[j] * b[i] for i in range(6) for j in range(6))

    stiffness = energy.assemble(basis)
    foot = basis.get_dofs(lambda x: np.isclose(x[2], 0.0))
    loads = [force(basis), pressure(basis), moment(basis), weight(basis)]
    return basis, [skfem.solve(*skfem.condense(stiffness, f, D=foot)) for f in loads]


def on_face(basis: Any, where: Callable[[Any], Any], traction: Callable[[Any], Any]) -> np.ndarray:
    facets = basis.mesh.facets_satisfying(where, boundaries_only=True)
    face = skfem.FacetBasis(basis.mesh, basis.elem, facets=facets, intorder=5)
    return skfem.LinearForm(lambda v, w: dot(traction(w.x), v)).assemble(face)


def is_end(x: Any) -> Any:
    return np.isclose(x[0], 40.0)


def force(basis: Any) -> np.ndarray:
    even = np.array([30.0, -20.0, -100.0])[:, None, None] / (12 * 10)
    return on_face(basis, is_end, lambda x: even + 0 * x)


def pressure(basis: Any) -> np.ndarray:
    down = np.array([0.0, 0.0, -0.5])[:, None, None]
    return on_face(basis, lambda x: np.isclose(x[2], 30.0), lambda x: down + 0 * x)


def moment(basis: Any) -> np.ndarray:
    """Traction b x (r - c) on a face of breadth 12 and height 10; b is the moment over the face's second moments."""
    height, breadth = 12 * 10**3 / 12, 10 * 12**3 / 12
    turn = np.array([400.0, -900.0, 250.0]) / (height + breadth, height, breadth)

    def traction(x: Any) -> Any:
        arm = x - np.array([40.0, 6.0, 25.0])[:, None, None]
        return np.stack([turn[i - 2] * arm[i - 1] - turn[i - 1] * arm[i - 2] for i in range(3)])

    return on_face(basis, is_end, traction)


def weight(basis: Any) -> np.ndarray:
    return skfem.LinearForm(lambda v, w: -1000 * GRAVITY * DENSITY * v[2]).assemble(basis)


def utilisations(basis: Any, u: np.ndarray) -> np.ndarray:
    """Largest utilisation of every mode at the four points of every element."""
    near, far = 0.25 - 5**0.5 / 20, 0.25 + 3 * 5**0.5 / 20
    points = np.full((3, 4), near) + np.hstack([(far - near) * np.eye(3), np.zeros((3, 1))])
    at = skfem.Basis(basis.mesh, basis.elem, quadrature=(points, np.full(4, 1 / 24)))
    strains = np.stack(strain(at.interpolate(u)))
    s = np.einsum("ij,j...->i...", part_stiffness(bracket().model.stiffness, DIRECTION), strains)
    frame = layer_frame(DIRECTION)
    turned = np.einsum("ai,bj,ij...->ab...", frame, frame, s[np.array([[0, 5, 4], [5, 1, 3], [4, 3, 2]])])
    layers = np.stack([turned[i] for i in ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))], axis=-1)
    return by_mode(layers, STRENGTHS).max(axis=(0, 1))


@pytest.mark.parametrize("case", range(len(CASES)), ids=list(CASES))
def test_same_answer(case: int) -> None:
    ours = bracket().solve(DIRECTION)
    basis, theirs = other()
    vertices = len(bracket().model.space.solid.points)
    expected = theirs[case][basis.nodal_dofs]
    computed = ours.displacements[case].reshape(3, -1)[:, :vertices]
    assert computed == pytest.approx(expected, abs=1e-6 * np.abs(expected).max())
    name = list(CASES)[case]
    worst = int(np.argmax(np.linalg.norm(expected, axis=0)))
    compare(
        float(np.linalg.norm(computed[:, worst])),
        float(np.linalg.norm(expected[:, worst])),
        rel=1e-6,
        source=SOURCE,
        quantity=f"{name}: largest movement [mm]",
    )
    points = len(bracket().model.sampler.weights)
    used = by_mode(layer_stress(bracket().model, ours, case)[:points], STRENGTHS).max(axis=0)
    for mode, here, there in zip(MODES, used, utilisations(basis, theirs[case]), strict=True):
        compare(here, there, rel=1e-6, source=SOURCE, quantity=f"{name}: utilisation, {mode} [-]")
