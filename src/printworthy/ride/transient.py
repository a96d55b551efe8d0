"""Events that take time: landings and bumps, from the bounce-pitch model to the instants that matter.

Each channel (front wheel, rear wheel, rider, the sprung ends) has its own instant of largest force; between instants
the ground's forces and the accelerations of all bodies belong together, so that the free bodies balance at each.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from printworthy.errors import InputError
from printworthy.inputs import Machine, Posture, RideEvent
from printworthy.ride import halfcar
from printworthy.ride.halfcar import Bounce, History
from printworthy.ride.kinds import number, word
from printworthy.ride.mechanism import Instant
from printworthy.units import G
from printworthy.workspace.cache import once

Array = NDArray[np.float64]
LONGEST = 1.5  # [s]


def landed(m: Machine, e: RideEvent) -> tuple[Instant, ...]:
    """Landing from a height on flat ground or a slope, on both wheels or one, standing or seated.

    Speed square to the ground: sqrt(2 g h) cos s - v sin s for a slope that falls away by s (down: positive), with the
    forward speed v; gravity across it g cos s. Landing on one wheel, the other is `gap` above the ground.
    """
    history = landing_run(m, word(e, "posture"), np.array([number(e, "height")]), e)
    words = f"from {number(e, 'height'):.4g} mm, {word(e, 'posture')}, on {word(e, 'wheel')}" + (
        " wheels" if word(e, "wheel") == "both" else " wheel")  # fmt: skip
    slope = math.radians(number(e, "slope"))
    return instants(m, e, history, words, np.array([0.0, 0.0, -G * math.cos(slope)]))


def landing_run(m: Machine, posture: str, heights: Array, e: RideEvent) -> History:
    """The motion after touch-down for several heights (runs,) [mm] at once, the rest of the event as stated.

    Raises InputError where the vehicle never meets the slope.
    """
    return _landing_run(m, posture, heights, replace(e, duty=None))


@once
def _landing_run(m: Machine, posture: str, heights: Array, e: RideEvent) -> History:
    model = halfcar.bounce(m, posture)  # type: ignore[arg-type]
    slope = math.radians(number(e, "slope"))
    down = np.sqrt(2 * G * heights) * math.cos(slope) - number(e, "speed") * math.sin(slope)
    if float(down.min()) <= 0:
        what = f'event "{e.name}": at this speed the vehicle flies past the slope and does not land on it'
        raise InputError(what, where=e.place or "", do="Lower slope or speed, or raise height")
    gap = {"both": (0.0, 0.0), "front": (0.0, 1.0), "rear": (1.0, 0.0)}[word(e, "wheel")]
    road = halfcar.level(number(e, "gap") * np.array(gap))
    start = np.zeros((len(heights), len(model.names)))
    return halfcar.run(model, start, -down[:, None] * model.lift, road, LONGEST, G * math.cos(slope))


def bumped(m: Machine, e: RideEvent) -> tuple[Instant, ...]:
    """Riding over a bump of `height` and `length`, (1 - cos) / 2 in shape, from rest on the springs; the tyre touches
    the ground at one point, so the bump must be long beside the tyre's print (own assumption)."""
    height, length, speed = (number(e, k) for k in ("height", "length", "speed"))
    words = f"{height:.3g} mm high, {length:.3g} mm long, at {speed * 3.6e-3:.3g} km/h"
    return instants(m, e, bump_run(m, e), words, np.array([0.0, 0.0, -G]))


def bump_run(m: Machine, e: RideEvent) -> History:
    """The motion over a bump, until a quarter of a second after the rear wheel has left it."""
    return _bump_run(m, replace(e, duty=None))


