"""Exact answers at single build directions, started from what the reduced model already knows."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from printworthy.strength.elastic import rotated
from printworthy.strength.reduced import Basis
from printworthy.strength.solution import settled, warm_forces

Array = NDArray[np.float64]


def exact_displacements(b: Basis, frame: Array, start: Array, cases: Iterable[int], residual: float) -> Array:
    """Displacements (cases, unknowns) at one layer frame (3, 3); cases not asked for keep their start.

    `residual` is relative to the energy norm of the solution. Raises NotComputed if it is not reached.
    """
    c = rotated(b.model.stiffness, frame.T)
    warm = warm_forces(b.model, frame)
    u = start.copy()
    for case in cases:
        force = b.model.loads[case] + b.model.warming[case] * warm
        u[case], _ = settled(b.model, c, force, start[case], residual)
    return u
