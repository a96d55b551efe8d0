"""The vehicle at rest and in steady motion: trail, centre of mass, wheel loads, the limits at which a wheel lifts.

Vehicle axes: x forward, y to the left, z up, origin on the ground under the rear axle. Lengths mm, forces N, mass kg.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from printworthy.errors import InputError
from printworthy.inputs import Machine, Mass, Posture, Vector
from printworthy.results import Handling
from printworthy.units import G

Array = NDArray[np.float64]
N_PER = 1e-3  # [N] of 1 kg mm/s2
TRAIL = (30.0, 130.0)  # [mm] usual trail of single-track vehicles (common practice, no source)
RAKE = (15.0, 35.0)  # [deg] usual rake (common practice, no source)


def trail(radius: float, rake: float, offset: float) -> float:
    """Trail [mm] on the ground: how far the steering axis meets it ahead of the contact.

    Args: front wheel radius [mm], rake [deg] of the steering axis from upright, offset [mm] of the axle ahead of it.
    Source: R tan(rake) - offset / cos(rake), Cossalter, Motorcycle Dynamics (from memory); |rake| < 90.

    >>> round(trail(300.0, 26.0, 40.0), 3)
    101.816
    """
    angle = math.radians(rake)
    return radius * math.tan(angle) - offset / math.cos(angle)


def normal_trail(radius: float, rake: float, offset: float) -> float:
    """Trail [mm] square to the steering axis, R sin(rake) - offset; arguments and source as `trail`."""
    return radius * math.sin(math.radians(rake)) - offset


def wheel_loads(mass: float, b: float, height: float, wheelbase: float, forward: float = 0.0) -> tuple[float, float]:
    """Load [N] on the front and the rear wheel while the vehicle gains `forward` [mm/s2] (braking: negative).

    Args: mass [kg], b [mm] of the centre of mass ahead of the rear contact, its height [mm], wheelbase [mm].
    Source: balance of moments about the contacts, level ground, no lift of air; a negative load means a lifted wheel.
    """
    weight, shift = mass * G * N_PER, mass * forward * height / wheelbase * N_PER
    return weight * b / wheelbase - shift, weight * (wheelbase - b) / wheelbase + shift


def rear_lift(b: float, height: float, wheelbase: float) -> float:
    """Deceleration [g] at which the rear wheel lifts, (p - b) / h. Source and arguments as `wheel_loads`."""
    return (wheelbase - b) / height


def front_lift(b: float, height: float) -> float:
    """Acceleration [g] at which the front wheel lifts, b / h. Source and arguments as `wheel_loads`."""
    return b / height


@dataclass(frozen=True, slots=True)
class Steering:
    """The steering axis: `foot` (3,) [mm] on it square behind the axle; unit `axes` (3, 3): rows forward, left and up
    along the axis; `axle` (3,) [mm]."""

    foot: Array
    axes: Array
    axle: Array

    def at_height(self, z: float) -> Array:
        """The point (3,) of the axis at height z [mm]."""
        up = self.axes[2]
        return self.foot + up * (z - self.foot[2]) / up[2]


def steering(m: Machine) -> Steering:
    """The steering axis of a machine."""
    angle = math.radians(m.rake)
    forward = np.array([math.cos(angle), 0.0, math.sin(angle)])
    axes = np.array([forward, [0.0, 1.0, 0.0], [-math.sin(angle), 0.0, math.cos(angle)]])
    axle = np.array([m.wheelbase, 0.0, m.front.radius])
    return Steering(axle - m.offset * forward, axes, axle)


def ridden(m: Machine, posture: Posture) -> Mass | None:
    """The rider as a mass: seated or standing as stated; on one peg, above it."""
    if m.rider is None:
        return None
    centre = m.rider.seated if posture == "seated" else m.rider.standing
    if posture == "on one peg":
        x, y, _ = needed(m, "pegs")
        centre = (x, y, centre[2])
    return Mass("rider", m.rider.mass, centre)


def needed(m: Machine, name: str) -> Array:
    """A stated joint [mm], (3,) or a single number as (1,). Raises InputError where it is not stated."""
    value = getattr(m.joints, name)
    if value is None:
        raise InputError(f'[joints] lacks "{name}"', where=m.place or "", do=f"Add {name} to [joints]")
    return np.atleast_1d(np.array(value, dtype=float))


def whole(m: Machine, posture: Posture) -> Mass:
    """All masses of the machine with its rider as one: mass [kg], centre [mm]."""
    wheels = (
        Mass("front wheel", m.front.mass, (m.wheelbase, 0.0, m.front.radius)),
        Mass("rear wheel", m.rear.mass, (0.0, 0.0, m.rear.radius)),
    )
    rider = ridden(m, posture)
    return together("vehicle", (*m.masses, *wheels, *((rider,) if rider else ())))


def together(name: str, masses: tuple[Mass, ...]) -> Mass:
    """Several masses as one, with the radius of gyration in pitch about their common centre (parallel axes)."""
    total = sum(p.mass for p in masses)
    centre = np.sum([p.mass * np.array(p.centre) for p in masses], axis=0) / total
    off = [np.array(p.centre) - centre for p in masses]
    pitch = sum(p.mass * (p.gyration**2 + d[0] ** 2 + d[2] ** 2) for p, d in zip(masses, off, strict=True))
    return Mass(name, total, (float(centre[0]), float(centre[1]), float(centre[2])), math.sqrt(pitch / total))


def problems(m: Machine) -> Iterator[InputError]:
    """What makes a machine impossible, one line each."""
    where = m.place or ""
    postures: tuple[Posture, ...] = ("seated", "standing")
    for posture in postures:
        every = whole(m, posture)
        b, height = every.centre[0], every.centre[2]
        if not 0.0 < b < m.wheelbase:
            what = f"{posture}, the centre of mass lies {b:.4g} mm ahead of the rear contact, not between the wheels"
            yield InputError(
                f"{what} (0 to {m.wheelbase:.4g} mm)", where=where, do="Correct [[mass]], [rider] or wheelbase"
            )
        if not height > 0.0:
            yield InputError(
                f"{posture}, the centre of mass lies {height:.4g} mm high", where=where, do="Correct [[mass]]"
            )
    yield from _upside_down(m)


def _upside_down(m: Machine) -> Iterator[InputError]:
    """Places of which one must lie above the other."""
    j, rider = m.joints, m.rider
    axle = ("the front axle", m.front.radius)
    pairs = [
        (axle, ("the lower bearing", j.lower_bearing)),
        (("the lower bearing", j.lower_bearing), ("the upper bearing", j.upper_bearing)),
        (("the low end of the damper", _up(j.damper_low)), ("its high end", _up(j.damper_high))),
        (("the pegs", _up(j.pegs)), ("the centre of the standing rider", _up(rider.standing if rider else None))),
        (("the seat", _up(j.seat)), ("the centre of the seated rider", _up(rider.seated if rider else None))),
    ]
    for (lower, low), (higher, high) in pairs:
        if low is not None and high is not None and low >= high:
            what = f"{lower} ({low:g} mm high) does not lie below {higher} ({high:g} mm)"
            yield InputError(what, where=m.place or "", do="Correct or exchange them; z is up from the ground")


def _up(place: Vector | None) -> float | None:
    return None if place is None else place[2]


def handling(m: Machine) -> tuple[Handling, ...]:
    """Handling figures, standing or seated as stated in their names, each with its warning."""
    made = [
        Handling("wheelbase", m.wheelbase, "mm", "stated"),
        Handling("rake", m.rake, "deg", "stated", _usual(m.rake, RAKE, "deg", "rake")),
        _trail(m),
        Handling("normal trail", normal_trail(m.front.radius, m.rake, m.offset), "mm", "R sin(rake) - offset"),
    ]
    postures: tuple[Posture, ...] = ("seated", "standing") if m.rider else ("seated",)
    for posture in postures:
        every = whole(m, posture)
        b, height = every.centre[0], every.centre[2]
        front, rear = wheel_loads(every.mass, b, height, m.wheelbase)
        name = f"rider {posture}" if m.rider else "no rider"
        lift, wheelie = rear_lift(b, height, m.wheelbase), front_lift(b, height)
        made += [
            Handling(f"{name}: centre of mass ahead of the rear contact", b, "mm", "sum of the stated masses"),
            Handling(f"{name}: height of the centre of mass", height, "mm", "sum of the stated masses"),
            Handling(f"{name}: front wheel load", front, "N", "m g b / p"),
            Handling(f"{name}: rear wheel load", rear, "N", "m g (p - b) / p"),
            Handling(f"{name}: deceleration that lifts the rear wheel", lift, "g", "(p - b) / h", _over(lift, m.grip)),
            Handling(f"{name}: acceleration that lifts the front wheel", wheelie, "g", "b / h", _over(wheelie, m.grip)),
        ]
    return tuple(made)


def _trail(m: Machine) -> Handling:
    value = trail(m.front.radius, m.rake, m.offset)
    warning = _usual(value, TRAIL, "mm", "trail")
    if value <= 0.0:
        warning = "no trail: the front wheel does not steer itself straight; legal, and unsteady without great care"
    return Handling("trail", value, "mm", "R tan(rake) - offset / cos(rake)", warning)


def _usual(value: float, usual: tuple[float, float], unit: str, what: str) -> str:
    low, high = usual
    return "" if low <= value <= high else f"{what} outside the usual {low:g} to {high:g} {unit} (common practice)"


def _over(limit: float, grip: float) -> str:
    return "reached before the tyre slides: this machine can be tipped over its wheel" if limit < grip else ""
