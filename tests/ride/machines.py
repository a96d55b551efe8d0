"""Machines for the tests of the ride."""

from __future__ import annotations

import math
from dataclasses import replace

from printworthy.inputs import EventKind, Joints, Machine, Mass, RideEvent, Rider, Suspension, Wheel

JOINTS = Joints(
    pegs=(480.0, 160.0, 300.0), seat=(350.0, 0.0, 650.0), grips=(760.0, 300.0, 900.0), risers=(780.0, 60.0, 850.0),
    pivot=(351.0, 0.0, 250.0), damper_low=(141.0, 0.0, 260.0), damper_high=(200.0, 0.0, 480.0), lower_bearing=520.0,
    upper_bearing=720.0, leg_spacing=160.0, disc_radius=90.0,
)  # fmt: skip
SOFT = Suspension(10.0, 80.0, 0.3, 0.6, 100.0, 20.0)


def rigid(
    mass: float, wheelbase: float, b: float, height: float, rates: tuple[float, float] = (20.0, 20.0),
    gyration: float = 350.0,
) -> Machine:  # fmt: skip
    """One sprung mass on two rigid wheels without mass."""
    front, rear = (Wheel(300.0, 1e-9, rate, rigid=True) for rate in rates)
    body = Mass("all", mass, (b, 0.0, height), gyration)
    return Machine(wheelbase, 26.0, 40.0, 0.8, front, rear, (body,), None, replace(JOINTS, disc_radius=None))


def carrier() -> Machine:
    """A small two-wheeler with everything stated."""
    front = Wheel(165.0, 7.0, 120.0, 0.2, SOFT)
    rear = Wheel(165.0, 14.0, 140.0, 0.2, Suspension(18.0, 70.0, 0.4, 0.8, 150.0, 20.0))
    masses = (Mass("frame", 40.0, (560.0, 0.0, 400.0), 330.0), Mass("cargo", 40.0, (400.0, 0.0, 600.0), 150.0))
    rider = Rider(75.0, (420.0, 0.0, 900.0), (480.0, 0.0, 1150.0), 15.0, 0.3, 60.0, 0.5)
    return Machine(1150.0, 25.0, 40.0, 0.8, front, rear, masses, rider, JOINTS)


def event(kind: EventKind, words: dict[str, str] | None = None, **numbers: float) -> RideEvent:
    """An event of a kind, in inside units."""
    return RideEvent(kind, kind, "test", numbers, words or {})


def fall(height: float) -> float:
    """Speed [mm/s] after a fall [mm]."""
    return math.sqrt(2 * 9806.65 * height)
