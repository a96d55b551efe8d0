"""Frozen records of what a person states about how the vehicle is made and ridden.

Vehicle axes: x forward, y to the left, z up, origin on the ground under the rear axle (ISO 8855 axes, moved).
Units inside: mm, N, N/mm, N s/mm, kg, deg, s.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from printworthy.errors import Place
from printworthy.inputs.duty import Duty
from printworthy.inputs.faces import Vector

EventKind = Literal[
    "standing", "braking", "acceleration", "cornering", "rough road", "bump", "landing", "rut", "kick", "tip-over",
    "lever pull", "pedal press", "bar pull", "bar end", "leaning", "tying down", "lifting", "towing",
]  # fmt: skip
Side = Literal["left", "right"]
Posture = Literal["standing", "seated", "on one peg"]
Carrier = Literal["frame", "fork", "front wheel", "swing arm"]


@dataclass(frozen=True, slots=True)
class Suspension:
    """Spring and damper as felt at the wheel: `rate` [N/mm], `bump` and `rebound` damping [N s/mm], `travel` [mm], of
    which the last `stop_length` [mm] work on the bump stop, `stop_rate` [N/mm] more."""

    rate: float
    travel: float
    bump: float
    rebound: float
    stop_rate: float
    stop_length: float


@dataclass(frozen=True, slots=True)
class Wheel:
    """A wheel with what moves with it: `radius` [mm], unsprung `mass` [kg], tyre rate [N/mm] and damping [N s/mm].
    `suspension` None: not stated, unless `rigid`, which says that there is none."""

    radius: float
    mass: float
    tyre_rate: float | None = None
    tyre_damping: float = 0.0
    suspension: Suspension | None = None
    rigid: bool = False


@dataclass(frozen=True, slots=True)
class Mass:
    """A sprung mass [kg] with its centre [mm]; `gyration` [mm]: its own radius of gyration in pitch."""

    name: str
    mass: float
    centre: Vector
    gyration: float = 0.0


@dataclass(frozen=True, slots=True)
class Rider:
    """A rider: mass [kg], centre of mass [mm] seated and standing, stiffness [N/mm] and damping [N s/mm] of legs and of
    seat and body."""

    mass: float
    seated: Vector
    standing: Vector
    leg_rate: float | None = None
    leg_damping: float = 0.0
    seat_rate: float | None = None
    seat_damping: float = 0.0


@dataclass(frozen=True, slots=True)
class Joints:
    """Where the parts of the machine are joined [mm]; of a pair, the left one (y > 0). Bearings: their heights. The
    legs stand `leg_spacing` apart, and their yokes sit at the bearings. None: not stated."""

    pegs: Vector | None = None
    seat: Vector | None = None
    grips: Vector | None = None
    risers: Vector | None = None
    pivot: Vector | None = None
    damper_low: Vector | None = None
    damper_high: Vector | None = None
    lower_bearing: float | None = None
    upper_bearing: float | None = None
    leg_spacing: float | None = None
    disc_radius: float | None = None
    sprocket_radius: float | None = None  # of the chain or belt on the rear wheel
    front_sprocket: Vector | None = None  # where its upper run meets the front sprocket


@dataclass(frozen=True, slots=True)
class Machine:
    """The vehicle as a mechanism. `grip` tyre to ground [-]."""

    wheelbase: float
    rake: float
    offset: float
    grip: float
    front: Wheel
    rear: Wheel
    masses: tuple[Mass, ...]
    rider: Rider | None
    joints: Joints
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class RideEvent:
    """One thing that happens on a ride. `numbers` by key of the workspace text, in inside units; `words` likewise.
    `factor` multiplies every load of it; `source` says where its severity comes from; `duty` how often it comes."""

    name: str
    kind: EventKind
    source: str
    numbers: Mapping[str, float] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    factor: float = 1.0
    place: Place | None = None
    duty: Duty | None = None
    judged: bool = True  # False: a what-if, computed and shown beside the verdict


@dataclass(frozen=True, slots=True)
class MetalLimit:
    """A metal part in the load path: largest force [N] it bears at `at`, with where the figure comes from."""

    name: str
    at: Literal["front wheel", "rear wheel", "pegs", "seat"]
    limit: float
    source: str


@dataclass(frozen=True, slots=True)
class Carried:
    """A mass [kg] that rests on `face`, and, pushed level, on `wall`."""

    mass: float
    face: str
    wall: str = ""


@dataclass(frozen=True, slots=True)
class Mounting:
    """A part in the vehicle: `origin` [mm] of its file, its x and z axes, what it moves with (`on`), which of a pair
    it is (`side`), which face does what, which events concern it (None: all that concern its role).

    `share` of the joint's force that it takes, with its reason; `enters` [mm]: where the force enters, in part axes,
    when that is on another part; `pull`, `across`: directions of a hand or foot in part axes.
    """

    origin: Vector
    x: Vector
    z: Vector
    on: Carrier = "frame"
    side: Side = "left"
    faces: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    carried: Carried | None = None
    events: tuple[str, ...] | None = None
    share: float = 1.0
    share_reason: str = ""
    enters: Vector | None = None
    pull: Vector | None = None
    across: Vector | None = None
    place: Place | None = None
