"""What preconditions the conjugate gradients: a Cholesky factor that answers several right-hand sides in one pass.

A back-solve is bound by reading the factor from memory, so four columns cost little more than one.
"""

from __future__ import annotations

from typing import Protocol

import numpy as np
import scipy.sparse as sparse
from cholespy import CholeskySolverD, MatrixType
from numpy.typing import NDArray

Array = NDArray[np.float64]


class Inverse(Protocol):
    """Something near the inverse of a stiffness on its free dofs."""

    def solve(self, force: Array) -> Array:
        """Displacements (unknowns, k) under nodal forces (unknowns, k); 0 at held dofs."""


class Cholesky:
    """The exact factor of a symmetric matrix (unknowns, unknowns) on its `free` dofs (unknowns,) bool."""

    def __init__(self, matrix: sparse.csr_array, free: NDArray[np.bool_]) -> None:
        self.free = np.flatnonzero(free)
        kept = matrix[self.free][:, self.free]  # its rows are its columns
        columns, starts = kept.indices.astype(np.int32), kept.indptr.astype(np.int32)
        self.factor = CholeskySolverD(len(self.free), starts, columns, kept.data, MatrixType.CSC)

    def solve(self, force: Array) -> Array:
        """Displacements (unknowns, k) under nodal forces (unknowns, k); 0 at held dofs."""
        answer = np.zeros_like(force)
        found = np.empty((len(self.free), force.shape[1]))
        self.factor.solve(np.ascontiguousarray(force[self.free]), found)
        answer[self.free] = found
        return answer
