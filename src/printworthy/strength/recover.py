"""Strains at the points where stress is judged: every quadrature point, and every vertex of the skin.

Quadrature points of second-order tetrahedra are where strains are most accurate, but they lie inside; the surface,
where notches peak, is reached by extrapolating each element's linear strain to its corners and averaging over the
elements that meet there (weights: volumes). Source: standard nodal averaging, Hinton and Campbell 1974 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import ngsolve as ng
import numpy as np
import scipy.sparse as sp_sparse
from ngsolve.comp import IntegrationRuleSpace
from numpy.typing import NDArray

from printworthy.strength.space import Space, csr

Array = NDArray[np.float64]
POINTS_PER_ELEMENT = 4
SHEARED = ((1, 2), (0, 2), (0, 1))  # components of the engineering shears 23, 13, 12


@dataclass(frozen=True, slots=True, eq=False)
class Sampler:
    """`points` (p, 3) [mm]: first the quadrature points with `weights` (q,) [mm3], then the skin's vertices, whose
    numbers are `skin` (k,). `operator` (6 q, unknowns) takes displacements to strains at the quadrature points, all
    points of one component after another; `to_skin` (k, q) averages quadrature values to the skin.

    As against the solid print (see `zones`): `stiff` (q,) [mm3] weights times the share of stiffness, `filled` (q,) [-]
    share of volume, `worked` (p,) [-] share of stiffness over share of strength (also of heat: `heat.relieved`)."""

    points: Array
    weights: Array
    skin: NDArray[np.intp]
    operator: Any
    to_skin: Any
    stiff: Array
    filled: Array
    worked: Array

    def strains(self, u: Array) -> Array:
        """Engineering strains (p, 6) of a displacement vector (unknowns,), order 11, 22, 33, 23, 13, 12."""
        return self.with_skin((self.operator @ u).reshape(6, -1).T)

    def with_skin(self, inner: Array) -> Array:
        """Strains (p, 6) at all points from those at the quadrature points (q, 6)."""
        return np.concatenate([inner, self.to_skin @ inner])

    def derivatives(self) -> tuple[Array, NDArray[np.int32]]:
        """Derivatives (3, q, s) by x, y, z of the s scalar functions, numbers (q, s), of the element each quadrature
        point lies in: they stand in the rows of the three normal strains."""
        q, s = len(self.weights), int(self.operator.indptr[1])
        return self.operator.data[: 3 * q * s].reshape(3, q, s), self.operator.indices[: q * s].reshape(q, s)

    def gradients(self) -> tuple[Any, Any, Any]:
        """Operators (q, scalar dofs) from a scalar function to its derivatives by x, y, z at the quadrature points."""
        along, dofs = self.derivatives()
        starts = np.arange(0, dofs.size + 1, dofs.shape[1], dtype=dofs.dtype)
        shape = (len(dofs), self.operator.shape[1] // 3)
        x, y, z = (sp_sparse.csr_array((each.ravel(), dofs.ravel(), starts), shape) for each in along)
        return x, y, z

    def nodal(self, stress: Array) -> Array:
        """Nodal forces (unknowns,) [N] of a stress (q, 6) [MPa] that the solid print would have at the quadrature
        points: integral of B^T stress times the share of stiffness."""
        return self.operator.T @ (stress * self.stiff[:, None]).T.ravel()


def sampler(sp: Space) -> Sampler:
    """Points, weights, strain operator and the averaging to the skin of a solid's mesh.

    The four-point rule is exact for the stiffness of straight second-order tetrahedra, so `operator` and the assembled
    stiffness are one and the same discretisation.
    """
    rule_space = IntegrationRuleSpace(sp.mesh, order=1)
    if rule_space.ndof != POINTS_PER_ELEMENT * sp.mesh.ne:
        msg = f"expected {POINTS_PER_ELEMENT} quadrature points per tetrahedron, found {rule_space.ndof / sp.mesh.ne}"
        raise AssertionError(msg)
    at_points = ng.dx(intrules=rule_space.GetIntegrationRules())
    where = ng.GridFunction(ng.VectorValued(rule_space, 3))
    where.Interpolate(ng.CF((ng.x, ng.y, ng.z)))
    inner = where.vec.FV().NumPy().reshape(3, -1).T.copy()
    weigh = ng.LinearForm(rule_space)
    weigh += rule_space.TestFunction() * at_points
    weigh.Assemble()
    weights = weigh.vec.FV().NumPy().copy()
    skin = np.unique(sp.solid.facets)
    points = np.concatenate([inner, sp.solid.points[skin]])
    operator = _strain_operator(sp, rule_space, at_points, weights)
    solid = np.ones(len(weights))
    return Sampler(points, weights, skin, operator, _averaging(sp, weights, skin), weights, solid, np.ones(len(points)))


def _strain_operator(sp: Space, rule_space: Any, at_points: Any, weights: Array) -> Any:
    """Strains (6 q, unknowns) put together from the gradients of the scalar space: a tenth of the time that the form of
    a strain takes."""
    at = ng.VectorValued(rule_space, 3)
    form = ng.BilinearForm(trialspace=sp.scalar, testspace=at)
    form += ng.InnerProduct(ng.Grad(sp.scalar.TrialFunction()), at.TestFunction()) * at_points
    with ng.TaskManager():
        form.Assemble()
    gradients = csr(form.mat)
    dofs = gradients.indices.reshape(3, len(weights), -1)[0]
    along = gradients.data.reshape(3, len(weights), -1) / weights[:, None]  # by x, y, z
    normal = [(dofs + c * sp.count, along[c]) for c in range(3)]
    shear = [
        (np.hstack([dofs + a * sp.count, dofs + b * sp.count]), np.hstack([along[b], along[a]])) for a, b in SHEARED
    ]
    rows = normal + shear
    lengths = np.concatenate([np.full(len(weights), columns.shape[1]) for columns, _ in rows])
    return sp_sparse.csr_array(
        (
            np.concatenate([values.ravel() for _, values in rows]),
            np.concatenate([columns.ravel() for columns, _ in rows]),
            np.concatenate([[0], np.cumsum(lengths)]).astype(dofs.dtype),
        ),
        shape=(6 * len(weights), sp.unknowns),
    )


def corner_extrapolation() -> Array:
    """Matrix (4, 4): values at an element's quadrature points to values at its corners (linear in the element)."""
    rule = np.array(ng.IntegrationRule(ng.ET.TET, 2).points)
    shape = np.column_stack([rule, 1 - rule.sum(axis=1)])
    return np.linalg.inv(shape)


def _averaging(sp: Space, weights: Array, skin: NDArray[np.intp]) -> Any:
    tets = sp.solid.tets
    volumes = weights.reshape(-1, POINTS_PER_ELEMENT).sum(axis=1)
    rows = np.repeat(tets[:, :, None], POINTS_PER_ELEMENT, axis=2)
    columns = np.arange(tets.size).reshape(-1, 1, POINTS_PER_ELEMENT).repeat(4, axis=1)
    values = corner_extrapolation()[None] * volumes[:, None, None]
    shape = (len(sp.solid.points), tets.size)
    spread = sp_sparse.csr_array((values.ravel(), (rows.ravel(), columns.ravel())), shape=shape)
    total = np.bincount(tets.ravel(), weights=np.repeat(volumes, 4), minlength=len(sp.solid.points))
    picked = spread[skin]
    return sp_sparse.diags_array(1 / total[skin]) @ picked
