"""Frozen records of what a person states about the vehicle and its parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from printworthy.errors import Place
from printworthy.inputs.duty import FatigueSet, RideSpan
from printworthy.inputs.faces import Face, Joint, LoadCase, Support, Vector
from printworthy.inputs.heat import HeatBody, HeatSource, HeatState
from printworthy.inputs.making import PartMaking, Workshop
from printworthy.inputs.materials import Consequence, CouponSet, MaterialCard, Rules
from printworthy.inputs.pieces import DimensionSet, Weighing
from printworthy.inputs.ride import Machine, MetalLimit, Mounting, RideEvent


@dataclass(frozen=True, slots=True)
class Geometry:
    """The geometry file; unit and body as the person stated them; `mend` permits repairs that are then reported."""

    path: Path
    unit: str | None = None
    body: int | None = None
    mend: bool = False
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Nearby:
    """A heat source or live terminal near the part; distance [mm]; computed or measured temperature [degC] there."""

    source: HeatSource
    distance: float | None = None
    temperature: float | None = None
    temperature_source: str = ""
    live_terminals: bool = False


LAW_RANGE = (0.05, 0.3)  # relative density of infill in which a published law gives its stiffness and strength


@dataclass(frozen=True, slots=True)
class Fill:
    """A part printed hollow: solid `wall` [mm] all round, bottom and top too, and infill of a relative `density` [-].

    `stiffness`, `strength`: measured shares [-] of those of the solid print, with their `source`; None: by the law.
    """

    wall: float
    density: float
    stiffness: float | None = None
    strength: float | None = None
    source: str = ""
    place: Place | None = None

    @property
    def measured(self) -> bool:
        """Whether the shares of the infill were measured."""
        return self.stiffness is not None and self.strength is not None


@dataclass(frozen=True, slots=True)
class Raster:
    """How the beads lie. `angle` [deg] in the layer (see `strength.lay.bead_line`), None: to be chosen for each build
    direction; `layers` [deg] against it, in turn, more than one for a lay-up; `chosen`: build directions and the lines
    along the beads that were chosen for them, part axes."""

    angle: float | None
    layers: tuple[float, ...] = (0.0,)
    place: Place | None = None
    chosen: tuple[tuple[Vector, Vector], ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """One part as stated. `near` None: nobody has said yet what is near it. `build_direction` None: to be chosen."""

    name: str
    title: str
    geometry: Geometry
    role: str
    material: str
    faces: Mapping[str, Face]
    supports: tuple[Support, ...]
    cases: tuple[LoadCase, ...]
    alternatives: tuple[str, ...] = ()
    build_direction: Vector | None = None
    extra_directions: tuple[Vector, ...] = ()
    consequence: Consequence | None = None
    consequence_reason: str = ""
    near: tuple[Nearby, ...] | None = None
    heat: tuple[HeatState, ...] = ()
    exposure: tuple[str, ...] = ()  # sunlight, fuel, rain
    service_low: float | None = None  # [degC]
    service_high: float | None = None
    joints: tuple[Joint, ...] = ()
    inspection: str = "none"  # inspection class of the process factor
    load_factor: float | None = None
    load_factor_reason: str = ""
    fitting: bool = False
    proof_test_each: bool = False
    retirement_life: str = ""
    inspection_interval: RideSpan | None = None  # between two looks for cracks, where their plane is that of the layer
    design_life: RideSpan | None = None  # how long it is wanted to last
    lasting_load: float | None = None  # [h] longest time any of its loads stays on
    element_size: float | None = None  # [mm]
    fill: Fill | None = None  # None: printed solid
    raster: Raster | None = None  # None: nobody said how the beads lie
    note: str = ""
    mounting: Mounting | None = None
    yardsticks: tuple[LoadCase, ...] = ()  # what-if events and tests of open standards, by name; judged beside
    place: Place | None = None
    making: PartMaking = field(default_factory=PartMaking)


@dataclass(frozen=True, slots=True)
class Printer:
    """What can be printed in: build space width, depth, height [mm], layer height [mm], and the angle from vertical
    [deg] beyond which a surface that looks down needs support. The defaults are common practice, no source."""

    build_space: Vector = (250.0, 210.0, 210.0)
    layer_height: float = 0.2
    overhang_angle: float = 45.0
    stated: bool = False


@dataclass(frozen=True, slots=True)
class Vehicle:
    """The vehicle; service temperatures [degC]. `machine` None: its mechanism is not stated."""

    name: str
    title: str
    service_low: float
    service_high: float
    invented: bool = False
    note: str = ""
    printer: Printer = Printer()
    heat_bodies: tuple[HeatBody, ...] = ()
    machine: Machine | None = None
    events: tuple[RideEvent, ...] = ()
    metal: tuple[MetalLimit, ...] = ()


@dataclass(frozen=True, slots=True)
class Job:
    """A whole workspace, read and checked."""

    root: Path
    vehicle: Vehicle
    parts: tuple[Part, ...]
    cards: Mapping[str, MaterialCard]
    coupons: tuple[CouponSet, ...]
    rules: Rules
    fatigue: tuple[FatigueSet, ...] = ()
    weighings: tuple[Weighing, ...] = ()
    dimensions: tuple[DimensionSet, ...] = ()
    workshop: Workshop = field(default_factory=Workshop)
