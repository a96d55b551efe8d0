"""The same question answered the long way round: one solution for every build direction.

Only what depends on the direction is timed by the caller: loads, supports and meshes are made beforehand (`Skfem`).
"""

from __future__ import annotations

from typing import Any

import ngsolve as ng
import numpy as np
import pyamg
import scipy.sparse.linalg as spla
import skfem
from bench_lever import design
from ngsolve.krylovspace import CGSolver
from skfem.helpers import sym_grad

from printworthy.strength import Model
from printworthy.strength.criteria import Strengths, by_mode
from printworthy.strength.elastic import isotropic_mean, layer_frame, strain_rotation, tensor
from printworthy.strength.supports import bed_form
from specimens import part_stiffness

TOLERANCE = 1e-6


def library_matrix(m: Model, c: np.ndarray) -> Any:
    """NGSolve's matrix of a stiffness c (6, 6) in part axes, beds included.

    Between gradients, with numbers written into the form: half the time of strains, a quarter of that of parameters.
    """
    u, v = m.space.vector.TnT()
    form = ng.BilinearForm(m.space.vector, symmetric=True)
    constant = ng.CF(tuple(float(x) for x in tensor(np.asarray(c)).ravel()), dims=(9, 9))
    form += ng.InnerProduct(constant * ng.Grad(u).Reshape((9,)), ng.Grad(v).Reshape((9,))) * ng.dx
    for bed in m.supported.beds:
        form += bed_form(m.space, u, v, bed)
    with ng.TaskManager():
        form.Assemble()
    return form.mat


def ngsolve_preconditioned(m: Model, directions: np.ndarray) -> list[float]:
    """NGSolve's own factor of the averaged stiffness for all; its conjugate gradients for every direction and case."""
    matrix = library_matrix(m, isotropic_mean(m.stiffness))
    with ng.TaskManager():
        factor = matrix.Inverse(ng.BitArray((~m.supported.held).tolist()), inverse="sparsecholesky")
        return [_preconditioned(m, factor, n) for n in directions]


def _preconditioned(m: Model, factor: Any, n: np.ndarray) -> float:
    matrix = library_matrix(m, part_stiffness(m.stiffness, n))
    x, y = matrix.CreateColVector(), matrix.CreateColVector()
    solver = CGSolver(matrix, factor, tol=TOLERANCE, maxiter=400)
    worst = 0.0
    for force in m.loads:
        x.FV().NumPy()[:] = np.where(m.supported.held, 0.0, force)
        y.data = solver * x
        strain = m.sampler.strains(y.FV().NumPy())
        stress = strain @ strain_rotation(layer_frame(n)).T @ m.stiffness
        worst = max(worst, float(by_mode(stress, Strengths.of(design())).max()))
    return worst


def ngsolve_factored(m: Model, directions: np.ndarray) -> list[float]:
    """Assembled and factored again for every direction, then one back-solve for every case."""
    peaks = []
    for n in directions:
        matrix = library_matrix(m, part_stiffness(m.stiffness, n))
        x, y = matrix.CreateColVector(), matrix.CreateColVector()
        worst = 0.0
        with ng.TaskManager():
            inverse = matrix.Inverse(ng.BitArray((~m.supported.held).tolist()), inverse="sparsecholesky")
            for force in m.loads:
                x.FV().NumPy()[:] = force
                y.data = inverse * x
                strain = m.sampler.strains(y.FV().NumPy())
                stress = strain @ strain_rotation(layer_frame(n)).T @ m.stiffness
                worst = max(worst, float(by_mode(stress, Strengths.of(design())).max()))
        peaks.append(worst)
    return peaks


class Skfem:
    """The part in scikit-fem: straight second-order tetrahedra on the same mesh, its beds, its loads as vectors."""

    def __init__(self, m: Model) -> None:
        solid = m.space.solid
        self.stiffness = m.stiffness
        mesh = skfem.MeshTet(solid.points.T.copy(), solid.tets.T.copy().astype(np.int64), sort_t=True)
        element = skfem.ElementVector(skfem.ElementTetP2())
        self.basis = skfem.Basis(mesh, element, intorder=2)
        self.beds = sum((self._bed(mesh, element, m, bed) for bed in m.supported.beds), start=0)
        self.loads = [self._load(mesh, element, m, name, v) for name, v in _loads(m)]
        x, y, z = self.basis.doflocs
        component = np.zeros(self.basis.N, dtype=int)
        for i in range(3):
            component[self.basis.get_dofs(elements=True).all([f"u^{i + 1}"])] = i
        shift = np.stack([(component == i).astype(float) for i in range(3)], axis=1)
        turn = np.stack([np.choose(component, c) for c in ([0 * x, -z, y], [z, 0 * x, -x], [-y, x, 0 * x])], axis=1)
        self.rigid = np.concatenate([shift, turn], axis=1)

    def _facets(self, mesh, m, face):  # type: ignore[no-untyped-def]
        wanted = np.sort(m.space.solid.facets[m.space.faces[face]], axis=1)
        number = {tuple(f): i for i, f in enumerate(np.sort(mesh.facets.T, axis=1).tolist())}
        return np.array([number[tuple(f)] for f in wanted.tolist()])

    def _bed(self, mesh, element, m, bed):  # type: ignore[no-untyped-def]
        at = skfem.FacetBasis(mesh, element, facets=self._facets(mesh, m, bed.face), intorder=4)

        @skfem.BilinearForm
        def form(u, v, w):  # type: ignore[no-untyped-def]
            both = sum(u[i] * v[i] for i in range(3))
            normal = sum(u[i] * w.n[i] for i in range(3)) * sum(v[i] * w.n[i] for i in range(3))
            return bed.tangential * both + (bed.normal - bed.tangential) * normal

        return form.assemble(at)

    def _load(self, mesh, element, m, face, vector):  # type: ignore[no-untyped-def]
        at = skfem.FacetBasis(mesh, element, facets=self._facets(mesh, m, face), intorder=4)
        form = skfem.LinearForm(lambda v, w: sum(vector[i] * v[i] for i in range(3)))
        return form.assemble(at) / float(np.sum(at.dx))

    def matrix(self, n: np.ndarray):  # type: ignore[no-untyped-def]
        """Stiffness with beds for a build direction."""
        c = tensor(part_stiffness(self.stiffness, n))

        @skfem.BilinearForm
        def form(u, v, w):  # type: ignore[no-untyped-def]
            return np.einsum("ijkl,kl...,ij...->...", c, sym_grad(u), sym_grad(v), optimize=True)

        return (form.assemble(self.basis) + self.beds).tocsr()

    def multigrid(self, n: np.ndarray) -> list[np.ndarray]:
        """Assemble, set pyamg up with the rigid motions, conjugate gradients for every case."""
        a = self.matrix(n)
        grid = pyamg.smoothed_aggregation_solver(a, B=self.rigid)
        return [grid.solve(f, tol=TOLERANCE, accel="cg") for f in self.loads]

    def direct(self, n: np.ndarray) -> list[np.ndarray]:
        """Assemble, factor with SciPy's direct solver, one back-solve for every case."""
        factor = spla.splu(self.matrix(n).tocsc())
        return [factor.solve(f) for f in self.loads]


def _loads(m: Model) -> list[tuple[str, tuple[float, float, float]]]:
    """Face and resultant of every case: a pin's pressure is spread evenly here, which changes no timing."""
    return [(case.loads[0].face, case.loads[0].vector) for case in m.part.cases]
