"""The vehicle cut free at its joints: wheels, legs, stem, bar, frame, swing arm and rider at one instant of a ride.

All joints of one kind are taken equally stiff (assumed), so that like joints share like loads; hands, feet and seat are
softer, in the shares of `CONTACTS`. Forces N, lengths mm, vehicle axes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from printworthy.inputs import Machine, Posture
from printworthy.ride.bodies import Action, Balance, Joint, action, joint, solve
from printworthy.ride.vehicle import N_PER, needed, ridden, steering, together
from printworthy.units import G

Array = NDArray[np.float64]
X, Y, Z = np.eye(3)
STIFF = 1e4  # [N/mm] of every joint of metal (assumed)
DOWN = np.array([0.0, 0.0, -G])
STILL = np.zeros(3)
# [N/mm] of what a rider leans on: upright, fore and aft, sideways (assumed: legs and seat carry, hands steady).
CONTACTS: Mapping[Posture, Mapping[str, tuple[float, float, float]]] = {
    "standing": {"pegs": (100.0, 20.0, 20.0), "grips": (2.0, 20.0, 10.0)},
    "seated": {"seat": (100.0, 40.0, 20.0), "pegs": (8.0, 5.0, 5.0), "grips": (2.0, 12.0, 5.0)},
    "on one peg": {"pegs": (100.0, 20.0, 20.0), "grips": (0.1, 0.1, 0.1)},
}


@dataclass(frozen=True, slots=True, eq=False)
class Instant:
    """One instant of an event: forces (3,) [N] of the ground on the front and the rear tyre, pull of gravity (3,)
    [mm/s2] in vehicle axes, linear and angular acceleration (3,) of what moves by itself; `channel` names what is at
    its largest in it ('' where nothing changes in time). `extra`: further known forces on the bodies."""

    event: str
    words: str
    front: Array
    rear: Array
    posture: Posture = "seated"
    gravity: Array = field(default_factory=lambda: DOWN)
    moves: Mapping[str, tuple[Array, Array]] = field(default_factory=dict)
    channel: str = ""
    extra: tuple[Action, ...] = ()

    def acceleration(self, m: Machine, on: str, point: Array) -> Array:
        """Acceleration (3,) [mm/s2] of a point of the frame or of a wheel."""
        name = {"fork": "frame", "swing arm": "rear wheel"}.get(on, on)
        linear, angular = self.moves.get(name, (STILL, STILL))
        if name == "frame":
            return np.asarray(linear + np.cross(angular, point - np.array(together("", m.masses).centre)))
        return linear


def balance(m: Machine, at: Instant) -> Balance:
    """Forces of every joint at an instant. Raises InputError where a joint is not stated, LoadError without balance."""
    bodies = ["front wheel", "left leg", "right leg", "stem", "bar", "frame", "rear wheel"]
    joints = [*front_joints(m), *rear_joints(m, at), *bar_joints(m)]
    if not m.rear.rigid:
        bodies.append("swing arm")
    if m.rider is not None:
        bodies.append("rider")
        joints += list(rider_joints(m, at.posture))
    return solve(bodies, joints, [*_weights(m, at), *_ground(m, at), *at.extra])


def _ground(m: Machine, at: Instant) -> Iterator[Action]:
    yield action("ground on the front tyre", "front wheel", (m.wheelbase, 0, 0), at.front)
    yield action("ground on the rear tyre", "rear wheel", (0, 0, 0), at.rear)


def _weights(m: Machine, at: Instant) -> Iterator[Action]:
    frame, rider = together("frame", m.masses), ridden(m, at.posture)
    every = [
        ("frame", frame.mass, np.array(frame.centre), frame.gyration),
        ("front wheel", m.front.mass, np.array([m.wheelbase, 0, m.front.radius]), 0.0),
        ("rear wheel", m.rear.mass, np.array([0, 0, m.rear.radius]), 0.0),
    ]
    if rider is not None:
        every.append(("rider", rider.mass, np.array(rider.centre), 0.0))
    for name, mass, centre, gyration in every:
        linear, angular = at.moves.get(name, (STILL, STILL))
        force = mass * N_PER * (at.gravity - linear)
        yield action(
            f"weight and inertia of the {name}", name, centre, force, -mass * N_PER * gyration**2 * angular, True
        )


def front_joints(m: Machine) -> Iterator[Joint]:
    """Axle, caliper, yokes, bearings."""
    s = steering(m)
    forward, _, up = s.axes
    half = float(needed(m, "leg_spacing")[0]) / 2
    low, high = (s.at_height(float(needed(m, name)[0])) for name in ("lower_bearing", "upper_bearing"))
    disc = m.joints.disc_radius
    for side, sign in (("left", 1.0), ("right", -1.0)):
        out = sign * half * Y
        turning = [X, Z] if disc is not None or side == "right" else [X, Y, Z]
        yield joint(f"{side} axle", "front wheel", f"{side} leg", s.axle + out, s.axes, turning, STIFF)
        for name, place in (("lower", low), ("upper", high)):
            at = place + m.offset * forward + out
            yield joint(f"{side} {name} yoke", f"{side} leg", "stem", at, s.axes, [up], STIFF)
    if disc is not None:
        yield joint("caliper", "front wheel", "left leg", s.axle + disc * forward + 0.7 * half * Y, [up], (), STIFF)
    yield joint("lower bearing", "stem", "frame", low, s.axes, (), STIFF)
    yield joint("upper bearing", "stem", "frame", high, s.axes[:2], (), STIFF)
    yield joint("steering held", "stem", "frame", low, (), [up], 1.0)


def rear_joints(m: Machine, at: Instant) -> Iterator[Joint]:
    """Rear axle, swing arm, damper, chain. A hub motor, or a brake, turns against what carries the axle."""
    axle = np.array([0.0, 0.0, m.rear.radius])
    driven = m.joints.sprocket_radius is not None and at.rear[0] > 0
    turning = [X, Z] if driven else [X, Y, Z]
    carrier = "frame" if m.rear.rigid else "swing arm"
    yield joint("rear axle", "rear wheel", carrier, axle, np.eye(3), turning, STIFF)
    if driven:
        start = axle + float(needed(m, "sprocket_radius")[0]) * Z
        run = needed(m, "front_sprocket") - start
        yield joint("chain", "rear wheel", "frame", start, [run / np.linalg.norm(run)], (), STIFF)
    if not m.rear.rigid:
        low, high = needed(m, "damper_low"), needed(m, "damper_high")
        yield joint("pivot", "swing arm", "frame", needed(m, "pivot"), np.eye(3), [X, Z], STIFF)
        yield joint("damper", "swing arm", "frame", low, [(high - low) / np.linalg.norm(high - low)], (), STIFF)


def bar_joints(m: Machine) -> Iterator[Joint]:
    """The bar in its two risers; clamped, so that they hold it in every way."""
    x, y, z = needed(m, "risers")
    for side, sign in (("left", 1.0), ("right", -1.0)):
        yield joint(f"{side} riser", "bar", "stem", (x, sign * y, z), np.eye(3), np.eye(3), STIFF * np.array(
            [1, 1, 1, 1e-3, 1e-3, 1e-3]))  # fmt: skip


def rider_joints(m: Machine, posture: Posture) -> Iterator[Joint]:
    """What the rider leans on in a posture: first its push, then what friction or grasp passes on."""
    for name, (upright, along, across) in CONTACTS[posture].items():
        rates = (upright, along, across)
        point = needed(m, name)
        pair = (("", 0.0),) if name == "seat" else (("left ", 1.0), ("right ", -1.0))
        for side, sign in pair[:1] if posture == "on one peg" and name == "pegs" else pair:
            at = point if name == "seat" else point * np.array([1.0, sign, 1.0])
            body = "bar" if name == "grips" else "frame"
            push = (-Z, X, Y)
            yield joint(f"{side}{name.removesuffix('s')}", "rider", body, at, push, (), rates, name != "grips")
