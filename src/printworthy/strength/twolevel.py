"""A preconditioner for parts too large to factor: the linear displacements exactly, the rest by relaxation.

Second-order shape functions are linear ones at the vertices plus one more an edge, so the vertex block of the stiffness
is the stiffness of linear tetrahedra: about an eighth of the unknowns, which is factored. One symmetric sweep is
relaxation, correction, relaxation back. Textbook two-level method (p-multigrid), e.g. Trottenberg 2001 (from memory).
"""

from __future__ import annotations

from typing import Any

import ngsolve as ng
import numpy as np
import scipy.sparse as sparse
from numba import njit
from numpy.typing import NDArray

from printworthy.strength.space import from_csr

Array = NDArray[np.float64]
SWEEPS = 2


class TwoLevel:
    """An approximate inverse of a symmetric matrix (unknowns, unknowns) on its `free` dofs (unknowns,) bool; `linear`
    (unknowns,) bool: those that are factored."""

    def __init__(self, matrix: sparse.csr_array, free: NDArray[np.bool_], linear: NDArray[np.bool_]) -> None:
        self.matrix, self.free, self.linear = matrix, np.flatnonzero(free), np.flatnonzero(linear)
        self.inverse = 1.0 / matrix.diagonal()
        coarse = from_csr(matrix[self.linear][:, self.linear])
        with ng.TaskManager():
            self.coarse = coarse.Inverse(inverse="sparsecholesky")
        self.x, self.y = coarse.CreateRowVector(), coarse.CreateColVector()

    def solve(self, force: Array) -> Array:
        """Displacements (unknowns, k) under nodal forces (unknowns, k), one column after another; 0 at held dofs."""
        return np.stack([self._one(np.ascontiguousarray(column)) for column in force.T], axis=1)

    def _one(self, force: Array) -> Array:
        answer, a = np.zeros(len(force)), self.matrix
        for _ in range(SWEEPS):
            _relax(a.indptr, a.indices, a.data, self.inverse, self.free, force, answer)
        answer[self.linear] += self._corrected((force - a @ answer)[self.linear])
        for _ in range(SWEEPS):
            _relax_back(a.indptr, a.indices, a.data, self.inverse, self.free, force, answer)
        return answer

    def _corrected(self, rest: Array) -> Any:
        self.x.FV().NumPy()[:] = rest
        with ng.TaskManager():
            self.y.data = self.coarse * self.x
        return self.y.FV().NumPy()


# A row's sum may be taken in any order: two thirds of the time.
@njit(cache=True, nogil=True, fastmath={"reassoc", "contract"})
def _relax(starts, columns, values, inverse, rows, x, y):  # type: ignore[no-untyped-def]  # compiled
    """One sweep of Gauss-Seidel on y (n,) for the right-hand side x (n,), over `rows` in their order; `inverse` (n,) of
    the diagonal."""
    for i in rows:
        rest = x[i]
        for t in range(starts[i], starts[i + 1]):
            rest -= values[t] * y[columns[t]]
        y[i] += rest * inverse[i]


@njit(cache=True, nogil=True, fastmath={"reassoc", "contract"})
def _relax_back(starts, columns, values, inverse, rows, x, y):  # type: ignore[no-untyped-def]
    """`_relax` in the opposite order, each row from its end too, so that memory is read in one direction."""
    for k in range(len(rows) - 1, -1, -1):
        i = rows[k]
        rest = x[i]
        for t in range(starts[i + 1] - 1, starts[i] - 1, -1):
            rest -= values[t] * y[columns[t]]
        y[i] += rest * inverse[i]


def vertex_dofs(held: NDArray[np.bool_], count: int, vertices: int) -> NDArray[np.bool_]:
    """Free dofs of the linear part (3 count,) bool."""
    linear = np.zeros(len(held), dtype=bool)
    for c in range(3):
        linear[c * count : c * count + vertices] = True
    return linear & ~held
