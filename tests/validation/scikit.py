"""Elastic solutions and utilisations in scikit-fem: its own elements, quadrature and assembly.

Only the mesh, the stiffness and the free strain in part axes and the criteria are handed over.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import skfem
from skfem.helpers import dot

from printworthy.shape import Solid
from printworthy.strength.criteria import Strengths, by_mode

Array = np.ndarray
# The four-point rule of degree 2 (Hammer, Marlowe and Stroud 1956, from memory), and the corners.
NEAR, FAR = 0.25 - 5**0.5 / 20, 0.25 + 3 * 5**0.5 / 20
INSIDE = np.full((3, 4), NEAR) + np.hstack([(FAR - NEAR) * np.eye(3), np.zeros((3, 1))])
CORNERS = np.hstack([np.zeros((3, 1)), np.eye(3)])


def basis_on(body: Solid) -> Any:
    """Second-order displacements on the same straight tetrahedra."""
    mesh = skfem.MeshTet(np.ascontiguousarray(body.points.T), np.ascontiguousarray(body.tets.T))
    return skfem.Basis(mesh, skfem.ElementVector(skfem.ElementTetP2()), intorder=4)


def strain(u: Any) -> list[Any]:
    """Engineering strain of a displacement, order 11, 22, 33, 23, 13, 12."""
    g = u.grad
    return [g[0, 0], g[1, 1], g[2, 2], g[1, 2] + g[2, 1], g[0, 2] + g[2, 0], g[0, 1] + g[1, 0]]


def stiffness_matrix(basis: Any, c: Array) -> Any:
    """Stiffness of a material (6, 6) in part axes."""

    @skfem.BilinearForm
    def energy(u: Any, v: Any, w: Any) -> Any:
        a, b = strain(u), strain(v)
        return sum(c[i, j] * a[j] * b[i] for i in range(6) for j in range(6))

    return energy.assemble(basis)


def stress_forces(basis: Any, stress: Array) -> Array:
    """Nodal forces of an even stress (6,): what a free strain that is held back pushes with."""
    return skfem.LinearForm(lambda v, w: sum(s * e for s, e in zip(stress, strain(v), strict=True))).assemble(basis)


def face_basis(basis: Any, where: Callable[[Any], Any]) -> Any:
    facets = basis.mesh.facets_satisfying(where, boundaries_only=True)
    return skfem.FacetBasis(basis.mesh, basis.elem, facets=facets, intorder=5)


def on_face(basis: Any, where: Callable[[Any], Any], traction: Callable[[Any], Any]) -> Array:
    """Nodal forces of a traction on a face."""
    return skfem.LinearForm(lambda v, w: dot(traction(w.x), v)).assemble(face_basis(basis, where))


def body_forces(basis: Any, per_volume: Array) -> Array:
    """Nodal forces of an even force per volume (3,) [N/mm3]."""
    return skfem.LinearForm(lambda v, w: sum(p * v[i] for i, p in enumerate(per_volume))).assemble(basis)


def bed_matrix(basis: Any, where: Callable[[Any], Any], normal: float, tangential: float) -> Any:
    """Stiffness of an elastic bed [N/mm3] on a face."""

    @skfem.BilinearForm
    def springs(u: Any, v: Any, w: Any) -> Any:
        return tangential * dot(u, v) + (normal - tangential) * dot(u, w.n) * dot(v, w.n)

    return springs.assemble(face_basis(basis, where))


def stresses(basis: Any, u: Array, c: Array, free: Array, frame: Array, at: Array) -> Array:
    """Stress (6, elements, 4) in the axes that are the rows of `frame`, at reference points `at` (3, 4)."""
    there = skfem.Basis(basis.mesh, basis.elem, quadrature=(at, np.full(4, 1 / 24)))
    strains = np.stack(strain(there.interpolate(u))) - free[:, None, None]
    s = np.einsum("ij,j...->i...", c, strains)
    turned = np.einsum("ai,bj,ij...->ab...", frame, frame, s[np.array([[0, 5, 4], [5, 1, 3], [4, 3, 2]])])
    return np.stack([turned[i] for i in ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))])


def inside(basis: Any, u: Array, c: Array, frame: Array, f: Strengths, free: Array | None = None) -> Array:
    """Largest utilisation of every mode (6,) over four points of every element."""
    layers = stresses(basis, u, c, np.zeros(6) if free is None else free, frame, INSIDE)
    return by_mode(np.moveaxis(layers, 0, -1), f).max(axis=(0, 1))


def on_skin(basis: Any, u: Array, c: Array, frame: Array, f: Strengths, free: Array) -> Array:
    """Largest utilisation of every mode (6,) over the skin's vertices: stress at the corners of the elements that meet
    there, averaged by their volumes."""
    mesh = basis.mesh
    corner = stresses(basis, u, c, free, frame, CORNERS)
    edges = mesh.p[:, mesh.t[1:]] - mesh.p[:, mesh.t[:1]]
    volumes = np.abs(np.linalg.det(edges.transpose(2, 0, 1)))
    total = np.zeros((mesh.nvertices, 6))
    weight = np.zeros(mesh.nvertices)
    for k in range(4):
        np.add.at(total, mesh.t[k], (corner[:, :, k] * volumes).T)
        np.add.at(weight, mesh.t[k], volumes)
    skin = np.unique(mesh.facets[:, mesh.boundary_facets()])
    return by_mode(total[skin] / weight[skin, None], f).max(axis=0)
