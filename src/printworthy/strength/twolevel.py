"""A preconditioner for parts too large to factor: the linear displacements exactly, the rest by relaxation.

Second-order shape functions are linear ones at the vertices plus one more an edge, so the vertex block of the stiffness
is the stiffness of linear tetrahedra: about an eighth of the unknowns, which is factored. One symmetric sweep is
relaxation, correction, relaxation back. Textbook two-level method (p-multigrid), e.g. Trottenberg 2001 (from memory).
"""

from __future__ import annotations

from typing import Any

import ngsolve as ng
import numpy as np
from numpy.typing import NDArray

SWEEPS = 2


class TwoLevel(ng.BaseMatrix):  # type: ignore[misc]  # NGSolve's operator interface
    """An operator that approximates the inverse of `matrix` on the free dofs."""

    def __init__(self, matrix: Any, free: Any, coarse: Any) -> None:
        super().__init__()
        self.matrix = matrix
        self.relax = matrix.CreateSmoother(free)
        self.coarse = matrix.Inverse(coarse, inverse="sparsecholesky")
        self.rest = matrix.CreateColVector()

    def IsComplex(self) -> bool:
        """Real numbers only."""
        return False

    def Height(self) -> int:
        """Number of unknowns."""
        return int(self.matrix.height)

    def Width(self) -> int:
        """Number of unknowns."""
        return int(self.matrix.width)

    def CreateColVector(self) -> Any:
        """A vector it acts on."""
        return self.matrix.CreateColVector()

    def CreateRowVector(self) -> Any:
        """A vector it acts on."""
        return self.matrix.CreateRowVector()

    def Mult(self, x: Any, y: Any) -> None:
        """y = approximate inverse times x."""
        y[:] = 0.0
        for _ in range(SWEEPS):
            self.relax.Smooth(y, x)
        self.rest.data = x - self.matrix * y
        y.data += self.coarse * self.rest
        for _ in range(SWEEPS):
            self.relax.SmoothBack(y, x)


def vertex_dofs(held: NDArray[np.bool_], count: int, vertices: int) -> NDArray[np.bool_]:
    """Free dofs of the linear part (3 count,) bool."""
    linear = np.zeros(len(held), dtype=bool)
    for c in range(3):
        linear[c * count : c * count + vertices] = True
    return linear & ~held
