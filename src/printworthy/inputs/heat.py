"""Frozen records of what a person states about heat: bodies that grow hot, and how a part is exposed to them.

A span is (low, high): what is not known to one figure is stated as two, and both ends are carried to the answer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from printworthy.errors import Place
from printworthy.inputs.faces import Vector

HeatSource = Literal["disc", "motor", "battery", "controller"]
Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Stops:
    """Repeated braking: `count` stops of `mass` [kg] from `speed` [mm/s], one every `interval` [s]; `share` [-] of the
    energy goes into this disc."""

    mass: float
    speed: float
    share: Span
    count: int
    interval: float


@dataclass(frozen=True, slots=True)
class Descent:
    """Braking all the way down `height` [mm] with `mass` [kg] in `duration` [s]; `share` [-] as for `Stops`."""

    mass: float
    height: float
    share: Span
    duration: float


@dataclass(frozen=True, slots=True)
class Losses:
    """Heat made inside a motor, controller or battery: `power` [W] for `duration` [s]."""

    power: Span
    duration: float


@dataclass(frozen=True, slots=True)
class Held:
    """A measured temperature [degC] that the body is taken to keep."""

    temperature: float


@dataclass(frozen=True, slots=True)
class HeatBody:
    """A body that grows hot, taken to be equally warm throughout: `mass` [kg], `specific_heat` [J/(kg K)], cooled area
    [mm2], film coefficient [W/(m2 K)], emissivity [-]. Of a `Held` one only the emissivity counts."""

    name: str
    kind: HeatSource
    drive: Stops | Descent | Losses | Held
    source: str
    emissivity: float
    mass: float = 0.0
    specific_heat: Span = (0.0, 0.0)
    area: float = 0.0
    film: Span = (0.0, 0.0)
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class HeatPath:
    """How heat reaches or leaves one face of the part; exactly one of:

    contact [W/(m2 K)] with a body through a joint; gap [mm] of still air to it; view [-], the share of what the face
    sees that is the body, with free air between; film [W/(m2 K)] to the air where it differs from the rest (source "").
    `shields` thin sheets of `shield_emissivity` stand evenly in a gap or between face and body.
    """

    face: str
    source: str = ""
    contact: Span | None = None
    gap: float | None = None
    view: float | None = None
    film: Span | None = None
    shields: int = 0
    shield_emissivity: float = 1.0
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class HeatState:
    """One hot state of a part. `air` [degC], None: the hot end of service; `film` [W/(m2 K)] and `emissivity` [-] of
    its free skin; `sun` [W/m2] from `sun_from`, of which `absorptance` [-] stays; `duration` [s], None: until steady
    at the peak of every source."""

    name: str
    paths: tuple[HeatPath, ...]
    film: Span
    emissivity: float
    source: str
    air: float | None = None
    sun: float = 0.0
    sun_from: Vector = (0.0, 0.0, 1.0)
    absorptance: float = 1.0
    duration: float | None = None
    place: Place | None = None
