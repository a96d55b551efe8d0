"""The same mesh, material, supports and loads in another finite-element program.

T. Gustafsson and G. D. McBain, scikit-fem: A Python package for finite element assembly, Journal of Open Source
Software 5 (2020) 2369. It assembles with its own elements, quadrature and direct solver; only the mesh and the
stiffness in part axes (checked in test_bond.py) are handed over. The bracket has flat faces and straight elements.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import netgen.occ as occ
import numpy as np
import pytest
import skfem
from compare import Source, compare
from scikit import basis_on, body_forces, inside, on_face, stiffness_matrix

from printworthy.inputs import Load, Support
from printworthy.strength.criteria import MODES, Strengths, by_mode
from printworthy.strength.elastic import layer_frame
from printworthy.strength.margin import layer_stress
from specimens import Specimen, card, part_stiffness, plane, solid, specimen

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


@cache
def other() -> tuple[Any, list[np.ndarray]]:
    """Basis and displacements of every case in scikit-fem."""
    basis = basis_on(bracket().model.space.solid)
    stiffness = stiffness_matrix(basis, part_stiffness(bracket().model.stiffness, DIRECTION))
    foot = basis.get_dofs(lambda x: np.isclose(x[2], 0.0))
    weight = np.array([0, 0, -1000 * GRAVITY * DENSITY])
    loads = [force(basis), pressure(basis), moment(basis), body_forces(basis, weight)]
    return basis, [skfem.solve(*skfem.condense(stiffness, f, D=foot)) for f in loads]


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
    c, frame = part_stiffness(bracket().model.stiffness, DIRECTION), layer_frame(DIRECTION)
    expected_use = inside(basis, theirs[case], c, frame, STRENGTHS)
    for mode, here, there in zip(MODES, used, expected_use, strict=True):
        compare(here, there, rel=1e-6, source=SOURCE, quantity=f"{name}: utilisation, {mode} [-]")
