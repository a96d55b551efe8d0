"""Kinds of fields of the mechanism, each with the range in which it can be meant for a small vehicle.

A wheelbase in the wrong unit moves every load, a mass a thousand times too small moves too quickly to be computed: what
lies outside is refused (ranges: common practice, no source). Inside units: mm, N/mm, N s/mm, kg.
"""

from __future__ import annotations

from typing import Annotated, Any

from printworthy import units
from printworthy.inputs import Vector
from printworthy.workspace import fields as f

FAR = 6000.0  # [mm] from the ground under the rear axle to anything of the vehicle


def _within(dimension: str, least: float, most: float, words: str) -> Any:
    def check(value: float) -> str:
        if least > 0 >= value:
            return "is not above zero"
        return "" if least <= value <= most else f"cannot be meant here (taken are {words})"

    return f._reader(f._quantity(dimension), check)


def _near(point: Vector) -> str:
    return "" if max(map(abs, point)) <= FAR else f"lies further than {FAR / 1000:g} m from the rear wheel"


Wheelbase = Annotated[float, _within("length", 200.0, 4000.0, "200 to 4000 mm")]
Offset = Annotated[float, _within("length", -300.0, 300.0, "-300 to 300 mm")]
Grip = Annotated[float, _within("ratio", 0.05, 2.0, "0.05 to 2")]
Radius = Annotated[float, _within("length", 20.0, 600.0, "20 to 600 mm")]
Unsprung = Annotated[float, _within("mass", 0.1, 150.0, "0.1 to 150 kg")]
TyreRate = Annotated[float, _within("spring rate", 1.0, 5000.0, "1 to 5000 N/mm")]
SpringRate = Annotated[float, _within("spring rate", 0.5, 1000.0, "0.5 to 1000 N/mm")]
StopRate = Annotated[float, _within("spring rate", 0.0, 5000.0, "0 to 5000 N/mm")]
Damping = Annotated[float, _within("damping", 0.0, 50.0, "0 to 50 N*s/mm")]
Travel = Annotated[float, _within("length", 2.0, 500.0, "2 to 500 mm")]
Sprung = Annotated[float, _within("mass", 0.01, 1000.0, "10 g to 1000 kg")]
Gyration = Annotated[float, _within("length", 1.0, 3000.0, "1 to 3000 mm")]
RiderMass = Annotated[float, _within("mass", 10.0, 250.0, "10 to 250 kg")]
BodyRate = Annotated[float, _within("spring rate", 0.5, 2000.0, "0.5 to 2000 N/mm")]
Spacing = Annotated[float, _within("length", 20.0, 1000.0, "20 to 1000 mm")]
Disc = Annotated[float, _within("length", 10.0, 400.0, "10 to 400 mm")]
BearingHeight = Annotated[float, _within("length", 20.0, 3000.0, "20 to 3000 mm")]
Place = Annotated[Vector, f._reader(lambda text: units.vector(text, "length"), _near)]
MetalForce = Annotated[float, _within("force", 50.0, 1e6, "50 N to 1000 kN")]
EventFactor = Annotated[float, _within("ratio", 0.1, 10.0, "0.1 to 10")]
ShareOfJoint = Annotated[float, _within("ratio", 0.02, 1.0, "0.02 to 1, the part of the joint's force that it bears")]
