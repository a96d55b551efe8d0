"""Frozen records of what a person states about a part's faces, supports, loads and joints."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from printworthy.errors import Place
from printworthy.inputs.duty import Duty

Vector = tuple[float, float, float]
CaseKind = Literal["steady", "impact"]
LoadKind = Literal[
    "force", "bearing", "moment", "bearing moment", "pressure", "acceleration", "gravity", "displacement", "temperature"
]


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


@dataclass(frozen=True, slots=True)
class Support:
    """fixed: no movement (or the movement a case prescribes); sliding: no movement along the normal;
    foundation: elastic bed, `stiffness` [N/mm3] along the normal and `tangential` [N/mm3] across it;
    bolt hole: the wall of a round hole held by its bolt, a bed whose stiffness is stated or the material's own."""

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
    fixed support; temperature: `value` [K] the whole part is warmer than when it was put together.
    """

    kind: LoadKind
    face: str = ""
    vector: Vector = (0.0, 0.0, 0.0)
    value: float = 0.0
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class LoadCase:
    """Loads that act together; `source` says where the figures come from. `duty` None: nobody has said how often."""

    name: str
    loads: tuple[Load, ...]
    kind: CaseKind
    source: str
    place: Place | None = None
    duty: Duty | None = None


@dataclass(frozen=True, slots=True)
class BoltJoint:
    """A bolt through the part: diameter, thickness, edge distance [mm]; load [N] across it; washer diameter [mm];
    preload [N] through the plastic, `least_preload` [N] that still holds the joint (None: not stated); `sleeve` if a
    metal sleeve carries the preload."""

    name: str
    diameter: float
    thickness: float
    edge_distance: float
    load: float
    preload: float = 0.0
    washer: float = 0.0
    sleeve: bool = False
    least_preload: float | None = None
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


@dataclass(frozen=True, slots=True)
class PressFit:
    """A metal ring, such as a bearing, pressed into a round seat: bore of the seat, outer diameter of the plastic round
    it, width, interference on the diameter [mm]; friction [-]; push [N] and torque [N mm] to hold."""

    name: str
    diameter: float
    outer: float
    width: float
    interference: float
    friction: float
    push: float = 0.0
    torque: float = 0.0
    place: Place | None = None


Joint = BoltJoint | InsertJoint | ClampJoint | PressFit
