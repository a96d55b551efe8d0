"""Exact answers at single build directions, started from what the reduced model already knows."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from printworthy.errors import NotComputed
from printworthy.strength.elastic import rotated
from printworthy.strength.reduced import Basis, apply_stiffness, precondition
from printworthy.strength.system import warm_forces

Array = NDArray[np.float64]
ITERATIONS = 200


def exact_displacements(b: Basis, frame: Array, start: Array, cases: Iterable[int], residual: float) -> Array:
    """Displacements (cases, unknowns) at one layer frame (3, 3); cases not asked for keep their start.

    Conjugate gradients on the true stiffness, preconditioned by the averaged factor; `residual` is relative to the
    energy norm of the solution. Raises NotComputed if it is not reached.
    """
    c = rotated(b.model.stiffness, frame.T)
    warm = warm_forces(b.model, frame)
    u = start.copy()
    for case in cases:
        force = b.model.loads[case] + b.model.warming[case] * warm
        u[case] = _settled(b, c, force, start[case], residual)
    return u


def _settled(b: Basis, c: Array, force: Array, start: Array, residual: float) -> Array:
    free = ~b.model.supported.held
    u = start.copy()
    stiff_u = apply_stiffness(b, c, u)
    size = float(u @ stiff_u)
    r = (force - stiff_u) * free
    z = precondition(b.model, r)
    p, rz = z.copy(), float(r @ z)
    for _ in range(ITERATIONS):
        if rz <= residual**2 * size:
            return u
        stiff_p = apply_stiffness(b, c, p) * free
        step = rz / float(p @ stiff_p)
        u += step * p
        r -= step * stiff_p
        z = precondition(b.model, r)
        rz, before = float(r @ z), rz
        p = z + (rz / before) * p
    raise NotComputed(f"an exact check did not settle in {ITERATIONS} iterations", do="Check the card's moduli")
