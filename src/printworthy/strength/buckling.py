"""Linear buckling: the load factor at which a thin part of perfect shape bends sideways."""

from __future__ import annotations

from typing import Any

import ngsolve as ng
import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.sparse.linalg import ArpackNoConvergence, LinearOperator, eigsh

from printworthy.errors import NotComputed
from printworthy.results import Check
from printworthy.strength.elastic import rotated
from printworthy.strength.lay import frame_at
from printworthy.strength.solution import solve
from printworthy.strength.space import csr, strain
from printworthy.strength.system import Model, assembled

Array = NDArray[np.float64]
SLENDER = 12.0  # longest side over wall thickness from which buckling is looked at (assumed)
START_SEED = 20577
# Where nothing buckles, the eigenvalues mu = 1 / lambda crowd below 0 and never settle one by one. Moved by SHIFT they
# are all one number to the tolerance asked for, and settle at once; mu is then known to TOLERANCE * (mu + SHIFT).
SHIFT, TOLERANCE = 0.05, 1e-3
FAR = 1e-3  # mu below which nothing buckles: a thousand times the load


def is_slender(m: Model) -> bool:
    """True if the part's longest side is more than `SLENDER` times its wall."""
    solid = m.space.solid
    longest = float(np.ptp(solid.points, axis=0).max())
    return longest > SLENDER * solid.report.thickness > 0


def buckling_check(m: Model, direction: ArrayLike, factor: float) -> Check:
    """Lowest buckling load factor over the cases, against the factor on load. Raises NotComputed if it is not found."""
    s = solve(m, direction)
    matrix, inverse = _factored(m, direction)
    found = [
        (_lowest(m, direction, u, matrix, inverse), case.name)
        for u, case in zip(s.displacements, m.part.cases, strict=True)
    ]
    lowest, case = min(found)
    words = "no case buckles" if np.isinf(lowest) else f"{case} buckles at {lowest:.3g} times its load"
    return Check(
        "buckling",
        factor,
        lowest,
        "times the load",
        factor / lowest,
        "linear eigenvalue buckling, K + lambda K_g (textbook); perfect shape, no imperfection counted",
        words,
    )


def critical_factor(m: Model, direction: ArrayLike, u: Array) -> float:
    """Lowest positive lambda of (K + lambda K_g) phi = 0 for the stress of displacement `u`; inf if there is none."""
    return _lowest(m, direction, u, *_factored(m, direction))


def _factored(m: Model, direction: ArrayLike) -> tuple[Any, Any]:
    """K(n) and its inverse."""
    matrix = assembled(m, rotated(m.stiffness, frame_at(m.part, direction).T))
    return matrix, matrix.Inverse(m.free, inverse="sparsecholesky")


def _lowest(m: Model, direction: ArrayLike, u: Array, matrix: Any, inverse: Any) -> float:
    """`critical_factor`, with K(n) and its inverse at hand.

    K_g is the integral of sigma_ij du_k/dx_i dv_k/dx_j. Solved as the largest eigenvalue of
    (SHIFT K - K_g) phi = (mu + SHIFT) K phi by Lanczos steps.
    """
    free = np.flatnonzero(~m.supported.held)
    pressed, stiff, solved = _pressed(m, direction, u, free), _operator(matrix, free), _operator(inverse, free)
    start = np.random.default_rng(START_SEED).normal(size=len(free))
    try:
        found = eigsh(pressed + SHIFT * stiff, k=1, M=stiff, Minv=solved, which="LA", v0=start, tol=TOLERANCE)[0][0]
    except ArpackNoConvergence as e:
        raise NotComputed("the buckling load was not found", do="Check that the part is not held all round") from e
    mu = float(found) - SHIFT
    return 1 / mu if mu > FAR else float("inf")


def _pressed(m: Model, direction: ArrayLike, u: Array, free: NDArray[np.intp]) -> LinearOperator:
    """-K_g, which is one scalar matrix for each of the three components."""
    displacement = ng.GridFunction(m.space.vector)
    displacement.vec.FV().NumPy()[:] = u
    c = rotated(m.stiffness, frame_at(m.part, direction).T)
    s = ng.CF(tuple(float(x) for x in c.ravel()), dims=(6, 6)) * strain(displacement)
    sigma = ng.CF((s[0], s[5], s[4], s[5], s[1], s[3], s[4], s[3], s[2]), dims=(3, 3))
    a, b = m.space.scalar.TnT()
    form = ng.BilinearForm(m.space.scalar)
    form += m.stiff * ng.InnerProduct(sigma * ng.grad(a), ng.grad(b)) * ng.dx
    with ng.TaskManager():
        form.Assemble()
    geometric = csr(form.mat)
    every = np.zeros(m.space.unknowns)

    def apply(v: Array) -> Array:
        every[free] = v.ravel()
        return -(geometric @ every.reshape(3, -1).T).T.ravel()[free]

    return LinearOperator((len(free), len(free)), matvec=apply, dtype=np.float64)


def _operator(mat: Any, free: NDArray[np.intp]) -> LinearOperator:
    x, y = mat.CreateColVector(), mat.CreateColVector()

    def apply(v: Array) -> Array:
        x[:] = 0
        x.FV().NumPy()[free] = v.ravel()
        y.data = mat * x
        return np.asarray(y.FV().NumPy()[free])

    return LinearOperator((len(free), len(free)), matvec=apply, dtype=np.float64)
