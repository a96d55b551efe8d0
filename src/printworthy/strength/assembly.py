"""The stiffness matrix, put together from the gradients at the quadrature points.

The same sum as `apply_stiffness` makes, point by point, so that a matrix and its application are one discretisation.
The library's form of an anisotropic stiffness takes nine times as long, as it asks for each of 81 constants in turn
(0.66 s against 0.07 s at 44,151 unknowns).
"""

from __future__ import annotations

import numpy as np
import scipy.sparse as sparse
from numba import njit
from numpy.typing import NDArray

from printworthy.strength.elastic import tensor
from printworthy.strength.recover import POINTS_PER_ELEMENT, Sampler

Array = NDArray[np.float64]


def stiffness_matrix(sam: Sampler, c: Array) -> sparse.csr_array:
    """Stiffness (unknowns, unknowns) [N/mm] of c (6, 6) [MPa] in part axes, the share of stiffness at each point
    counted; rows and columns as in `Space`."""
    along, dofs = sam.derivatives()
    count = sam.operator.shape[1] // 3
    own = dofs[::POINTS_PER_ELEMENT]
    there = sparse.csr_array(
        (np.ones(own.size, dtype=np.int8), own.ravel(), np.arange(0, own.size + 1, own.shape[1], dtype=own.dtype)),
        (len(own), count),
    )
    pattern = sparse.csr_array(there.T @ there)
    pattern.sort_indices()
    starts, columns = pattern.indptr, pattern.indices
    values = _values(own, along, sam.stiff, np.ascontiguousarray(tensor(c), float), starts, columns)
    lengths = np.tile(3 * np.diff(starts), 3)
    return sparse.csr_array(
        (values, _columns(starts, columns), np.concatenate([[0], np.cumsum(lengths)]).astype(columns.dtype)),
        (3 * count, 3 * count),
    )


@njit(cache=True, nogil=True)
def _columns(starts, columns):  # type: ignore[no-untyped-def]  # compiled
    """Columns of all rows: those of a scalar row, once for each component, for each of three rows."""
    count = len(starts) - 1
    every = np.empty(9 * len(columns), dtype=columns.dtype)
    at = 0
    for _ in range(3):
        for a in range(count):
            for j in range(3):
                for t in range(starts[a], starts[a + 1]):
                    every[at] = j * count + columns[t]
                    at += 1
    return every


@njit(cache=True, nogil=True)
def _values(dofs, along, weights, c, starts, columns):  # type: ignore[no-untyped-def]
    """Values of the matrix from dofs (m, s), gradients (3, q, s), weights (q,), c (3, 3, 3, 3)."""
    elements, s = dofs.shape
    points = len(weights) // elements
    values = np.zeros(9 * len(columns))
    block = np.empty((s, s, 3, 3))
    for e in range(elements):
        here = slice(points * e, points * (e + 1))
        _element(along[:, here], weights[here], c, block)
        for a in range(s):
            first, length = starts[dofs[e, a]], starts[dofs[e, a] + 1] - starts[dofs[e, a]]
            for b in range(s):
                at = first * 3 + np.searchsorted(columns[first : first + length], dofs[e, b])
                for i in range(3):
                    for j in range(3):
                        values[3 * i * len(columns) + at + j * length] += block[a, b, i, j]
    return values


@njit(cache=True, nogil=True)
def _element(along, weights, c, block):  # type: ignore[no-untyped-def]
    """Fill `block` (s, s, 3, 3), stiffness between functions of an element: gradients (3, p, s), weights (p,)."""
    _, points, s = along.shape
    pushed = np.empty((3, 3, 3))
    block[:] = 0.0
    for p in range(points):
        for b in range(s):
            x, y, z = weights[p] * along[0, p, b], weights[p] * along[1, p, b], weights[p] * along[2, p, b]
            for d, i, j in np.ndindex(3, 3, 3):
                pushed[d, i, j] = c[i, d, j, 0] * x + c[i, d, j, 1] * y + c[i, d, j, 2] * z
            for a in range(b + 1):
                x, y, z = along[0, p, a], along[1, p, a], along[2, p, a]
                for i in range(3):
                    for j in range(3):
                        block[a, b, i, j] += x * pushed[0, i, j] + y * pushed[1, i, j] + z * pushed[2, i, j]
    for b in range(s):
        for a in range(b):
            block[b, a] = block[a, b].T
