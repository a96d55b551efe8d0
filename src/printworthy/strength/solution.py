"""Exact answers for a build direction: conjugate gradients on the true stiffness, preconditioned by the factor.

The true stiffness K(n) is applied through the strains at the quadrature points; it is assembled only where a model is
made for one direction.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.errors import NotComputed
from printworthy.strength.elastic import part_strain, rotated
from printworthy.strength.kernel import stresses
from printworthy.strength.lay import frame_at
from printworthy.strength.loads import resultant
from printworthy.strength.system import Model

Array = NDArray[np.float64]
RESIDUAL = 1e-7
ITERATIONS = 400
ABREAST = 8  # columns at once: more gain little and take memory
NOTHING = 1e-6  # of the energy at the start
ROUNDING = 1e-7  # of stiffness * size * movement: nodal forces below it are rounding, not load


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """Displacements (cases, unknowns) for a build direction, reactions and what they miss the loads by."""

    direction: Array
    displacements: Array
    applied: Array  # (cases, 6) force and moment
    reactions: Array  # (cases, 6)
    imbalance: Array  # (cases,) relative
    iterations: int
    residual: float  # relative to the energy norm


def solve(m: Model, direction: ArrayLike, residual: float | None = None) -> Solution:
    """Displacements of every case for a build direction (3,), exact to `residual` (none: `RESIDUAL`); kept for later.

    Raises NotComputed if the iteration does not reach it.
    """
    key = _key(direction)
    if key not in m.solved:
        solve_together(m, [direction], residual)
    return m.solved[key]


def solve_together(m: Model, directions: Sequence[ArrayLike], residual: float | None = None) -> None:
    """Keep for `solve` the answers at several build directions (3,), which side by side cost less than one by one."""
    keys = [key for key in dict.fromkeys(map(_key, directions)) if key not in m.solved]
    if not keys:
        return
    frames = [frame_at(m.part, n) for n in keys]
    stiffnesses = [rotated(m.stiffness, frame.T) for frame in frames]
    loads = np.stack([m.loads + np.outer(m.warming, warm_forces(m, frame)) for frame in frames])
    cases, to = loads.shape[1], RESIDUAL if residual is None else residual
    u, iterations = settled(
        m, np.repeat(stiffnesses, cases, axis=0), loads.reshape(-1, m.space.unknowns), np.tile(m.lifts, (len(keys), 1)),
        to,
    )  # fmt: skip
    for key, c, forces, found in zip(keys, stiffnesses, loads, u.reshape(loads.shape), strict=True):
        m.solved[key] = _balanced(m, key, c, forces, found, (iterations, to))


def _key(direction: ArrayLike) -> tuple[float, ...]:
    return tuple(np.asarray(direction, float).tolist())


def _balanced(m: Model, n: ArrayLike, c: Array, loads: Array, u: Array, reached: tuple[int, float]) -> Solution:
    """Displacements (cases, unknowns) with the reactions that balance the loads (cases, unknowns)."""
    applied = np.stack([np.concatenate(resultant(m.space, f)) for f in loads])
    pushes = [_reaction(m, c, x, f) for x, f in zip(u, loads, strict=True)]
    imbalance = [_imbalance(m, a, r, scale) for a, (r, scale) in zip(applied, pushes, strict=True)]
    reactions = np.stack([r for r, _ in pushes])
    return Solution(np.asarray(n, float), u, applied, reactions, np.array(imbalance), *reached)


def settled(m: Model, c: Array, forces: Array, starts: Array, residual: float) -> tuple[Array, int]:
    """Displacements (k, unknowns) under nodal forces (k, unknowns) and stiffnesses c (k, 6, 6) in part axes, from
    `starts` (k, unknowns), whose held dofs stay; and the most iterations used.

    `residual` is relative to the energy norm of the solution. Raises NotComputed.
    """
    found, most = np.empty((len(forces), m.space.unknowns)), 0
    for first in range(0, len(forces), ABREAST):
        part = slice(first, first + ABREAST)
        found[part], iterations = _abreast(m, c[part], forces[part], starts[part], residual)
        most = max(most, iterations)
    return found, most


def _abreast(m: Model, c: Array, forces: Array, starts: Array, residual: float) -> tuple[Array, int]:
    """`settled` for columns that go on side by side, so that factor and strains are read once for all of them."""
    found, going = np.empty((len(forces), m.space.unknowns)), np.arange(len(forces))
    u = np.ascontiguousarray(starts.T)
    stiff_u = apply_stiffness(m, c, u)
    r = forces.T - stiff_u
    r[m.supported.held] = 0.0
    p = m.factor.solve(r)
    rz, energy = _dots(r, p), _dots(u, stiff_u)
    nothing = NOTHING * (energy + rz)  # a part that is only carried along has no energy in the end
    for iteration in range(ITERATIONS):
        done = rz <= residual**2 * np.maximum(energy, nothing)
        if done.any():
            found[going[done]] = u[:, done].T
            on = ~done
            u, stiff_u, r, p = (np.ascontiguousarray(a[:, on]) for a in (u, stiff_u, r, p))
            going, c, rz, nothing = going[on], c[on], rz[on], nothing[on]
        if not len(going):
            return found, iteration
        stiff_p = apply_stiffness(m, c, p)
        step = rz / _dots(p, stiff_p)
        u += step * p
        stiff_u += step * stiff_p
        stiff_p[m.supported.held] = 0.0
        r -= step * stiff_p
        z = m.factor.solve(r)
        rz, before = _dots(r, z), rz
        energy = _dots(u, stiff_u)
        p = z + (rz / before) * p
    raise NotComputed(f"the elastic solution did not settle in {ITERATIONS} iterations", do="Check the card's moduli")


def _dots(a: Array, b: Array) -> Array:
    return np.asarray(np.einsum("nk,nk->k", a, b))


def apply_stiffness(m: Model, c: Array, u: Array) -> Array:
    """K u (unknowns, k) of displacements (unknowns, k) for stiffnesses (k, 6, 6) in part axes, beds included."""
    if m.own is not None and (c == m.own[0]).all():
        return np.asarray(m.own[1] @ u)
    strain = (m.sampler.operator @ u).reshape(6, -1, u.shape[1])
    stress = stresses(strain, c, m.sampler.stiff).reshape(-1, u.shape[1])
    return np.asarray(m.sampler.operator.T @ stress + m.beds @ u)


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
    push = np.where(m.supported.held, apply_stiffness(m, c[None], u[:, None])[:, 0] - f, 0.0) - m.beds @ u
    rounding = ROUNDING * m.stiffness[0, 0] * m.space.size * float(np.abs(u).max())
    return m.space.rigid @ push, float(np.abs(push).sum() + np.abs(f).sum()) + rounding


def _imbalance(m: Model, applied: Array, reaction: Array, scale: float) -> float:
    """|applied + reaction| over the sum of nodal forces; moments count as moment / part size."""
    gap = applied + reaction
    gap[3:] /= m.space.size
    return float(np.linalg.norm(gap)) / scale if scale > 0 else 0.0
