"""Loads of component tests in open standards, as yardsticks: to bear one is no certificate.

ISO 4210 parts 4 to 8 (bicycles), values in the order city and trekking, young adult, mountain, racing. "found": read in
the national edition that repeats the first stage of ISO; "from memory": not opened again. UN R78 (and FMVSS 122, UN
GTR 3) limit the force a rider may need in a brake test: a control must bear at least that; fear does more.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from printworthy.inputs import Confidence
from printworthy.ride.vehicle import N_PER
from printworthy.units import G

Bicycle = Literal["city", "young adult", "mountain", "racing"]
ORDER: tuple[Bicycle, ...] = ("city", "young adult", "mountain", "racing")


@dataclass(frozen=True, slots=True)
class StandardTest:
    """One test: `loads` by kind of bicycle, `unit` N or N m, `cycles` (1: held), where it acts, how it is known."""

    name: str
    loads: tuple[float, float, float, float]
    unit: Literal["N", "N m", "kg"]
    cycles: int
    where: str
    source: str
    known: Confidence
    ratio: float = 0.0  # smallest over largest load of a cycle

    def load(self, bicycle: Bicycle) -> float:
        """The load for one kind of bicycle [`unit`]."""
        return self.loads[ORDER.index(bicycle)]


def _same(load: float) -> tuple[float, float, float, float]:
    return (load, load, load, load)


TESTS: tuple[StandardTest, ...] = (
    StandardTest("bar and stem, bent sideways", (600, 600, 1000, 1000), "N", 1,
                 "50 mm from the bar's end, along the steering axis", "ISO 4210-5, lateral bending F2", "published"),
    StandardTest("stem, bent forward", _same(1600), "N", 1, "at the stem, 45 degrees", "ISO 4210-5, F3", "published"),
    StandardTest("bar in its stem, twisted", (60, 60, 80, 60), "N m", 1, "about the bar", "ISO 4210-5, T1",
                 "published"),
    StandardTest("stem on the steerer, twisted", (40, 40, 50, 40), "N m", 1, "about the steerer", "ISO 4210-5, T2",
                 "published"),
    StandardTest("bar end pulled", (300, 300, 500, 300), "N", 1, "along the bar's end", "ISO 4210-5, F5", "published"),
    StandardTest("bar fatigue, out of phase", (200, 200, 270, 280), "N", 100_000, "50 mm from the bar's ends, opposite",
                 "ISO 4210-5, F6", "from memory", -1.0),
    StandardTest("bar fatigue, in phase", (250, 250, 450, 400), "N", 100_000, "50 mm from the bar's ends, together",
                 "ISO 4210-5, F7", "from memory", -1.0),
    StandardTest("fork, bent, static", (1000, 1000, 1500, 1200), "N", 1, "at the axle, across the steering axis",
                 "ISO 4210-6, fork static bending", "from memory"),
    StandardTest("fork, bending fatigue, both ways", (450, 450, 650, 620), "N", 100_000,
                 "at the axle, across the steering axis", "ISO 4210-6, fork bending fatigue", "from memory", -1.0),
    StandardTest("suspension fork, pulled", _same(2300), "N", 1, "along the steering axis", "ISO 4210-6", "published"),
    StandardTest("suspension fork, pressed", _same(2800), "N", 1, "along the steering axis, tyre clearance",
                 "ISO 4210-6", "published"),
    StandardTest("fork without welds, pulled", _same(5000), "N", 1, "along the steering axis", "ISO 4210-6",
                 "published"),
    StandardTest("fork, hub brake torque", (50, 50, 80, 80), "N m", 1, "about the axle, as braking", "ISO 4210-6",
                 "published"),
    StandardTest("fork, hub brake torque, backwards", (50, 50, 80, 80), "N m", 1, "about the axle, the other way",
                 "ISO 4210-6", "published"),
    StandardTest("frame, pedalling fatigue", (1000, 1000, 1200, 1100), "N", 100_000, "each pedal", "ISO 4210-6",
                 "from memory"),
    StandardTest("frame, vertical fatigue", (1000, 500, 1200, 1200), "N", 50_000, "70 mm behind the seat", "ISO 4210-6",
                 "from memory"),
    StandardTest("pedal, static", _same(1500), "N", 1, "middle of the pedal", "ISO 4210-8", "published"),
    StandardTest("pedal, dynamic", (80, 80, 90, 90), "kg", 100_000, "hung on the turning pedal", "ISO 4210-8",
                 "published"),
    StandardTest("crank fatigue", (1300, 1300, 1800, 1800), "N", 100_000, "65 mm outboard of each crank", "ISO 4210-8",
                 "from memory"),
    StandardTest("brake lever", _same(450), "N", 10, "25 mm from the lever's end", "ISO 4210-4, brake strength",
                 "from memory"),
)  # fmt: skip

# Largest force [N] a brake test may ask of the rider; the control must bear at least it. All from memory.
CONTROL: dict[str, dict[str, float]] = {
    "hand": {"service": 200.0, "partial failure": 250.0, "parking": 400.0},
    "foot": {"service": 350.0, "partial failure": 400.0, "parking": 500.0},
}
CONTROL_SOURCE = "UN R78 (UN GTR 3, FMVSS 122), largest control force of the test, from memory"


def test(name: str) -> StandardTest | None:
    """A test by its name, or None."""
    return next((t for t in TESTS if t.name == name), None)


IN_NEWTON = {"N": 1.0, "N m": 1e3, "kg": G * N_PER}  # [N, or N mm for a moment] of one unit


def wheel_bending(load: float, radius: float, grip: float = 0.7, share: float = 0.7) -> float:
    """Moment [N mm] of the rotating bending test of a two-wheeler's wheel, S m F R over 100 000 turns.

    Args: largest design load F [N], loaded radius R [mm], friction m [-], S [-].
    Source: IS 10694 part 4 with its amendment, two-wheeler row (the family of ISO 8644).
    """
    return share * grip * load * radius
