"""Exact answers for a build direction: conjugate gradients on the true stiffness, preconditioned by the factor.

The true stiffness K(n) is applied through the strains at the quadrature points and never assembled.
"""

from __future__ import annotations

from dataclasses import dataclass

import ngsolve as ng
import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.errors import NotComputed
from printworthy.strength.elastic import layer_frame, part_stiffness, part_strain, rotated
from printworthy.strength.loads import resultant
from printworthy.strength.system import Model

Array = NDArray[np.float64]
RESIDUAL = 1e-7
ITERATIONS = 400
NOTHING = 1e-6  # of the energy at the start
ROUNDING = 1e-7  # of stiffness * size * movement: nodal forces below it are rounding, not load


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """Displacements (cases, unknowns) for a build direction, reactions and relative residuals."""

    direction: Array
    displacements: Array
    applied: Array  # (cases, 6) force and moment
    reactions: Array  # (cases, 6)
    imbalance: Array  # (cases,) relative
    iterations: int


def solve(m: Model, direction: ArrayLike) -> Solution:
    """Displacements of every case for a build direction (3,), exact to `RESIDUAL`; kept for the next asker.

    Raises NotComputed if the iteration does not reach it.
    """
    n = np.asarray(direction, float)
    key = tuple(n.tolist())
    if key not in m.solved:
        m.solved[key] = _solution(m, n)
    return m.solved[key]


def _solution(m: Model, n: Array) -> Solution:
    c = part_stiffness(m.stiffness, n)
    loads = m.loads + np.outer(m.warming, warm_forces(m, layer_frame(n)))
    results = [settled(m, c, f, lift, RESIDUAL) for f, lift in zip(loads, m.lifts, strict=True)]
    u = np.stack([r[0] for r in results])
    applied = np.stack([np.concatenate(resultant(m.space, f)) for f in loads])
    pushes = [_reaction(m, c, x, f) for x, f in zip(u, loads, strict=True)]
    imbalance = [_imbalance(m, a, r, scale) for a, (r, scale) in zip(applied, pushes, strict=True)]
    reactions = np.stack([r for r, _ in pushes])
    return Solution(n, u, applied, reactions, np.array(imbalance), max(r[1] for r in results))


def settled(m: Model, c: Array, force: Array, start: Array, residual: float) -> tuple[Array, int]:
    """Displacements (unknowns,) under nodal forces, from `start`, whose held dofs stay; and the iterations used.

    c (6, 6) in part axes. `residual` is relative to the energy norm of the solution. Raises NotComputed.
    """
    free = ~m.supported.held
    u = start.copy()
    stiff_u = apply_stiffness(m, c, u)
    r = (force - stiff_u) * free
    z = precondition(m, r)
    p, rz = z.copy(), float(r @ z)
    nothing = NOTHING * (float(u @ stiff_u) + rz)  # a part that is only carried along has no energy in the end
    for iteration in range(ITERATIONS):
        if rz <= residual**2 * max(float(u @ stiff_u), nothing):
            return u, iteration
        stiff_p = apply_stiffness(m, c, p)
        step = rz / float(p @ stiff_p)
        u += step * p
        stiff_u += step * stiff_p
        r -= step * (stiff_p * free)
        z = precondition(m, r)
        rz, before = float(r @ z), rz
        p = z + (rz / before) * p
    raise NotComputed(f"the elastic solution did not settle in {ITERATIONS} iterations", do="Check the card's moduli")


def precondition(m: Model, force: Array) -> Array:
    """A^-1 force (unknowns,) with the factor's A; 0 at held dofs."""
    x, y = ng.la.CreateVVector(len(force)), ng.la.CreateVVector(len(force))
    x.FV().NumPy()[:] = force
    with ng.TaskManager():
        y.data = m.factor * x
    return y.FV().NumPy() * ~m.supported.held


def apply_stiffness(m: Model, c: Array, u: Array) -> Array:
    """K u (unknowns,) for a stiffness (6, 6) in part axes, beds included."""
    strain = (m.sampler.operator @ u).reshape(6, -1).T
    return np.asarray(m.sampler.nodal(strain @ c) + m.beds @ u)


def warm_forces(m: Model, frame: Array) -> Array:
    """Nodal forces (unknowns,) [N] per kelvin of a part whose free strain is held back: the integral of B^T C alpha."""
    if not m.expansion.any():
        return np.zeros(m.space.unknowns)
    stress = rotated(m.stiffness, frame.T) @ part_strain(m.expansion, frame)
    return m.sampler.nodal(np.broadcast_to(stress, (len(m.sampler.weights), 6)))


def _reaction(m: Model, c: Array, u: Array, f: Array) -> tuple[Array, float]:
    """Force and moment (6,) that the supports put on the part, and the sum of all nodal forces [N] for scale.

    Held dofs and beds only, so that an unconverged solution shows as an imbalance against the applied load.
    """
    push = np.where(m.supported.held, apply_stiffness(m, c, u) - f, 0.0) - m.beds @ u
    rounding = ROUNDING * m.stiffness[0, 0] * m.space.size * float(np.abs(u).max())
    return m.space.rigid @ push, float(np.abs(push).sum() + np.abs(f).sum()) + rounding


def _imbalance(m: Model, applied: Array, reaction: Array, scale: float) -> float:
    """|applied + reaction| over the sum of nodal forces; moments count as moment / part size."""
    gap = applied + reaction
    gap[3:] /= m.space.size
    return float(np.linalg.norm(gap)) / scale if scale > 0 else 0.0