@once
def _bump_run(m: Machine, e: RideEvent) -> History:
    height, length, speed = (number(e, k) for k in ("height", "length", "speed"))
    model = halfcar.bounce(m, word(e, "posture"))  # type: ignore[arg-type]
    delay = np.array([0.0, m.wheelbase / speed])

    def road(t: float) -> tuple[Array, Array]:
        s = np.clip((t - delay) * speed / length, 0.0, 1.0)
        return height * (1 - np.cos(2 * np.pi * s)) / 2, height * np.pi * speed / length * np.sin(2 * np.pi * s)

    q = halfcar.at_rest(model)
    seconds = float(delay[1]) + length / speed + 0.25
    return halfcar.run(model, q, np.zeros_like(q), road, seconds, stop=False)


def channel_forces(h: History) -> Mapping[str, Array]:
    """Size (runs, t) of what each channel follows: forces [N] of the tyres, on the axles and of the rider,
    accelerations [mm/s2] of the sprung ends and the front wheel."""
    b = h.model
    made = {}
    for place, end in enumerate(("front", "rear")):
        made[f"{end} tyre"] = h.forces[:, place]
        name = f"{end} suspension"
        made[f"{end} wheel"] = h.forces[:, b.springs.index(name)] if name in b.springs else h.forces[:, place]
    if "rider" in b.springs:
        made["rider"] = h.forces[:, b.springs.index("rider")]
    made["frame"] = np.abs(np.einsum("rnt,kn->rkt", h.accelerations, b.ends)).max(axis=1)
    made["front unsprung"] = np.abs(np.einsum("rnt,n->rt", h.accelerations, b.rows[0]))
    return made


def channel_courses(h: History, gravity: float) -> Mapping[str, Array]:
    """Course (t,) of the load that each channel brings, as shares of its largest: forces as they are; of what is
    carried, weight and inertia at the sprung end that is shaken more, and at the front wheel. Of a single run."""
    b, made = h.model, {}
    rows = {"frame": b.ends, "front unsprung": b.rows[:1]}
    for name, size in channel_forces(h).items():
        course = size[0]
        if name in rows:
            ends = gravity + np.einsum("nt,kn->kt", h.accelerations[0], np.asarray(rows[name]))
            course = ends[int(np.argmax(np.abs(ends).max(axis=1)))]
        most = course[int(np.argmax(np.abs(course)))]
        if most != 0.0:
            made[name] = course / most
    return made


def computed_courses(m: Machine, e: RideEvent) -> Mapping[str, Array]:
    """`channel_courses` of a landing or a bump; of other events none. Raises InputError, NotComputed."""
    if e.kind == "landing":
        return channel_courses(landing_run(m, word(e, "posture"), np.array([number(e, "height")]), e), G)
    return channel_courses(bump_run(m, e), G) if e.kind == "bump" else {}


def instants(m: Machine, e: RideEvent, h: History, words: str, gravity: Array) -> tuple[Instant, ...]:
    """The instant of the largest value of every channel of a single run."""
    posture: Posture = word(e, "posture")  # type: ignore[assignment]
    found = []
    for channel, size in channel_forces(h).items():
        i = int(np.argmax(size[0]))
        tyres = [np.array([0.0, 0.0, f]) for f in h.forces[0, :2, i]]
        when = f"{words}; {channel} at its largest after {h.time[i] * 1e3:.3g} ms"
        moves = motions(h.model, h.accelerations[0, :, i])
        found.append(Instant(e.name, when, tyres[0], tyres[1], posture, gravity, moves, channel))
    return tuple(found)


def motions(b: Bounce, a: Array) -> Mapping[str, tuple[Array, Array]]:
    """Linear and angular accelerations of the bodies for those of the coordinates (n,)."""

    def up(value: float) -> tuple[Array, Array]:
        return np.array([0.0, 0.0, value]), np.zeros(3)

    made = {
        "frame": (np.array([0.0, 0.0, a[0]]), np.array([0.0, -a[1], 0.0])),
        "front wheel": up(float(b.rows[0] @ a)),
        "rear wheel": up(float(b.rows[1] @ a)),
    }
    if "rider" in b.springs:
        made["rider"] = up(float(a[-1]))
    return made
