"""Frozen records of what a person states: cards, coupons, vehicle, parts, rules.

Inside: mm, N, MPa, s, degC, g/cm3 for densities, kg for masses. Units people write are turned into these in `workspace`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from printworthy.errors import Place

Vector = tuple[float, float, float]
Confidence = Literal["measured", "published", "from memory", "common practice, no source", "assumed", "invented"]
Consequence = Literal["harmless", "may injure", "single point of failure"]
CouponDirection = Literal["in layer", "between layers", "45 degrees", "interlayer shear"]
HeatSource = Literal["disc", "motor", "battery", "controller"]
CaseKind = Literal["steady", "impact"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit, source and spread; value, low and high in `unit`."""

    value: float
    unit: str
    source: str
    confidence: Confidence
    low: float | None = None
    high: float | None = None
    date: str = ""


@dataclass(frozen=True, slots=True)
class MaterialCard:
    """One material: every number a `Quantity`; a property that is not known is absent, never guessed.

    `values` is keyed by property name; the names and their units are `PROPERTIES`.
    Printed polymers are transversely isotropic: axes 1-2 in the layer, 3 along the build direction.
    """

    name: str
    title: str
    kind: Literal["printed polymer", "metal"]
    values: Mapping[str, Quantity]
    electrically_conductive: bool = False
    flame_rating: str = ""
    moisture_state: str = ""
    example_only: bool = False
    notes: tuple[str, ...] = ()

    def number(self, name: str) -> float | None:
        """Value of a property in its unit of `PROPERTIES`, or None where the card has none."""
        return self.values[name].value if name in self.values else None


PROPERTIES: Mapping[str, str] = {
    "modulus_in_layer": "MPa",  # E1 = E2
    "modulus_through": "MPa",  # E3
    "poisson_in_layer": "",  # nu12
    "poisson_through": "",  # nu13: contraction along 3 when pulled along 1
    "shear_modulus_through": "MPa",  # G13 = G23
    "strength_in_layer": "MPa",  # X, tension, weakest in-layer direction
    "strength_through": "MPa",  # Z, tension between layers
    "shear_between_layers": "MPa",  # S
    "shear_in_layer": "MPa",  # S12
    "compression_in_layer": "MPa",  # Xc
    "compression_through": "MPa",  # Zc
    "yield_strength": "MPa",  # metals
    "ultimate_strength": "MPa",  # metals
    "fatigue_strength": "MPa",  # metals, amplitude at the cycles the source states
    "density": "g/cm3",
    "glass_transition": "degC",
    "melting": "degC",
    "hdt_045": "degC",  # ISO 75 at 0.45 MPa
    "hdt_180": "degC",  # ISO 75 at 1.80 MPa
    "service_low": "degC",
    "service_high": "degC",
    "expansion_in_layer": "1/K",
    "expansion_through": "1/K",
    "conductivity_in_layer": "W/(m K)",
    "conductivity_through": "W/(m K)",
    "moisture_factor": "",  # strength moist / strength dry, for coupons tested dry
}


@dataclass(frozen=True, slots=True)
class CouponSet:
    """Strengths of coupons of one material pulled one way. `strengths` (n,) [MPa]."""

    name: str
    material: str
    direction: CouponDirection
    strengths: tuple[float, ...]
    temperature: float  # [degC]
    moisture: str
    source: str
    invented: bool
    place: Place


# ---- faces ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class CylinderSelector:
    """Facets on the cylinder of `radius` [mm] about the line through `point` [mm] along `axis`; optionally only
    between `low` and `high` [mm] along the axis, measured from `point`."""

    point: Vector
    axis: Vector
    radius: float
    low: float | None = None
    high: float | None = None
    tolerance: float | None = None  # [mm]; None: from the facets


@dataclass(frozen=True, slots=True)
class PlaneSelector:
    """Facets in the plane through `point` [mm] whose outward normal is `normal`."""

    point: Vector
    normal: Vector
    tolerance: float | None = None


@dataclass(frozen=True, slots=True)
class PatchSelector:
    """The smooth patch (CAD face) that contains `point` [mm]."""

    point: Vector
    tolerance: float | None = None


