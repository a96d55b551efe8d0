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
    (unknowns,) bool: those that are factored. Dofs come component by component; relaxation goes node by node."""

    def __init__(self, matrix: sparse.csr_array, free: NDArray[np.bool_], linear: NDArray[np.bool_]) -> None:
        self.linear = np.flatnonzero(linear)
        self.rows = matrix[self.linear]
        first, nodes = _neighbours(matrix.indptr, matrix.indices)
        self.blocks = first, nodes, _blocks(matrix.indptr, matrix.indices, matrix.data, first, nodes)
        self.inverse = _inverses(*self.blocks, np.ascontiguousarray(free.reshape(3, -1).T))
        coarse = from_csr(self.rows[:, self.linear])
        with ng.TaskManager():
            self.coarse = coarse.Inverse(inverse="sparsecholesky")
        self.x, self.y = coarse.CreateRowVector(), coarse.CreateColVector()

    def solve(self, force: Array) -> Array:
        """Displacements (unknowns, k) under nodal forces (unknowns, k), one column after another; 0 at held dofs."""
        return np.stack([self._one(np.ascontiguousarray(column)) for column in force.T], axis=1)

    def _one(self, force: Array) -> Array:
        by_node = np.ascontiguousarray(force.reshape(3, -1).T)
        answer = np.zeros_like(by_node)
        for _ in range(SWEEPS):
            _relax(*self.blocks, self.inverse, by_node, answer)
        so_far = answer.T.ravel()
        so_far[self.linear] += self._corrected(force[self.linear] - self.rows @ so_far)
        answer = np.ascontiguousarray(so_far.reshape(3, -1).T)
        for _ in range(SWEEPS):
            _relax_back(*self.blocks, self.inverse, by_node, answer)
        return np.asarray(answer.T.ravel())

    def _corrected(self, rest: Array) -> Any:
        self.x.FV().NumPy()[:] = rest
        with ng.TaskManager():
            self.y.data = self.coarse * self.x
        return self.y.FV().NumPy()


def _inverses(first: NDArray[np.int64], nodes: NDArray[np.int32], blocks: Array, free: NDArray[np.bool_]) -> Array:
    """Inverse (n, 3, 3) of each node's own block on its `free` (n, 3) dofs, 0 at the others."""
    own = blocks[nodes == np.repeat(np.arange(len(free)), np.diff(first))]
    both = free[:, :, None] & free[:, None, :]
    return np.asarray(np.linalg.inv(np.where(both, own, np.eye(3))) * both)


@njit(cache=True, nogil=True)
def _neighbours(starts, columns):  # type: ignore[no-untyped-def]  # compiled
    """Where each node's neighbours, itself among them, start (n + 1,), and their numbers, for rows (3 n,)."""
    n = (len(starts) - 1) // 3
    place = np.full(n, -1)
    first, nodes = np.zeros(n + 1, np.int64), np.empty(len(columns), np.int32)
    count = 0
    for i in range(n):
        for c in range(3):
            for t in range(starts[c * n + i], starts[c * n + i + 1]):
                j = columns[t]
                while j >= n:
                    j -= n
                if place[j] < first[i]:
                    place[j] = count
                    nodes[count] = j
                    count += 1
        first[i + 1] = count
    return first, nodes[:count].copy()


@njit(cache=True, nogil=True)
def _blocks(starts, columns, values, first, nodes):  # type: ignore[no-untyped-def]
    """A matrix (3 n, 3 n) as blocks (b, 3, 3) of nodes and their neighbours."""
    n = len(first) - 1
    place, blocks = np.full(n, -1), np.zeros((len(nodes), 3, 3))
    for i in range(n):
        for b in range(first[i], first[i + 1]):
            place[nodes[b]] = b
        for c in range(3):
            for t in range(starts[c * n + i], starts[c * n + i + 1]):
                j, d = columns[t], 0
                while j >= n:
                    j, d = j - n, d + 1
                blocks[place[j], c, d] = values[t]
    return blocks


# Sums may be taken in any order: two thirds of the time.
@njit(inline="always")  # a call of its own takes a quarter longer
def _relax_node(i, neighbours, nodes, blocks, inverse, x, y):  # type: ignore[no-untyped-def]
    """Node i of a sweep of Gauss-Seidel; `neighbours`: the range of its blocks."""
    a, b, c = x[i]
    for t in neighbours:
        u, v, w = y[nodes[t]]
        m = blocks[t]
        a -= m[0, 0] * u + m[0, 1] * v + m[0, 2] * w
        b -= m[1, 0] * u + m[1, 1] * v + m[1, 2] * w
        c -= m[2, 0] * u + m[2, 1] * v + m[2, 2] * w
    m = inverse[i]
    y[i, 0] += m[0, 0] * a + m[0, 1] * b + m[0, 2] * c
    y[i, 1] += m[1, 0] * a + m[1, 1] * b + m[1, 2] * c
    y[i, 2] += m[2, 0] * a + m[2, 1] * b + m[2, 2] * c


@njit(cache=True, nogil=True, fastmath={"reassoc", "contract"})
def _relax(first, nodes, blocks, inverse, x, y):  # type: ignore[no-untyped-def]
    """One sweep of Gauss-Seidel, node by node, on y (n, 3) for the right-hand side x (n, 3)."""
    for i in range(len(y)):
        _relax_node(i, range(first[i], first[i + 1]), nodes, blocks, inverse, x, y)


@njit(cache=True, nogil=True, fastmath={"reassoc", "contract"})
def _relax_back(first, nodes, blocks, inverse, x, y):  # type: ignore[no-untyped-def]
    """`_relax` in the opposite order, each node from its end too, so that memory is read in one direction."""
    for i in range(len(y) - 1, -1, -1):
        _relax_node(i, range(first[i + 1] - 1, first[i] - 1, -1), nodes, blocks, inverse, x, y)


def vertex_dofs(held: NDArray[np.bool_], count: int, vertices: int) -> NDArray[np.bool_]:
    """Free dofs of the linear part (3 count,) bool."""
    linear = np.zeros(len(held), dtype=bool)
    for c in range(3):
        linear[c * count : c * count + vertices] = True
    return linear & ~held
