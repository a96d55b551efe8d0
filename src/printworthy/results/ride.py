"""Frozen records of what is computed about the ride: handling, free bodies, drop limit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from printworthy.inputs import Vector


@dataclass(frozen=True, slots=True)
class Handling:
    """One figure of the vehicle in `unit` of the outside, with its formula's source; `warning` '' if nothing is odd."""

    name: str
    value: float
    unit: str
    source: str
    warning: str = ""


@dataclass(frozen=True, slots=True)
class Push:
    """A force [N] and moment [N mm] on a body at `point` [mm]; `held`: it comes from a support, else it is a load."""

    name: str
    point: Vector
    force: Vector
    moment: Vector
    kind: Literal["load", "inertia", "support"]


@dataclass(frozen=True, slots=True)
class FreeBody:
    """A part cut free in one case, in its own axes: all that pushes on it. `residual`: what the pushes leave over, as
    a share of the sum of their sizes, forces and moments alike."""

    case: str
    event: str
    pushes: tuple[Push, ...]
    residual: float
    words: str


@dataclass(frozen=True, slots=True)
class PartDrop:
    """The drop height [mm] at which a part, or a stated metal limit, is used up; `height` None: not up to `highest` of
    the search. `heights`, `used`: its utilisation over height, for the chart; `stated`: at the height of the event.
    `cause` in words."""

    name: str
    metal: bool
    height: float | None
    cause: str
    heights: tuple[float, ...]
    used: tuple[float, ...]
    stated: float


@dataclass(frozen=True, slots=True)
class DropLimit:
    """The drop limit of a vehicle: parts by the height at which they go, lowest first; or, where it may not be shown,
    `refused` says why and `parts` is empty. `height` [mm] is that of the landing `event`."""

    event: str
    height: float
    parts: tuple[PartDrop, ...]
    refused: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class ForceCourse:
    """Forces [N] by channel over `time` [s], each (n,)."""

    time: tuple[float, ...]
    forces: Mapping[str, tuple[float, ...]]


@dataclass(frozen=True, slots=True)
class Happened:
    """What a ride event does: in words, its largest forces [N] by place, its course where it takes time."""

    event: str
    kind: str
    words: str
    source: str
    judged: bool
    peaks: Mapping[str, float]
    course: ForceCourse | None = None


@dataclass(frozen=True, slots=True)
class Ride:
    """What the ride says about a vehicle: handling figures, free bodies by part and case, the drop limit, what each
    event does."""

    handling: tuple[Handling, ...]
    bodies: Mapping[str, tuple[FreeBody, ...]]
    drop: DropLimit | None = None
    events: tuple[Happened, ...] = ()


@dataclass(frozen=True, slots=True)
class TestLevel:
    """One load of a component test [unit of its `Yardstick`], for the kinds of bicycle it is asked of.

    `used`: utilisation at that load, special factor and mesh error counted, no factor on load [-]; `times`: how often
    the whole test is borne at the low end of life [-], None for a test that is no fatigue test or without S-N sets.
    """

    kinds: tuple[str, ...]
    load: float
    used: float
    times: float | None


@dataclass(frozen=True, slots=True)
class Yardstick:
    """A component test of an open standard, held against a part. `missing`: what its life is not decided for."""

    test: str
    source: str
    known: str
    where: str
    unit: str
    cycles: int
    levels: tuple[TestLevel, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CaseChange:
    """A load case before and after: its largest force on a face [N], `scale` from one to the other and `rest`, the
    share of the new load that is no multiple of the old one. A case that only one of them has: 0 for the other, and a
    rest of 1."""

    case: str
    before: float
    after: float
    scale: float
    rest: float


@dataclass(frozen=True, slots=True)
class PartChange:
    """A part before and after; `used` utilisation and word, '' and None where they are not known. `how` in words."""

    part: str
    cases: tuple[CaseChange, ...]
    governing: str
    used: tuple[float | None, float | None]
    word: tuple[str, str]
    how: str


@dataclass(frozen=True, slots=True)
class Varied:
    """Handling figures before and after, every part in the vehicle, and the drop limit (None: no landing stated)."""

    handling: tuple[tuple[Handling, Handling], ...]
    parts: tuple[PartChange, ...]
    drop: tuple[DropLimit | None, DropLimit | None]
