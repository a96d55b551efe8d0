"""Exact answers at build directions, started from what the reduced model already knows."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from printworthy.strength.elastic import rotated
from printworthy.strength.reduced import Basis
from printworthy.strength.solution import settled, warm_forces

Array = NDArray[np.float64]


def exact_displacements(
    b: Basis, frames: Array, starts: Array, cases: Sequence[Sequence[int]], residual: float
) -> Array:
    """Displacements (f, cases, unknowns) at layer frames (f, 3, 3); cases of a frame not asked for keep their start.

    `residual` is relative to the energy norm of the solution. Raises NotComputed if it is not reached.
    """
    m, asked = b.model, [(i, case) for i, some in enumerate(cases) for case in some]
    where, which = np.array(asked).T
    stiff = np.stack([rotated(m.stiffness, frame.T) for frame in frames])
    warm = np.stack([warm_forces(m, frame) for frame in frames])
    forces = m.loads[which] + m.warming[which, None] * warm[where]
    u = starts.copy()
    u[where, which], _ = settled(m, stiff[where], forces, starts[where, which], residual)
    return u
