"""Linear buckling: the load factor at which a thin part of perfect shape bends sideways."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import scipy.sparse as sparse
from numpy.typing import ArrayLike, NDArray
from scipy.sparse.linalg import ArpackNoConvergence, LinearOperator, eigsh

from printworthy.errors import NotComputed
from printworthy.results import Check
from printworthy.strength.elastic import part_stiffness
from printworthy.strength.factor import Cholesky
from printworthy.strength.solution import settled, solve
from printworthy.strength.system import MOST_FACTORED, Model, assembled

Array = NDArray[np.float64]
SLENDER = 12.0  # longest side over wall thickness from which buckling is looked at (assumed)
START_SEED = 20577
# Where nothing buckles, the eigenvalues mu = 1 / lambda crowd below 0 and never settle one by one. Moved by SHIFT they
# are all one number to the tolerance asked for, and settle at once. TOLERANCE is that of the mode over (mu + SHIFT);
# the eigenvalue's own error is of its square.
SHIFT, TOLERANCE = 0.05, 1e-2
SETTLED = 1e-6  # of an inverse by iteration
TENSOR = np.array([[0, 5, 4], [5, 1, 3], [4, 3, 2]])  # places of 11, 22, 33, 23, 13, 12 in a tensor
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


def _factored(m: Model, direction: ArrayLike) -> tuple[LinearOperator, LinearOperator]:
    """K(n) on the free dofs, and its inverse: by its factor, or where that would be too large by iteration."""
    c, free = part_stiffness(m.stiffness, direction), np.flatnonzero(~m.supported.held)
    matrix = assembled(m, c)
    factor = Cholesky(matrix, ~m.supported.held) if m.space.unknowns <= MOST_FACTORED else None
    start = np.zeros((1, m.space.unknowns))

    def solved(force: Array) -> Array:
        if factor is not None:
            return factor.solve(force[:, None])[:, 0]
        return settled(m, c[None], force[None], start, SETTLED)[0][0]

    return _on_free(m, free, lambda u: matrix @ u), _on_free(m, free, solved)


def _lowest(m: Model, direction: ArrayLike, u: Array, stiff: LinearOperator, solved: LinearOperator) -> float:
    """`critical_factor`, with K(n) and its inverse at hand.

    K_g is the integral of sigma_ij du_k/dx_i dv_k/dx_j. Solved as the largest eigenvalue of
    (SHIFT K - K_g) phi = (mu + SHIFT) K phi by Lanczos steps.
    """
    pressed = _pressed(m, direction, u)
    start = np.random.default_rng(START_SEED).normal(size=stiff.shape[0])
    try:
        found = eigsh(pressed + SHIFT * stiff, k=1, M=stiff, Minv=solved, which="LA", v0=start, tol=TOLERANCE)[0][0]
    except ArpackNoConvergence as e:
        raise NotComputed("the buckling load was not found", do="Check that the part is not held all round") from e
    mu = float(found) - SHIFT
    return 1 / mu if mu > FAR else float("inf")


def _pressed(m: Model, direction: ArrayLike, u: Array) -> LinearOperator:
    """-K_g on the free dofs, which is one scalar matrix for each of the three components."""
    inner = m.sampler.strains(u)[: len(m.sampler.weights)]
    stress = (inner @ part_stiffness(m.stiffness, direction) * m.sampler.stiff[:, None])[:, TENSOR]
    along = m.sampler.gradients()
    geometric = sum(
        along[i].T @ sparse.csr_array(along[j] * stress[:, i, j][:, None]) for i in range(3) for j in range(3)
    )
    free = np.flatnonzero(~m.supported.held)
    return _on_free(m, free, lambda v: -(geometric @ v.reshape(3, -1).T).T.ravel())


def _on_free(m: Model, free: NDArray[np.intp], act: Callable[[Array], Array]) -> LinearOperator:
    """An operator on all displacements (unknowns,) as one on the free ones, the others zero."""
    every = np.zeros(m.space.unknowns)

    def apply(v: Array) -> Array:
        every[free] = v.ravel()
        return np.asarray(act(every)[free])

    return LinearOperator((len(free), len(free)), matvec=apply, dtype=np.float64)
