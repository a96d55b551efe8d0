"""Kinds of fields of the heat tables, each with the range in which it can be meant for a small vehicle.

A body a thousand times too heavy stays cool, and a part beside it would pass: what lies outside is refused (ranges:
common practice, no source). Inside units: kg, mm, mm2, mm/s, s, W, J/(kg K), W/(m2 K), W/m2.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from printworthy import units
from printworthy.inputs import Span
from printworthy.workspace import fields as f

HOTTEST = 1000.0  # [degC] of anything beside a part


def _within(least: float, most: float, words: str) -> Callable[[float], str]:
    return lambda value: "" if least <= value <= most else f"cannot be meant here (taken are {words})"


def _field(dimension: str, least: float, most: float, words: str) -> Any:
    return f._reader(f._quantity(dimension), _within(least, most, words))


def _span(dimension: str, least: float, most: float, words: str) -> Any:
    """A quantity or a range of it, "8 to 20 W/(m^2*K)"."""
    within = _within(least, most, words)
    return f._reader(lambda text: units.span(text, dimension), lambda v: within(v[0]) or within(v[1]))


Film = Annotated[Span, _span("film", 0.0, 1e5, "0 to 100000 W/(m^2*K)")]
ShareSpan = Annotated[Span, _span("ratio", 0.0, 1.0, "0 to 1")]
PowerSpan = Annotated[Span, _span("power", 0.0, 1e5, "0 to 100 kW")]
SpecificHeat = Annotated[Span, _span("specific heat", 100.0, 5000.0, "100 to 5000 J/(kg*K)")]
View = Annotated[float, _field("ratio", 0.001, 1.0, "0.001 to 1")]
Absorptance = Annotated[float, _field("ratio", 0.02, 1.0, "0.02, a mirror, to 1")]
Emissivity = Annotated[float, _field("ratio", 0.02, 1.0, "0.02, polished metal, to 1")]
Seconds = Annotated[float, _field("time", 1.0, 1e6, "1 s to 11 days")]
Velocity = Annotated[float, _field("speed", 250.0, 1e5, "1 to 360 km/h")]
Weight = Annotated[float, _field("mass", 5.0, 3000.0, "5 to 3000 kg, the vehicle with its load")]
BodyMass = Annotated[float, _field("mass", 0.005, 200.0, "5 g to 200 kg, the body that grows hot")]
Area = Annotated[float, _field("area", 500.0, 1e7, "5 cm^2 to 10 m^2")]
Height = Annotated[float, _field("length", 1e3, 9e6, "1 to 9000 m")]
Gap = Annotated[float, _field("length", 0.01, 2000.0, "0.01 mm to 2 m")]
Irradiance = Annotated[float, _field("irradiance", 0.0, 1500.0, "0 to 1500 W/m^2, the sun above the air")]
Hot = Annotated[float, _field("temperature", -100.0, HOTTEST, f"up to {HOTTEST:g} degC")]
