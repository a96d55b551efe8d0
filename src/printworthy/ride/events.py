"""Ride events, one function each: from severity to forces of the ground, accelerations and the push of hands and feet.

Each returns the instants at which something is at its largest. Sources: rigid-body statics of the single-track vehicle
(as in Cossalter, Motorcycle Dynamics, from memory) for steady events, `halfcar` for those that take time, energy for a
fall. Level ground unless said; air resistance and the gyration of the wheels are left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from printworthy.errors import InputError
from printworthy.inputs import EventKind, Machine, Posture, RideEvent
from printworthy.ride import standards
from printworthy.ride.bodies import action
from printworthy.ride.kinds import number, word
from printworthy.ride.mechanism import Instant
from printworthy.ride.transient import bumped, landed
from printworthy.ride.vehicle import N_PER, front_lift, needed, rear_lift, wheel_loads, whole
from printworthy.units import G

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Touch:
    """A push of a person or of the ground on one part: on `what`; `along` [N] the part's stated pull and `across` it,
    or a `force` (3,) [N] in vehicle axes."""

    event: str
    words: str
    what: str
    along: float = 0.0
    across: float = 0.0
    force: Array | None = None


Happening = Instant | Touch


def happenings(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """All that an event does. Raises InputError where the vehicle cannot do it or lacks data, NotComputed."""
    return EVENTS[e.kind](m, e)


def standing(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """Rider still, standing, seated or on one peg; `multiple` of gravity for rough ground. Source: statics."""
    posture, n = _posture(e), number(e, "multiple")
    front, rear = _loads(m, posture)
    up = upright(m, posture)
    words = f"rider {posture}, {n:.3g} times the weight"
    moves = _all(((n - 1) * G * up, np.zeros(3)))
    return (Instant(e.name, words, n * front[2] * up, n * rear[2] * up, posture, -G * up, moves),)


def upright(m: Machine, posture: Posture) -> Array:
    """The plumb line (3,) in vehicle axes: with the rider's weight to one side, the vehicle leans until the common
    centre of mass stands over the line of contact. Source: statics."""
    _, y, z = whole(m, posture).centre
    return np.array([0.0, y, z]) / math.hypot(y, z)


def braking(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """Braking at a stated deceleration or a share (`severity`) of the limit: grip of the braked wheels, or rear wheel
    lift, whichever comes first. Source: statics; limits m b / (p - m h), m (p - b) / (p + m h), m and (p - b) / h."""
    posture, brakes = _posture(e), word(e, "brakes")
    every = whole(m, posture)
    b, h, p, mu = every.centre[0], every.centre[2], m.wheelbase, m.grip
    slides = {"front": _grip(mu * b, p - mu * h), "rear": mu * (p - b) / (p + mu * h), "both": mu}[brakes]
    lifts = rear_lift(b, h, p)
    least, why = min(
        (slides, "the tyres slide" if brakes == "both" else f"the {brakes} tyre slides"),
        (lifts, "the rear wheel lifts"),
    )
    a = _asked(m, e, "deceleration", least, why)
    front, rear = wheel_loads(every.mass, b, h, p, -a)
    total = every.mass * N_PER * a
    share = {"front": 1.0, "rear": 0.0, "both": front / (front + rear)}[brakes]
    slow = (np.array([-a, 0.0, 0.0]), np.zeros(3))
    words = f"{a / G:.3g} g on {'both wheels' if brakes == 'both' else f'the {brakes} wheel'} ({least:.3g} g: {why})"
    return (Instant(
        e.name, words, np.array([-share * total, 0, front]), np.array([(share - 1) * total, 0, rear]), posture,
        moves=_all(slow),
    ),)  # fmt: skip


def acceleration(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """Pulling away on the rear wheel, stated or a share of the limit: grip m (p - b) / (p - m h) or front wheel lift
    b / h. Source: statics. With a chain its pull is F R / r, from the balance of the wheel."""
    posture = _posture(e)
    every = whole(m, posture)
    b, h, p, mu = every.centre[0], every.centre[2], m.wheelbase, m.grip
    slips = _grip(mu * (p - b), p - mu * h)
    least, why = min((slips, "the rear tyre slips"), (front_lift(b, h), "the front wheel lifts"))
    a = _asked(m, e, "acceleration", least, why)
    front, rear = wheel_loads(every.mass, b, h, p, a)
    gain = (np.array([a, 0.0, 0.0]), np.zeros(3))
    pull = np.array([every.mass * N_PER * a, 0, rear])
    words = f"{a / G:.3g} g ({least:.3g} g: {why})"
    return (Instant(e.name, words, np.array([0, 0, front]), pull, posture, moves=_all(gain)),)


def cornering(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """A steady curve, leaned so that the resultant lies in the plane of the vehicle (thin tyres): all weights grow by
    sqrt(1 + a^2). Source: statics; limit: grip."""
    posture = _posture(e)
    a = _asked(m, e, "lateral", m.grip, "the tyres slide")
    n = math.hypot(1.0, a / G)
    front, rear = _loads(m, posture)
    words = f"{a / G:.3g} g sideways, leaned {math.degrees(math.atan(a / G)):.3g} deg"
    return (Instant(e.name, words, n * front, n * rear, posture, np.array([0, 0, -n * G])),)


def rough_road(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """Shaking: the load factors stated for what is sprung and unsprung, up and down and, `level`, fore and aft, for
    the inertia of what is carried. No forces of the ground. Source: stated, best from a measured record."""
    sprung, unsprung, level = (number(e, k) for k in ("sprung", "unsprung", "level"))
    moves = {
        "frame": (np.array([level, 0.0, sprung - G]), np.zeros(3)),
        "front wheel": (np.array([level, 0.0, unsprung - G]), np.zeros(3)),
        "rear wheel": (np.array([level, 0.0, unsprung - G]), np.zeros(3)),
    }
    words = f"{sprung / G:.3g} g on the frame, {unsprung / G:.3g} g at the wheels, {level / G:.3g} g fore and aft"
    return (Instant(e.name, words, np.zeros(3), np.zeros(3), moves=moves, channel="inertia only"),)


def rut(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """The front wheel's side caught by a rut, `angle` [deg] ahead of the contact: side force = severity x grip x load
    of the front wheel, borne by the frame, steering held. The rear wheel and inertia take it up. Source: statics."""
    posture = _posture(e)
    every = whole(m, posture)
    front, rear = _loads(m, posture)
    side = number(e, "severity") * m.grip * float(front[2])
    angle, radius = math.radians(number(e, "angle")), m.front.radius
    at = np.array([m.wheelbase + radius * math.sin(angle), 0.0, radius * (1 - math.cos(angle))])
    # The frame holds against the side force and its moment as it does against a hand: about the centre of mass.
    centre = np.array(every.centre)
    against = action(
        "inertia against the rut", "frame", centre, (0, -side, 0), -np.cross(at - centre, (0, side, 0)), True
    )
    caught = action("side of the rut", "front wheel", at, (0, side, 0))
    words = f"{side:.4g} N sideways {radius * math.sin(angle):.3g} mm ahead of the contact"
    return (Instant(e.name, words, front, rear, posture, extra=(caught, against)),)


def kick(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """One foot pushes off, or kicks, with multiples of the rider's weight. Source: stated (people push 1 to 3 times
    their weight, from memory)."""
    assert m.rider is not None
    weight = m.rider.mass * G * N_PER
    down, back = number(e, "down"), number(e, "rearward")
    words = f"{down:.3g} of the rider's weight down, {back:.3g} to the rear"
    return (Touch(e.name, words, "peg", force=np.array([-back * weight, 0.0, -down * weight])),)


def tip_over(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """The vehicle falls from upright, without its rider, on a bar end, peg or lever: F = W + sqrt(W^2 + 2 k E).

    E: energy of the turn about the line of contact, E = m g h (1 - cos f) at the angle f at which the point meets the
    ground; its mass at the point makes W. k: stated stiffness of part and ground. Own derivation, a rigid rod on
    a spring, as the landing in closed form.
    """
    where = word(e, "lands_on")
    _, y, z = needed(m, "pegs" if where == "peg" else "grips")
    every = whole(_without_rider(m), "seated")
    height, reach = every.centre[2], math.hypot(y, z)
    angle = math.atan2(z, y)
    fallen = every.mass * N_PER * G * height * (1 - math.cos(angle))
    weight = every.mass * N_PER * G * height * math.sin(angle) / reach
    force = weight + math.sqrt(weight**2 + 2 * number(e, "stiffness") * fallen)
    up = np.array([0.0, -math.sin(angle), math.cos(angle)]) * force  # square to the line from the wheels to the point
    onto = f"{fallen * 1e-3:.3g} J on {number(e, 'stiffness'):.3g} N/mm"
    words = f"from upright on its {where}, {math.degrees(angle):.3g} deg, {onto}"
    return (Touch(e.name, words, where, along=force, force=up),)


def lever_pull(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """A hand on a brake lever. Source of the least force: `standards.CONTROL`; a frightened hand: stated."""
    return _control(e, "hand", "lever")


def pedal_press(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """A foot on a brake pedal. Source of the least force: `standards.CONTROL`."""
    return _control(e, "foot", "pedal")


def bar_pull(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """One hand pulls the bar, the other pushes. Source: stated force of an arm."""
    force = number(e, "force")
    words = f"{force:.4g} N to the rear on the left grip, forward on the right"
    return (Touch(e.name, words, "grips", force=np.array([-force, 0.0, 0.0])),)


def bar_end(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """One end of the bar caught and pushed to the rear. Source: stated."""
    force = number(e, "force")
    return (Touch(e.name, f"{force:.4g} N to the rear on one end", "bar end", force=np.array([-force, 0.0, 0.0])),)


def leaning(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """A hand, knee or foot on a part when the vehicle is pushed or worked on. Source: stated force of a person."""
    return (Touch(e.name, f"{number(e, 'force'):.4g} N", "part", along=number(e, "force")),)


def tying_down(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """Straps hold a mass shaken by a multiple of gravity, evenly. Source: weight over straps."""
    mass, n, straps = (number(e, k) for k in ("mass", "multiple", "straps"))
    words = f"{mass:.3g} kg at {n:.3g} g on {straps:.0f} straps"
    return (Touch(e.name, words, "part", along=mass * N_PER * G * n / straps),)


def lifting(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """The empty vehicle lifted by the part: a share of its weight, times `multiple` for the jerk. Source: statics."""
    mass = whole(_without_rider(m), "seated").mass
    share, n = number(e, "share"), number(e, "multiple")
    words = f"{share:.3g} of {mass:.4g} kg, {n:.3g} times"
    return (Touch(e.name, words, "part", along=share * n * mass * N_PER * G),)


def towing(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """The whole pulled up a slope by the part: m g (sin + rolling cos). Source: statics; rolling resistance stated."""
    mass, slope = whole(m, "seated").mass, math.radians(number(e, "slope"))
    force = mass * N_PER * G * (math.sin(slope) + number(e, "rolling") * math.cos(slope))
    return (Touch(e.name, f"{mass:.4g} kg up {number(e, 'slope'):.3g} deg", "part", along=force),)


def landing(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """Landing from a jump, `transient.landed`."""
    return landed(m, e)


def bump(m: Machine, e: RideEvent) -> tuple[Happening, ...]:
    """A kerb, stone or, as its reverse, pothole, `transient.bumped`."""
    return bumped(m, e)


EVENTS: Mapping[EventKind, Callable[[Machine, RideEvent], tuple[Happening, ...]]] = {
    "standing": standing, "braking": braking, "acceleration": acceleration, "cornering": cornering,
    "rough road": rough_road, "bump": bump, "landing": landing, "rut": rut, "kick": kick, "tip-over": tip_over,
    "lever pull": lever_pull, "pedal press": pedal_press, "bar pull": bar_pull, "bar end": bar_end,
    "leaning": leaning, "tying down": tying_down, "lifting": lifting, "towing": towing,
}  # fmt: skip


def _posture(e: RideEvent) -> Posture:
    return word(e, "posture")  # type: ignore[return-value]


def _loads(m: Machine, posture: Posture) -> tuple[Array, Array]:
    every = whole(m, posture)
    front, rear = wheel_loads(every.mass, every.centre[0], every.centre[2], m.wheelbase)
    return np.array([0.0, 0.0, front]), np.array([0.0, 0.0, rear])


def _all(move: tuple[Array, Array]) -> Mapping[str, tuple[Array, Array]]:
    return dict.fromkeys(("frame", "front wheel", "rear wheel", "rider"), move)


def _without_rider(m: Machine) -> Machine:

    return replace(m, rider=None)


def _grip(above: float, below: float) -> float:
    """A limit [g] of one wheel that the transfer of load feeds; where it outgrows the grip there is none."""
    return above / below if below > 0 else math.inf


def _asked(m: Machine, e: RideEvent, key: str, limit: float, why: str) -> float:
    """The acceleration [mm/s2] an event asks for: stated, or a share of the limit [g]."""
    stated = e.numbers.get(key)
    if stated is None:
        return number(e, "severity") * limit * G
    if stated > limit * G * (1 + 1e-9):
        what = f'event "{e.name}": {stated / G:.3g} g is more than this vehicle can do'
        raise InputError(f"{what}, {why} at {limit:.3g} g", where=e.place or "", do=f"Lower {key}, or correct [frame]")
    return stated


def _control(e: RideEvent, limb: str, what: str) -> tuple[Happening, ...]:
    force, across, test = number(e, "force"), number(e, "across"), word(e, "test")
    least, source = standards.CONTROL[limb][test], standards.CONTROL_SOURCE.get(test, standards.ASKED)
    if force < least:
        what = f'event "{e.name}": {force:g} N is less than the {least:g} N that a {limb} brake must bear ({test} test)'
        do = f"Write {least:g} N or more (source: {source})"
        if "test" not in e.words:
            do += ', or say which milder test it answers to: test = "service"'
        raise InputError(what, where=e.place or "", do=do)
    words = f"{force:g} N (at least {least:g} N: {source})"
    words += f", {across:.3g} of it across" if across else ""
    return (Touch(e.name, words, what, along=force, across=across * force),)
