"""What preconditions the conjugate gradients: a Cholesky factor that answers several right-hand sides in one pass.

A back-solve is bound by reading the factor from memory, so four columns cost little more than one.
"""

from __future__ import annotations

from typing import Any, Protocol

import ngsolve as ng
import numpy as np
import scipy.sparse as sparse
from cholespy import CholeskySolverD, MatrixType
from numpy.typing import NDArray

from printworthy.strength.space import csr
from printworthy.strength.twolevel import TwoLevel

Array = NDArray[np.float64]


class Inverse(Protocol):
    """Something near the inverse of a stiffness on its free dofs."""

    def solve(self, force: Array) -> Array:
        """Displacements (unknowns, k) under nodal forces (unknowns, k); 0 at held dofs."""


class Cholesky:
    """The exact factor of an assembled stiffness on its `free` dofs (unknowns,) bool."""

    def __init__(self, matrix: Any, free: NDArray[np.bool_]) -> None:
        self.free = np.flatnonzero(free)
        kept = sparse.csc_array(csr(matrix)[self.free][:, self.free])
        rows, starts = kept.indices.astype(np.int32), kept.indptr.astype(np.int32)
        self.factor = CholeskySolverD(len(self.free), starts, rows, kept.data, MatrixType.CSC)

    def solve(self, force: Array) -> Array:
        """Displacements (unknowns, k) under nodal forces (unknowns, k); 0 at held dofs."""
        answer = np.zeros_like(force)
        found = np.empty((len(self.free), force.shape[1]))
        self.factor.solve(np.ascontiguousarray(force[self.free]), found)
        answer[self.free] = found
        return answer


class Approximate:
    """The two-level approximation for parts too large to factor, one column after another."""

    def __init__(self, operator: TwoLevel, free: NDArray[np.bool_]) -> None:
        self.operator, self.free = operator, free
        self.x, self.y = operator.CreateRowVector(), operator.CreateColVector()

    def solve(self, force: Array) -> Array:
        """Displacements (unknowns, k) under nodal forces (unknowns, k); 0 at held dofs."""
        answer = np.empty_like(force)
        for column, into in zip(force.T, answer.T, strict=True):
            self.x.FV().NumPy()[:] = column
            with ng.TaskManager():
                self.y.data = self.operator * self.x
            into[:] = self.y.FV().NumPy() * self.free
        return answer
