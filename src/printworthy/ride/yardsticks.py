"""Component tests of open standards as loads on a part: what each role is held against, and where it acts.

The part is loaded through the vehicle's own geometry: a fork by a force at its axle, a bar clamp through the bar, whose
ends are the stated grips; nobody sits on a rig. Set-ups follow `standards.TESTS`; directions are from memory where the
text does not say.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from printworthy.errors import InputError
from printworthy.inputs import Cycle, Duty, Load, LoadCase, Machine, Part, Posture
from printworthy.ride.bodies import action
from printworthy.ride.events import Touch
from printworthy.ride.loads import bar_loads, grip_loads, part_loads, rim_loads
from printworthy.ride.mechanism import Instant
from printworthy.ride.placing import Placing, placed
from printworthy.ride.roles import ROLES, Role
from printworthy.ride.standards import IN_NEWTON, TURNS, StandardTest, test, wheel_bending
from printworthy.ride.vehicle import needed, steering, wheel_loads, whole

Array = NDArray[np.float64]
Maker = Callable[[Part, Machine, Placing, Role, float], Iterator[Load]]
NOTHING = np.zeros(3)
OTHER_SIDE = np.array([1.0, -1.0, 1.0])
BEHIND = 70.0  # [mm] behind the axis of the seat post, as the cargo-bicycle standard has it; here behind the seat
MANY = 10  # cycles up to which a test is one of strength


def _at_axle(axis: int, sign: float = 1.0) -> Maker:
    """A force at the axle along axis 0 (ahead, across the steering axis) or 2 (up along it), held by the frame."""

    def loads(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
        s = steering(m)
        force = sign * size * s.axes[axis]
        pair = action("test", "front wheel", s.axle, force), action("rig", "frame", s.axle, -force)
        yield from part_loads(part, m, where, role, Instant("", "", NOTHING, NOTHING, gravity=NOTHING, extra=pair))

    return loads


def _about_the_axle(sign: float) -> Maker:
    """A moment about the front axle, taken by brake or axle and held by the frame; braking turns the top forward."""

    def loads(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
        axle, turn = steering(m).axle, np.array([0.0, sign * size, 0.0])
        pair = action("test", "front wheel", axle, moment=turn), action("rig", "frame", axle, moment=-turn)
        yield from part_loads(part, m, where, role, Instant("", "", NOTHING, NOTHING, gravity=NOTHING, extra=pair))

    return loads


def _at_grips(left: float, right: float) -> Maker:
    """Forces along the steering axis at the bar's ends, in shares of the test's; up is positive."""

    def loads(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
        up, grip = steering(m).axes[2], needed(m, "grips")
        if part.role == "handlebar":
            yield from grip_loads(part, where, left * size * up, right * size * up)
            return
        ends = (("left end", left, grip), ("right end", right, grip * OTHER_SIDE))
        yield from bar_loads(part, m, where, role, [action(n, "bar", at, k * size * up) for n, k, at in ends if k])

    return loads


def _on_the_bar(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
    """A force in the middle of the bar, ahead and down at 45 degrees to the steering axis."""
    s = steering(m)
    force = size * (s.axes[0] - s.axes[2]) / np.sqrt(2)
    yield from bar_loads(part, m, where, role, [action("test", "bar", _middle(m), force)])


def _along_the_bar(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
    """A pull out of the bar's left end, along the bar."""
    out = size * np.array([0.0, 1.0, 0.0])
    if part.role == "handlebar":
        yield from grip_loads(part, where, out, NOTHING)
        return
    yield from bar_loads(part, m, where, role, [action("test", "bar", needed(m, "grips"), out)])


