"""Free bodies in three dimensions: six equations each, joints of any kind, inertia as d'Alembert forces.

Bodies are rigid; a joint passes on forces and moments along stated directions, each with a stiffness. Where equilibrium
alone does not settle them, the stiffnesses do (least complementary energy, Castigliano 1873, from memory); where it
does, they have no say. Without trustworthy stiffnesses `bounds` gives what equilibrium alone allows.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import linprog

from printworthy.errors import LoadError

Array = NDArray[np.float64]
GROUND = "ground"
LENGTH = 500.0  # [mm] by which moments are scaled against forces
BALANCE = 1e-6  # of all that acts: more left over is no equilibrium
X, Y, Z = np.eye(3)


@dataclass(frozen=True, slots=True, eq=False)
class Joint:
    """A joint at `point` (3,) [mm] between bodies `one` and `other` (either may be the ground).

    `forces` (k, 3) and `moments` (m, 3): unit directions it passes on, with `rates` (k + m,) [N/mm, N mm per rad over
    LENGTH^2]. `pushes`: its first force direction passes from `one` to `other` as a push only.
    """

    name: str
    one: str
    other: str
    point: Array
    forces: Array
    moments: Array
    rates: Array
    pushes: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Action:
    """A known force (3,) [N] at `point` (3,) [mm] and moment (3,) [N mm] on a body; `inertia`: a d'Alembert force."""

    name: str
    body: str
    point: Array
    force: Array
    moment: Array
    inertia: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Balance:
    """Force (3,) [N] and moment (3,) [N mm] of every joint on its `other` body, at its point; `residual`: what stays
    over as a share of all that acts."""

    forces: Mapping[str, Array]
    moments: Mapping[str, Array]
    residual: float


def joint(
    name: str, one: str, other: str, point: ArrayLike, forces: ArrayLike = (), moments: ArrayLike = (),
    rates: ArrayLike | float = 1.0, pushes: bool = False,
) -> Joint:  # fmt: skip
    """A joint from plain lists; one rate holds for all."""
    f = np.array(forces, dtype=float).reshape(-1, 3)
    m = np.array(moments, dtype=float).reshape(-1, 3)
    each = np.broadcast_to(np.array(rates, dtype=float), (len(f) + len(m),)).copy()
    return Joint(name, one, other, np.array(point, dtype=float), f, m, each, pushes)


def action(
    name: str, body: str, point: ArrayLike, force: ArrayLike = (0, 0, 0), moment: ArrayLike = (0, 0, 0),
    inertia: bool = False,
) -> Action:  # fmt: skip
    """An action from plain lists."""
    return Action(name, body, np.array(point, float), np.array(force, float), np.array(moment, float), inertia)


def solve(bodies: Sequence[str], joints: Sequence[Joint], actions: Sequence[Action]) -> Balance:
    """What the joints pass on so that every body is in balance.

    A joint that may only push and would pull is taken out, and the rest solved again.

    Raises LoadError where no forces of the joints balance the bodies: the line names the body that is left over.
    """
    held = list(joints)
    while True:
        balance, pull = _solved(bodies, held, actions)
        if pull is None:
            gone = [j.name for j in joints if j not in held]
            nothing = {name: np.zeros(3) for name in gone}
            return Balance({**balance.forces, **nothing}, {**balance.moments, **nothing}, balance.residual)
        held.remove(pull)


def _solved(bodies: Sequence[str], joints: list[Joint], actions: Sequence[Action]) -> tuple[Balance, Joint | None]:
    columns, owner = _columns(bodies, joints)
    load = _loads(bodies, actions)
    stiff = np.sqrt(np.concatenate([j.rates for j in joints] or [np.zeros(0)]))
    answer = np.linalg.lstsq(columns * stiff, -load, rcond=1e-11)[0] * stiff if len(stiff) else np.zeros(0)
    left = columns @ answer + load
    size = float(np.abs(load).sum())
    worst = float(np.abs(left).max(initial=0.0)) / size if size else 0.0
    if worst > BALANCE:
        body = bodies[int(np.argmax(np.abs(left))) // 6]
        what = f"the free bodies do not balance: {100 * worst:.2g} % of what acts is left over on the {body}"
        do = "Check [joints] of vehicle.toml: one is missing that would hold it, or stands where it cannot"
        raise LoadError(what, do=do)
    forces: dict[str, Array] = {}
    moments: dict[str, Array] = {}
    pull, most = None, -1e-9 * max(size, 1e-9)
    for number, j in enumerate(joints):
        own = answer[owner == number]
        forces[j.name] = own[: len(j.forces)] @ j.forces
        moments[j.name] = own[len(j.forces) :] @ j.moments * LENGTH
        if j.pushes and own[0] < most:
            pull, most = j, float(own[0])
    return Balance(forces, moments, worst), pull


def bounds(
    bodies: Sequence[str], joints: Sequence[Joint], actions: Sequence[Action], name: str, direction: ArrayLike
) -> tuple[float, float]:
    """Least and largest force [N] of joint `name` along `direction` (3,) that equilibrium alone allows; infinite where
    nothing bounds it. Own derivation: two linear programmes over all joint forces in balance, pushes not negative.

    Raises LoadError where no forces balance the bodies.
    """
    columns, owner = _columns(bodies, joints)
    load = _loads(bodies, actions)
    cost = np.zeros(len(owner))
    limits: list[tuple[float | None, float | None]] = []
    for number, j in enumerate(joints):
        limits += [(0.0 if j.pushes and k == 0 else None, None) for k in range(len(j.rates))]
        if j.name == name:
            cost[np.flatnonzero(owner == number)[: len(j.forces)]] = j.forces @ np.asarray(direction, float)
    found = []
    for sign in (1.0, -1.0):
        answer = linprog(sign * cost, A_eq=columns, b_eq=-load, bounds=limits, method="highs")
        if answer.status == 2:
            raise LoadError(
                "the free bodies do not balance: no joint forces hold what acts", do="Add the missing joint"
            )
        found.append(sign * answer.fun if answer.status == 0 else -sign * np.inf)
    return float(found[0]), float(found[1])


def _columns(bodies: Sequence[str], joints: Sequence[Joint]) -> tuple[Array, NDArray[np.int64]]:
    """Equilibrium matrix (6 bodies, components) and the joint that owns each component; moments over LENGTH."""
    columns, owner = [], []
    for number, j in enumerate(joints):
        wrenches = [np.concatenate([f, np.cross(j.point, f) / LENGTH]) for f in j.forces]
        wrenches += [np.concatenate([np.zeros(3), m]) for m in j.moments]
        for wrench in wrenches:
            column = np.zeros(6 * len(bodies))
            for body, sign in ((j.other, 1.0), (j.one, -1.0)):
                if body != GROUND:
                    at = 6 * bodies.index(body)
                    column[at : at + 6] += sign * wrench
            columns.append(column)
            owner.append(number)
    return np.array(columns).reshape(-1, 6 * len(bodies)).T, np.array(owner, dtype=np.int64)


def _loads(bodies: Sequence[str], actions: Sequence[Action]) -> Array:
    load = np.zeros(6 * len(bodies))
    for a in actions:
        at = 6 * bodies.index(a.body)
        load[at : at + 3] += a.force
        load[at + 3 : at + 6] += (np.cross(a.point, a.force) + a.moment) / LENGTH
    return load
