"""Linear buckling: the load factor at which a thin part of perfect shape bends sideways."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import scipy.sparse as sparse
from numpy.typing import ArrayLike, NDArray

from printworthy.errors import NotComputed
from printworthy.results import Check
from printworthy.strength.elastic import PLACES
from printworthy.strength.lay import stiffness_at
from printworthy.strength.solution import solve
from printworthy.strength.system import Model, assembled

Array = NDArray[np.float64]
SLENDER = 12.0  # longest side over wall thickness from which buckling is looked at (assumed)
START_SEED = 20577
# Where nothing buckles the largest mu = 1 / lambda is 0 or below: what is less than SETTLED counts as that far from it.
SETTLED, TOLERANCE, QUIET = 0.05, 1e-3, 2  # mu is known once QUIET steps change it by less than TOLERANCE of itself
FAR = 1e-3  # mu below which nothing buckles: a thousand times the load
BLOCK, MOST = 3, 60  # vectors a step (modes of symmetric parts come in pairs), most steps
DEPENDENT = 1e-14


def is_slender(m: Model) -> bool:
    """True if the part's longest side is more than `SLENDER` times its wall."""
    solid = m.space.solid
    longest = float(np.ptp(solid.points, axis=0).max())
    return longest > SLENDER * solid.report.thickness > 0


def buckling_check(m: Model, direction: ArrayLike, factor: float) -> Check:
    """Lowest buckling load factor over the cases, against the factor on load. Raises NotComputed if it is not found."""
    s = solve(m, direction)
    stiff = _stiff(m, direction)
    found = [
        (_lowest(m, direction, u, stiff), case.name) for u, case in zip(s.displacements, m.part.cases, strict=True)
    ]
    lowest, case = min(found)
    words = "no case buckles" if np.isinf(lowest) else f"{case} buckles at {lowest:.3g} times its load"
    return Check(
        "buckling",
        factor,
        lowest,
        "times the load",
        factor / lowest,
        "linear eigenvalue buckling, K + lambda K_g (textbook); perfect shape, no imperfection counted",
        words,
    )


def critical_factor(m: Model, direction: ArrayLike, u: Array) -> float:
    """Lowest positive lambda of (K + lambda K_g) phi = 0 for the stress of displacement `u`; inf if there is none."""
    return _lowest(m, direction, u, _stiff(m, direction))


def _stiff(m: Model, direction: ArrayLike) -> sparse.csr_array:
    """K(n) on the free dofs."""
    free = np.flatnonzero(~m.supported.held)
    return sparse.csr_array(assembled(m, stiffness_at(m.stiffness, m.part, direction))[free][:, free])


def _lowest(m: Model, direction: ArrayLike, u: Array, stiff: sparse.csr_array) -> float:
    """`critical_factor`, with K(n) at hand.

    K_g is the integral of sigma_ij du_k/dx_i dv_k/dx_j. Solved as the largest eigenvalue mu of -K_g phi = mu K phi by
    the generalised Davidson method (Morgan and Scott 1986, doi 10.1137/0907054, from memory): in the space of all
    residuals so far, each preconditioned by the model's own factor, so that no other is needed.
    """
    pressed = _pressed(m, direction, u)
    space = images = pushed = np.zeros((stiff.shape[0], 0))  # orthonormal in K; K times it; -K_g times it
    rest = np.random.default_rng(START_SEED).normal(size=(stiff.shape[0], BLOCK))
    seen: list[float] = []
    while len(seen) < MOST:
        new = _orthonormal(_inside(m, m.factor.solve(_whole(m, rest))), space, images, stiff)
        space = np.column_stack([space, new])
        images, pushed = np.column_stack([images, stiff @ new]), np.column_stack([pushed, pressed(new)])
        values, mixes = np.linalg.eigh(space.T @ pushed)
        seen.append(float(values[-1]))
        if len(seen) > QUIET and seen[-1] - seen[-1 - QUIET] < TOLERANCE * (abs(seen[-1]) + SETTLED):
            return 1 / seen[-1] if seen[-1] > FAR else float("inf")
        rest = pushed @ mixes[:, -BLOCK:] - images @ mixes[:, -BLOCK:] * values[-BLOCK:]
    raise NotComputed("the buckling load was not found", do="Check that the part is not held all round")


def _orthonormal(new: Array, space: Array, images: Array, stiff: sparse.csr_array) -> Array:
    """Columns (free dofs, k) made orthonormal in K to each other and to `space`; `images`: K times it."""
    for _ in range(2):  # digits are lost at once
        new = new - space @ (images.T @ new)
        values, turn = np.linalg.eigh(new.T @ (stiff @ new))
        kept = values > DEPENDENT * values[-1]
        new = new @ (turn[:, kept] / np.sqrt(values[kept]))
    return new


def _pressed(m: Model, direction: ArrayLike, u: Array) -> Callable[[Array], Array]:
    """-K_g times columns (free dofs, k); it is one scalar matrix for each of the three components."""
    inner = m.sampler.strains(u)[: len(m.sampler.weights)]
    stress = (inner @ stiffness_at(m.stiffness, m.part, direction) * m.sampler.stiff[:, None])[:, PLACES]
    along = m.sampler.gradients()
    geometric = sum(
        along[i].T @ sparse.csr_array(along[j] * stress[:, i, j][:, None]) for i in range(3) for j in range(3)
    )
    return lambda v: -_inside(m, np.concatenate([geometric @ part for part in np.split(_whole(m, v), 3)]))


def _whole(m: Model, v: Array) -> Array:
    """Columns (unknowns, k) from those on the free dofs, the others zero."""
    every = np.zeros((m.space.unknowns, v.shape[1]))
    every[~m.supported.held] = v
    return every


def _inside(m: Model, u: Array) -> Array:
    """Columns on the free dofs from those on all (unknowns, k)."""
    return u[~m.supported.held]