def _beside(distance: float) -> Maker:
    """A force down along the steering axis on a bar, `distance` [mm] to the left of its middle."""

    def loads(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
        at = _middle(m) + np.array([0.0, distance, 0.0])
        yield from bar_loads(part, m, where, role, [action("test", "bar", at, -size * steering(m).axes[2])])

    return loads


def _about_the_bar(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
    yield from bar_loads(part, m, where, role, [action("test", "bar", _middle(m), moment=(0.0, size, 0.0))])


def _about_the_steerer(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
    """A moment about the steering axis, which the fork holds."""
    turn = action("test", "bar", _middle(m), moment=size * steering(m).axes[2])
    yield from bar_loads(part, m, where, role, [turn])


def _behind_the_seat(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
    """A force down on the frame behind the seat, both axles standing on the rig."""
    at = needed(m, "seat") - np.array([BEHIND, 0.0, 0.0])
    share = float(at[0]) / m.wheelbase
    up = size * np.array([0.0, 0.0, 1.0])
    push = (action("test", "frame", at, -up),)
    stands = Instant("", "", share * up, (1 - share) * up, gravity=NOTHING, extra=push)
    yield from part_loads(part, m, where, role, stands)


def _between_axles(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
    """A force ahead at the front axle, pinned at the rear one; where the axles differ in height the front axle rolls
    on the rig, which holds it upright."""
    front, rear = steering(m).axle, np.array([0.0, 0.0, m.rear.radius])
    ahead = np.array([size, 0.0, 0.0])
    roll = np.array([0.0, 0.0, size * (front[2] - rear[2]) / m.wheelbase])
    pushes = action("test", "front wheel", front, ahead + roll), action("rig", "rear wheel", rear, -ahead - roll)
    yield from part_loads(part, m, where, role, Instant("", "", NOTHING, NOTHING, gravity=NOTHING, extra=pushes))


def _across_the_wheel(turn: float) -> Maker:
    """A moment on the rim about a line across the wheel, `turn` [deg] from the line of travel; the hub holds it."""

    def loads(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
        angle = np.radians(turn)
        yield from rim_loads(part, where, size * np.array([np.cos(angle), 0.0, np.sin(angle)]))

    return loads


def _middle(m: Machine) -> Array:
    return needed(m, "risers") * np.array([1.0, 0.0, 1.0])


def _foot(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
    yield from part_loads(part, m, where, role, Touch("", "", "peg", force=np.array([0.0, 0.0, -size])))


def _hand(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
    yield from part_loads(part, m, where, role, Touch("", "", "lever", along=size))


def _pedal(part: Part, m: Machine, where: Placing, role: Role, size: float) -> Iterator[Load]:
    yield from part_loads(part, m, where, role, Touch("", "", "pedal", along=size))


BRAKE: Mapping[str, Maker] = {
    "fork, hub brake torque": _about_the_axle(1.0),
    "fork, hub brake torque, backwards": _about_the_axle(-1.0),
}
FORK: Mapping[str, Maker] = {
    "fork, bent, static": _at_axle(0),
    "fork, bending fatigue, both ways": _at_axle(0),
    "suspension fork, pulled": _at_axle(2, -1.0),
    "suspension fork, pressed": _at_axle(2),
    "fork without welds, pulled": _at_axle(2, -1.0),
    **BRAKE,
}
ENDS: Mapping[str, Maker] = {
    "bar and stem, bent sideways": _at_grips(-1.0, 0.0),
    "bar fatigue, out of phase": _at_grips(1.0, -1.0),
    "bar fatigue, in phase": _at_grips(1.0, 1.0),
    "bar end pulled": _along_the_bar,
}
FRAME: Mapping[str, Maker] = {
    "frame, horizontal fatigue": _between_axles,
    "frame, horizontal fatigue, mountain": _between_axles,
    "frame, vertical fatigue": _behind_the_seat,
    "cargo bicycle's frame, vertical fatigue": _behind_the_seat,
}
FOOT: Mapping[str, Maker] = {"pedal, static": _foot, "pedal, dynamic": _foot}
BY_ROLE: Mapping[str, Mapping[str, Maker]] = {
    "yoke": FORK,
    "fork leg": FORK,
    "steering-head gusset": FRAME,
    "bar clamp": {
        **ENDS,
        "stem, bent sideways": _beside(300.0),
        "stem, bent sideways, racing": _beside(230.0),
        "stem, bent forward": _on_the_bar,
        "stem, bent forward, second stage": _on_the_bar,
        "bar in its stem, twisted": _about_the_bar,
        "stem on the steerer, twisted": _about_the_steerer,
    },
    "caliper bracket": BRAKE,
    "swing arm": FRAME,
    "handlebar": ENDS,
    "peg": FOOT,
    "hanger": {**FOOT, "frame, pedalling fatigue": _foot},
    "hand lever": {"brake lever": _hand},
    "foot lever": {"back-pedal brake": _pedal},
    "wheel": {f"wheel, rotating bending, {turn} deg": _across_the_wheel(turn) for turn in TURNS},
}


def levels(t: StandardTest, m: Machine) -> tuple[tuple[tuple[str, ...], float], ...]:
    """Each load of a test once [its unit], with the kinds of vehicle it is asked of; rotating bending of a wheel: of
    the largest load [N] on the standing front wheel, as the heaviest it is built for."""
    if not t.loads:
        postures: tuple[Posture, ...] = ("seated", "standing")
        every = [whole(m, posture) for posture in postures]
        most = max(wheel_loads(w.mass, w.centre[0], w.centre[2], m.wheelbase)[0] for w in every)
        return ((("two-wheelers of this load",), wheel_bending(most, m.front.radius) / IN_NEWTON[t.unit]),)
    sizes = dict.fromkeys(t.loads.values())
    return tuple((tuple(kind for kind, own in t.loads.items() if own == size), size) for size in sizes)


def yardsticks(part: Part, m: Machine) -> tuple[LoadCase, ...]:
    """The tests a part of this role can be held against, at the first of their `levels`; where the vehicle does not
    state what a test needs, it is left out."""
    makers = BY_ROLE.get(part.role, {}) if part.mounting is not None else {}
    pairs = ((test(name), maker) for name, maker in makers.items())
    found = (_case(part, m, t, maker) for t, maker in pairs if t is not None)
    return tuple(case for case in found if case is not None)


def _case(part: Part, m: Machine, t: StandardTest, maker: Maker) -> LoadCase | None:
    assert part.mounting is not None
    where, role, size = placed(m, part.mounting), ROLES[part.role], levels(t, m)[0][1] * IN_NEWTON[t.unit]
    try:
        loads = tuple(x for x in maker(part, replace(m, rider=None), where, role, size) if any(x.vector))
    except InputError:
        return None
    source = f"{t.source} ({t.known}), a yardstick: {t.where}"
    often = Duty("h", (Cycle.swing(1.0, t.ratio, float(t.cycles)),), source) if t.cycles > MANY else None
    return LoadCase(t.name, loads, "steady", source, None, often) if loads else None