@dataclass(frozen=True, slots=True)
class BoxSelector:
    """Facets whose three corners lie in the box [mm]."""

    low: Vector
    high: Vector


@dataclass(frozen=True, slots=True)
class NearestSelector:
    """The smooth patch nearest to `point` [mm], at any distance."""

    point: Vector


Selector = CylinderSelector | PlaneSelector | PatchSelector | BoxSelector | NearestSelector


@dataclass(frozen=True, slots=True)
class Face:
    """A named face of the part; `deflection_limit` [mm] bounds how far any of it may move."""

    name: str
    selector: Selector
    patches: int | None = None  # how many smooth patches it must match; None: any number
    deflection_limit: float | None = None
    place: Place | None = None


# ---- supports and loads --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Support:
    """fixed: no movement (or the movement a case prescribes); sliding: no movement along the normal;
    foundation: elastic bed, `stiffness` [N/mm3] along the normal and `tangential` [N/mm3] across it;
    bolt hole: the wall of a round hole held by its bolt, an elastic bed whose stiffness is stated or taken from the material."""

    face: str
    kind: Literal["fixed", "sliding", "foundation", "bolt hole"]
    stiffness: float | None = None
    tangential: float | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Load:
    """One load of a case, by `kind`:

    force: total `vector` [N] spread evenly over the face; bearing: total `vector` [N] as cosine pressure on a hole;
    moment: total `vector` [N mm] spread as a rigid plate would; bearing moment: total `vector` [N mm] as pressure on a
    hole; pressure: `value` [MPa] pressing into the face; acceleration: `vector` [mm/s2] of the part as a body (its
    inertia loads it the other way); gravity: `vector` [mm/s2] the pull on the part; displacement: `vector` [mm] of a
    fixed support.
    """

    kind: Literal["force", "bearing", "moment", "bearing moment", "pressure", "acceleration", "gravity", "displacement"]
    face: str = ""
    vector: Vector = (0.0, 0.0, 0.0)
    value: float = 0.0
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class LoadCase:
    """Loads that act together; `source` says where the figures come from."""

    name: str
    loads: tuple[Load, ...]
    kind: CaseKind
    source: str
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class BoltJoint:
    """A bolt through the part: diameter, thickness, edge distance [mm]; load [N] across it; washer diameter [mm];
    preload [N] through the plastic; `sleeve` if a metal sleeve carries the preload."""

    name: str
    diameter: float
    thickness: float
    edge_distance: float
    load: float
    preload: float = 0.0
    washer: float = 0.0
    sleeve: bool = False
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class InsertJoint:
    """A threaded metal insert set in the plastic: outer diameter, length [mm]; pull [N]; `pull_out` [N] measured."""

    name: str
    diameter: float
    length: float
    pull: float
    pull_out: float | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class ClampJoint:
    """A split clamp on a tube: bore, width [mm]; bolts, preload of each [N]; friction [-]; torque [N mm] to hold."""

    name: str
    bore: float
    width: float
    bolts: int
    preload: float
    friction: float
    torque: float
    place: Place | None = None


Joint = BoltJoint | InsertJoint | ClampJoint


# ---- part, vehicle, job --------------------------------------------------------------------------------------------


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
    element_size: float | None = None  # [mm]
    note: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Vehicle:
    """The machine; service temperatures [degC]."""

    name: str
    title: str
    service_low: float
    service_high: float
    invented: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Rules:
    """The decision rule's values, each a `Quantity`; `roles` gives the consequence of failure by part role."""

    values: Mapping[str, Quantity]
    roles: Mapping[str, Consequence]
    metal_roles: tuple[str, ...]
    inspection_factors: Mapping[str, Quantity]
    evidence: Mapping[Consequence, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Job:
    """A whole workspace, read and checked."""

    root: Path
    vehicle: Vehicle
    parts: tuple[Part, ...]
    cards: Mapping[str, MaterialCard]
    coupons: tuple[CouponSet, ...]
    rules: Rules
