"""Loads of component tests in open standards, as yardsticks: to bear one is no certificate.

ISO 4210 parts 4 to 8 (bicycles) by kind of bicycle, DIN 79010 (cargo bicycles), rotating bending of the wheels of
two-wheelers. "published": read in the national edition that repeats the first stage of ISO; "from memory": not opened
again. UN R78 (and FMVSS 122, UN GTR 3) limit the force a rider may need in a brake test: a control must bear at least
that; fear does more. What is left out, and why, stands in docs/method/ride.md.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from printworthy.inputs import Confidence
from printworthy.ride.vehicle import N_PER
from printworthy.units import G

CITY, YOUNG, MOUNTAIN, RACING, CARGO = "city", "young adult", "mountain", "racing", "cargo"


@dataclass(frozen=True, slots=True)
class StandardTest:
    """One test: `loads` [`unit`] by kind of bicycle, empty where the vehicle's own wheel load makes it; `cycles` (1:
    held), where it acts, how it is known."""

    name: str
    loads: Mapping[str, float]
    unit: Literal["N", "N m", "kg"]
    cycles: int
    where: str
    source: str
    known: Confidence
    ratio: float = 0.0  # smallest over largest load of a cycle


def _by(city: float, young: float, mountain: float, racing: float) -> Mapping[str, float]:
    return {CITY: city, YOUNG: young, MOUNTAIN: mountain, RACING: racing}


def _same(load: float) -> Mapping[str, float]:
    return _by(load, load, load, load)


TURNS = (0, 45, 90, 135)  # [deg] of the wheel: between two of them a spoke sees at most 1 / cos(22.5 deg) of the larger

TESTS: tuple[StandardTest, ...] = (
    StandardTest("bar and stem, bent sideways", _by(600, 600, 1000, 1000), "N", 1,
                 "50 mm from the bar's end, along the steering axis", "ISO 4210-5, lateral bending F2", "published"),
    StandardTest("stem, bent sideways", {CITY: 600, YOUNG: 600, MOUNTAIN: 1000}, "N", 1,
                 "300 mm beside the stem, along the steering axis", "ISO 4210-5, lateral bending F1", "published"),
    StandardTest("stem, bent sideways, racing", {RACING: 1000}, "N", 1,
                 "230 mm beside the stem, along the steering axis", "ISO 4210-5, lateral bending F1", "published"),
    StandardTest("stem, bent forward", _same(1600), "N", 1, "at the stem, 45 degrees", "ISO 4210-5, F3", "published"),
    StandardTest("stem, bent forward, second stage", _by(2000, 2000, 2600, 2300), "N", 1,
                 "at the stem, 45 degrees, held; the standard ends at 50 mm of movement", "ISO 4210-5, F4",
                 "published"),
    StandardTest("bar in its stem, twisted", _by(60, 60, 80, 60), "N m", 1, "about the bar", "ISO 4210-5, T1",
                 "published"),
    StandardTest("stem on the steerer, twisted", _by(40, 40, 50, 40), "N m", 1, "about the steerer", "ISO 4210-5, T2",
                 "published"),
    StandardTest("bar end pulled", _by(300, 300, 500, 300), "N", 1, "along the bar's end", "ISO 4210-5, F5",
                 "published"),
    StandardTest("bar fatigue, out of phase", _by(200, 200, 270, 280), "N", 100_000,
                 "50 mm from the bar's ends, opposite", "ISO 4210-5, F6", "from memory", -1.0),
    StandardTest("bar fatigue, in phase", _by(250, 250, 450, 400), "N", 100_000, "50 mm from the bar's ends, together",
                 "ISO 4210-5, F7", "from memory", -1.0),
    StandardTest("fork, bent, static", _by(1000, 1000, 1500, 1200), "N", 1, "at the axle, across the steering axis",
                 "ISO 4210-6, fork static bending", "from memory"),
    StandardTest("fork, bending fatigue, both ways", _by(450, 450, 650, 620), "N", 100_000,
                 "at the axle, across the steering axis", "ISO 4210-6, fork bending fatigue", "from memory", -1.0),
    StandardTest("suspension fork, pulled", _same(2300), "N", 1, "along the steering axis", "ISO 4210-6", "published"),
    StandardTest("suspension fork, pressed", _same(2800), "N", 1, "along the steering axis, tyre clearance",
                 "ISO 4210-6", "published"),
    StandardTest("fork without welds, pulled", _same(5000), "N", 1, "along the steering axis", "ISO 4210-6",
                 "published"),
    StandardTest("fork, hub brake torque", _by(50, 50, 80, 80), "N m", 1, "about the axle, as braking", "ISO 4210-6",
                 "published"),
    StandardTest("fork, hub brake torque, backwards", _by(50, 50, 80, 80), "N m", 1, "about the axle, the other way",
                 "ISO 4210-6", "published"),
    StandardTest("frame, pedalling fatigue", _by(1000, 1000, 1200, 1100), "N", 100_000,
                 "each pedal; here where the foot stands", "ISO 4210-6", "from memory"),
    StandardTest("frame, horizontal fatigue", {CITY: 450, YOUNG: 450, RACING: 600}, "N", 100_000,
                 "front axle, ahead and to the rear, rear axle held", "ISO 4210-6", "from memory", -1.0),
    StandardTest("frame, horizontal fatigue, mountain", {MOUNTAIN: 1200}, "N", 50_000,
                 "front axle, ahead, and half as much to the rear, rear axle held", "ISO 4210-6", "from memory", -0.5),
    StandardTest("frame, vertical fatigue", _by(1000, 500, 1200, 1200), "N", 50_000, "70 mm behind the seat",
                 "ISO 4210-6", "from memory"),
    StandardTest("cargo bicycle's frame, vertical fatigue", {CARGO: 1200}, "N", 50_000, "70 mm behind the seat",
                 "DIN 79010", "published"),
    StandardTest("pedal, static", _same(1500), "N", 1, "middle of the pedal", "ISO 4210-8", "published"),
    StandardTest("pedal, dynamic", _by(80, 80, 90, 90), "kg", 100_000, "hung on the turning pedal", "ISO 4210-8",
                 "published"),
    StandardTest("brake lever", _same(450), "N", 10, "25 mm from the lever's end", "ISO 4210-4, brake strength",
                 "from memory"),
    StandardTest("back-pedal brake", _same(1500), "N", 1, "on the pedal; here where the foot presses",
                 "ISO 4210-4, brake strength", "from memory"),
    *(StandardTest(f"wheel, rotating bending, {turn} deg", {}, "N m", 100_000,
                   "about a line across the wheel that turns round it, rim held", "IS 10694-4 (family of ISO 8644)",
                   "published", -1.0) for turn in TURNS),
)  # fmt: skip

# Force [N] that a control must bear at least: of the strength test of a brake, or the largest that a brake test may ask
# of the rider. All from memory.
CONTROL: Mapping[str, Mapping[str, float]] = {
    "hand": {"strength": 450.0, "service": 200.0, "partial failure": 250.0, "parking": 400.0},
    "foot": {"strength": 1500.0, "service": 350.0, "partial failure": 400.0, "parking": 500.0},
}
ASKED = "UN R78 (UN GTR 3, FMVSS 122), largest control force of the test, from memory"
CONTROL_SOURCE = {"strength": "ISO 4210-4, brake strength, from memory"}  # else `ASKED`


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
