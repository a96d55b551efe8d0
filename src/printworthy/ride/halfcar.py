"""Bounce and pitch in time: sprung mass, two wheels on tyres and suspensions, a rider on legs or seat.

Small pitch angles, vertical motion, springs linear between their stops, tyres and rider can only be pushed. A wheel
stated rigid moves with the sprung mass. Several runs (drop heights) are integrated side by side. Positions are counted
from the place where the tyres just touch and every spring is free. Inside: mm, N, s, tonne.
Equations: Rao, Mechanical Vibrations, section 5 (two degrees of freedom, from memory), extended by wheels and rider.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import count

import numpy as np
from numba import njit
from numpy.typing import ArrayLike, NDArray
from scipy.integrate import solve_ivp

from printworthy.errors import InputError, NotComputed
from printworthy.inputs import Machine, Posture, Wheel
from printworthy.ride.vehicle import together
from printworthy.units import G

Array = NDArray[np.float64]
Road = Callable[[float], tuple[Array, Array]]  # time -> height and speed (wheels,) of the ground under each tyre
TONNE = 1e-3  # of 1 kg
PRECISION = 1e-6
TYRES = 2  # the first springs
SAMPLED = 4e-3  # [s] between the samples in which peaks are sought
MOST = 100_000  # times the equations are asked: twenty times what a run of a usual vehicle takes
ENERGY = 1e-3  # of the energy in play: a run that loses more is not given out


@dataclass(frozen=True, slots=True, eq=False)
class Bounce:
    """The model: `mass` (n, n) [t] of the coordinates; springs between `rows` (e, n): compression = ground - rows q;
    rate, damping bump and rebound, stop rate, where the stop begins (e,); `only` (e,): it can only push. Springs 0 and
    1 are the tyres. `ends` (2, n): the sprung mass above the wheels. `names` of the coordinates."""

    mass: Array
    rows: Array
    rate: Array
    bump: Array
    rebound: Array
    stop_rate: Array
    stop_at: Array
    only: NDArray[np.bool_]
    lift: Array  # (n,) all of it moved up by one
    ends: Array
    seen: Array  # (s, n) what must rise again before a run is over: the ends and the rider
    names: tuple[str, ...]
    springs: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class History:
    """A run: `time` (t,) [s]; positions and accelerations (runs, n, t); forces (runs, e, t) [N] of the springs;
    `imbalance` (runs,): energy unaccounted for over energy in play."""

    model: Bounce
    time: Array
    positions: Array
    velocities: Array
    accelerations: Array
    forces: Array
    imbalance: Array


def bounce(m: Machine, posture: Posture) -> Bounce:
    """The model of a machine. Raises InputError where tyre, suspension or rider data are missing."""
    sprung = together("sprung", m.masses)
    wheels = (("front", m.front, m.wheelbase), ("rear", m.rear, 0.0))
    names = ["heave", "pitch", *(name for name, wheel, _ in wheels if not wheel.rigid)]
    rider = m.rider
    if rider is not None:
        names.append("rider")
    n = len(names)

    def sprung_at(x: float) -> Array:
        row = np.zeros(n)
        row[:2] = 1.0, x - sprung.centre[0]
        return row

    mass = np.zeros((n, n))
    mass[0, 0], mass[1, 1] = sprung.mass, sprung.mass * sprung.gyration**2
    made: list[tuple[str, Array, tuple[float, float, float, float, float, bool]]] = []
    late = []
    for name, wheel, x in wheels:
        body = sprung_at(x) if wheel.rigid else np.eye(n)[names.index(name)]
        mass += wheel.mass * np.outer(body, body)
        made.append((f"{name} tyre", body, _tyre(m, name, wheel)))
        if not wheel.rigid:
            late.append((f"{name} suspension", sprung_at(x) - body, _suspension(m, name, wheel)))
    if not mass[1, 1] > 0:
        what = "the sprung masses have no moment of inertia in pitch"
        raise InputError(what, where=m.place or "", do='Add gyration = "300 mm" to the [[mass]] of the frame')
    if rider is not None:
        mass[-1, -1] = rider.mass
        x = (rider.seated if posture == "seated" else rider.standing)[0]
        late.append(("rider", np.eye(n)[-1] - sprung_at(x), _rider(m, posture)))
    made += late
    laws = np.array([law for _, _, law in made])
    up = np.array([0.0 if name == "pitch" else 1.0 for name in names])
    ends = np.array([sprung_at(m.wheelbase), sprung_at(0.0)])
    seen = np.concatenate([ends, np.eye(n)[-1:]]) if rider is not None else ends
    return Bounce(
        mass * TONNE, np.array([row for _, row, _ in made]), laws[:, 0], laws[:, 1], laws[:, 2], laws[:, 3],
        laws[:, 4], laws[:, 5] > 0, up, ends, seen, tuple(names),
        tuple(name for name, _, _ in made),
    )  # fmt: skip


Law = tuple[float, float, float, float, float, bool]


def _missing(m: Machine, what: str, do: str) -> InputError:
    return InputError(f"{what} is not stated, and this event needs it", where=m.place or "", do=do)


def _tyre(m: Machine, name: str, wheel: Wheel) -> Law:
    if wheel.tyre_rate is None:
        raise _missing(
            m, f"the {name} tyre's rate", f'Add tyre_rate = "120 N/mm" to [{name}], measured or from its maker'
        )
    return (wheel.tyre_rate, wheel.tyre_damping, wheel.tyre_damping, 0.0, 1e9, True)


def _suspension(m: Machine, name: str, wheel: Wheel) -> Law:
    s = wheel.suspension
    if s is None:
        raise _missing(m, f"the {name} suspension", f"Add [{name}.suspension], or rigid = true to [{name}]")
    return (s.rate, s.bump, s.rebound, s.stop_rate, s.travel - s.stop_length, False)


def _rider(m: Machine, posture: Posture) -> Law:
    assert m.rider is not None
    seated = posture == "seated"
    rate = m.rider.seat_rate if seated else m.rider.leg_rate
    if rate is None:
        key = "seat_rate" if seated else "leg_rate"
        raise _missing(m, f"the rider's {key.replace('_', ' ')}", f"Add {key} to [rider]")
    damping = m.rider.seat_damping if seated else m.rider.leg_damping
    return (rate, damping, damping, 0.0, 1e9, True)


def forces(b: Bounce, q: Array, v: Array, ground: Array, rise: Array) -> tuple[Array, Array, Array]:
    """Forces (runs, e) of the springs, their elastic part, and their closing speeds, for q, v (runs, n)."""
    laws = (b.rows, b.rate, b.stop_rate, b.stop_at, b.bump, b.rebound, b.only)
    found: tuple[Array, Array, Array] = _forces(*laws, q, v, ground, rise)
    return found


@njit(cache=True, nogil=True)
def _forces(rows, rate, stop_rate, stop_at, bump, rebound, only, q, v, ground, rise):  # type: ignore[no-untyped-def]
    """`forces`, compiled: it is asked some thousand times a run."""
    runs, (count, n) = len(q), rows.shape
    total, elastic, speed = np.empty((runs, count)), np.empty((runs, count)), np.empty((runs, count))
    for r in range(runs):
        for e in range(count):
            d, closing = (ground[e], rise[e]) if e < TYRES else (0.0, 0.0)
            for k in range(n):
                d -= rows[e, k] * q[r, k]
                closing -= rows[e, k] * v[r, k]
            push = rate[e] * d + stop_rate[e] * max(d - stop_at[e], 0.0)
            both = push + (bump[e] if closing > 0 else rebound[e]) * closing
            if only[e]:  # no pull
                push, both = (0.0, 0.0) if d <= 0 else (push, max(both, 0.0))
            total[r, e], elastic[r, e], speed[r, e] = both, push, closing
    return total, elastic, speed


def stored(b: Bounce, q: Array, v: Array, ground: Array, gravity: float) -> Array:
    """Energy (runs,) [N mm]: motion, height, springs."""
    d = -q @ b.rows.T
    d[:, :2] += ground
    d = np.where(b.only, np.maximum(d, 0.0), d)
    springs = 0.5 * b.rate * d**2 + 0.5 * b.stop_rate * np.maximum(d - b.stop_at, 0.0) ** 2
    moving = 0.5 * np.einsum("ri,ij,rj->r", v, b.mass, v)
    return np.asarray(moving + gravity * (q @ (b.mass @ b.lift)) + springs.sum(axis=1))


def run(
    b: Bounce, q0: ArrayLike, v0: ArrayLike, road: Road, seconds: float, gravity: float = G, stop: bool = True
) -> History:
    """Integrate from positions and velocities (runs, n) over at most `seconds`; `stop`: until both ends of the sprung
    mass and the rider of every run rise again.

    Raises NotComputed if the integration fails or energy is not kept within `ENERGY`.
    """
    q0, v0 = np.atleast_2d(np.asarray(q0, float)), np.atleast_2d(np.asarray(v0, float))
    runs, n = q0.shape
    inverse, weight = np.linalg.inv(b.mass), gravity * (b.mass @ b.lift)

    asked = count(1)

    def rate_of(t: float, y: Array) -> Array:
        if next(asked) > MOST:
            what = f"the motion is too quick for its length of {seconds:.3g} s to be computed"
            raise NotComputed(what, do="Check masses, rates, damping, speed and lengths, and their units")
        s = y.reshape(runs, 2 * n + 1)
        q, v = s[:, :n], s[:, n : 2 * n]
        ground, rise = road(t)
        total, elastic, speed = forces(b, q, v, ground, rise)
        a = (total @ b.rows - weight) @ inverse
        lost = ((total - elastic) * speed).sum(axis=1) - total[:, :2] @ rise  # heat, less the work of the road
        return np.concatenate([v, a, lost[:, None]], axis=1).ravel()

    def risen(t: float, y: Array) -> float:
        v = y.reshape(runs, 2 * n + 1)[:, n : 2 * n]
        return float(-(v @ b.seen.T).min())

    risen.terminal, risen.direction = stop, -1.0  # type: ignore[attr-defined]
    start = np.concatenate([q0, v0, np.zeros((runs, 1))], axis=1).ravel()
    span = float(np.abs(v0).max()) + 1.0
    done = solve_ivp(
        rate_of, (0.0, seconds), start, "RK45", events=risen, rtol=PRECISION, atol=1e-7 * span, max_step=SAMPLED
    )
    if not done.success:
        raise NotComputed(f"the motion could not be integrated: {done.message}")
    state = done.y.reshape(runs, 2 * n + 1, -1)
    return _history(b, done.t, state, road, gravity)


def _history(b: Bounce, time: Array, state: Array, road: Road, gravity: float) -> History:
    n = len(b.names)
    q, v, lost = state[:, :n], state[:, n : 2 * n], state[:, -1]
    inverse, weight = np.linalg.inv(b.mass), gravity * (b.mass @ b.lift)
    every, energy = [], []
    for i, t in enumerate(time):
        ground, rise = road(float(t))
        every.append(forces(b, q[..., i], v[..., i], ground, rise)[0])
        energy.append(stored(b, q[..., i], v[..., i], ground, gravity))
    f = np.stack(every, axis=-1)
    a = np.einsum("rit,ij->rjt", np.einsum("ret,ei->rit", f, b.rows) - weight[None, :, None], inverse)
    e = np.stack(energy, axis=-1)
    play = np.ptp(np.concatenate([e, lost + e], axis=1), axis=1) + np.abs(lost).max(axis=1) + _moving(b, v)
    imbalance = np.abs(e + lost - e[:, :1]).max(axis=1) / play
    if float(imbalance.max()) > ENERGY:
        raise NotComputed(f"the motion lost {100 * float(imbalance.max()):.2g} % of its energy in the computation")
    return History(b, time, q, v, a, f, imbalance)


def _moving(b: Bounce, v: Array) -> Array:
    return np.asarray(0.5 * np.einsum("rit,ij,rjt->rt", v, b.mass, v).max(axis=1))


def level(gaps: ArrayLike = (0.0, 0.0)) -> Road:
    """Level ground, `gaps` (2,) [mm] below the front and the rear tyre."""
    heights, still = -np.asarray(gaps, float), np.zeros(2)
    return lambda t: (heights, still)


def frequencies(b: Bounce) -> Array:
    """Undamped frequencies (n,) [rad/s] with every spring pressed and clear of its stop, lowest first."""
    stiffness = b.rows.T @ (b.rate[:, None] * b.rows)
    return np.sqrt(np.abs(np.sort(np.linalg.eigvals(np.linalg.solve(b.mass, stiffness)).real)))


def at_rest(b: Bounce, gravity: float = G) -> Array:
    """Positions (n,) at rest on level ground, clear of the stops or on them. Newton's method on the balance of forces.

    Raises NotComputed if it does not settle.
    """
    q, still = np.zeros(len(b.names)), np.zeros((1, len(b.names)))
    weight = gravity * (b.mass @ b.lift)
    for _ in range(50):
        d = -b.rows @ q
        slope = b.rate + np.where(d > b.stop_at, b.stop_rate, 0.0)
        left = forces(b, q[None], still, np.zeros(2), np.zeros(2))[0][0] @ b.rows - weight
        step = np.linalg.solve(b.rows.T @ (slope[:, None] * b.rows), left)
        q = q + step
        if float(np.abs(step).max()) < 1e-9:
            return q
    raise NotComputed("the vehicle finds no rest on its springs")
