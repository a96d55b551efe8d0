"""Order of accuracy against a made-up displacement: 3 in displacement, 2 in energy, on straight and curved skins.

Orders for second-order elements: P. G. Ciarlet, The Finite Element Method for Elliptic Problems, 1978, theorems 3.2.2,
3.2.5 and, for curved elements, 4.4.3 (from memory). The stress read on the skin must gain accuracy at least linearly.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import netgen.occ as occ
import ngsolve as ng
import numpy as np
import pytest

from printworthy.inputs import Load, Support
from printworthy.shape import Solid
from printworthy.strength.space import strain
from specimens import Specimen, card, facets_where, part_stiffness, solid, specimen

DIRECTION = (1.0, 2.0, -0.5)
PRINT = card(8000.0, 3000.0, 0.35, 0.40, 1100.0)
X = (ng.x, ng.y, ng.z)
EXACT = (
    1e-3 * ng.sin(ng.x + 0.5 * ng.y) * ng.cos(0.7 * ng.z),
    1e-3 * ng.exp(0.5 * ng.x) * ng.sin(0.8 * ng.y - 0.6 * ng.z),
    1e-3 * ng.cos(0.7 * ng.x * ng.y) * ng.sin(ng.z),
)
GRADIENT = [[u.Diff(x) for x in X] for u in EXACT]


def voigt(g: list[list[Any]]) -> Any:
    return ng.CF((g[0][0], g[1][1], g[2][2], g[1][2] + g[2][1], g[0][2] + g[2][0], g[0][1] + g[1][0]))


def refined(body: Solid) -> Solid:
    """The body with its mesh cut: every tetrahedron into eight, new nodes on the CAD surface, elements curved again."""
    raw = body.mesh.ngmesh
    raw.Refine()
    mesh = ng.Mesh(raw)
    mesh.Curve(2)
    tets = raw.Elements3D().NumPy()["nodes"][:, :4].astype(np.int64) - 1
    facets = raw.Elements2D().NumPy()["nodes"][:, :3].astype(np.int64) - 1
    points = np.array(raw.Coordinates(), dtype=float)
    return replace(body, mesh=mesh, points=points, tets=tets, facets=facets)


def loaded(meshed: Solid) -> tuple[Specimen, Any]:
    """The body held on all its skin at the made-up displacement, under the body force that belongs to it."""
    skin = facets_where(meshed, lambda p: np.ones(p.shape[:2], dtype=bool))
    held = specimen(meshed, PRINT, {"skin": skin}, [Support("skin", "fixed")], [Load("pressure", "skin")])
    sp = held.model.space
    c = ng.CF(tuple(part_stiffness(held.model.stiffness, DIRECTION).ravel()), dims=(6, 6))
    s = c * voigt(GRADIENT)
    rows = ((0, 5, 4), (5, 1, 3), (4, 3, 2))
    body_force = ng.CF(tuple(-sum(s[k].Diff(x) for k, x in zip(row, X, strict=True)) for row in rows))
    f = ng.LinearForm(sp.vector)
    f += ng.InnerProduct(body_force, sp.vector.TestFunction()) * ng.dx(bonus_intorder=4)
    f.Assemble()
    shift = ng.GridFunction(sp.vector)
    shift.Set(ng.CF(EXACT), bonus_intorder=4)
    lift = np.where(held.model.supported.held, shift.vec.FV().NumPy(), 0.0)
    return Specimen(replace(held.model, loads=np.array(f.vec.FV().NumPy())[None], lifts=lift[None])), c


def errors(made: Specimen, c: Any) -> tuple[float, float, float, float]:
    """Size of the elements, error in displacement (L2), in energy, and the largest on the skin in stress."""
    sp = made.model.space
    solution = made.solve(DIRECTION)
    u = ng.GridFunction(sp.vector)
    u.vec.FV().NumPy()[:] = solution.displacements[0]
    gap, wrong = u - ng.CF(EXACT), strain(u) - voigt(GRADIENT)
    order = {"mesh": sp.mesh, "order": 8}
    in_u = ng.Integrate(ng.InnerProduct(gap, gap), **order) ** 0.5
    in_energy = ng.Integrate(ng.InnerProduct(c * wrong, wrong), **order) ** 0.5
    stress = ng.GridFunction(ng.VectorValued(ng.H1(sp.mesh, order=1), 6))
    stress.Interpolate(c * voigt(GRADIENT))
    exact = stress.vec.FV().NumPy().reshape(6, -1).T[made.model.sampler.skin]
    size = (ng.Integrate(1.0, sp.mesh) / len(sp.solid.tets)) ** (1 / 3)
    return size, in_u, in_energy, float(np.abs(made.skin_stress(solution) - exact).max())


BODIES: dict[str, Callable[[], Any]] = {
    "straight": lambda: occ.Box((0, 0, 0), (1.2, 1, 0.8)) - occ.Box((0.5, 0.5, 0), (1.2, 1, 0.8)),
    "curved": lambda: occ.Cylinder(occ.Pnt(0, 0, 0), occ.Z, 1, 0.8) - occ.Cylinder(occ.Pnt(0.2, 0, 0), occ.Z, 0.5, 0.8),
}


@pytest.mark.parametrize("body", BODIES)
def test_orders(body: str, tmp_path: Path) -> None:
    once = refined(solid(BODIES[body](), tmp_path, 0.35))  # cutting into eight keeps the shapes from the first cut on
    coarse = np.log(errors(*loaded(once)))
    fine = np.log(errors(*loaded(refined(once))))
    in_u, in_energy, on_skin = (fine[1:] - coarse[1:]) / (fine[0] - coarse[0])
    assert in_u == pytest.approx(3, abs=0.25)
    assert in_energy == pytest.approx(2, abs=0.25)
    assert on_skin > 1
