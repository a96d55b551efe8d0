"""Frozen records of what is computed about making: prints, costs, other processes, beds, schedule, spares."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from printworthy.inputs import Confidence, Vector


@dataclass(frozen=True, slots=True)
class Printing:
    """One piece printed one way up, from its layers. Lengths mm, areas mm2, volumes mm3, times s.

    `layer_seconds` (n) of every layer with its supports, before cooling; `seconds` of all, cooling and layer changes
    included, heating not; `waiting` for cooling; `volume` laid down in the part, `solid_volume` of its layers filled;
    `support_space` enclosed by supports, `support_volume` laid down in them; `outline` (k) of its shadow on the bed;
    `hull` (h) corners of its convex hull as it stands; `rasters` [deg] of the beads of its layers, in turn, from
    x of the bed as it stands; empty where the answer holds for any.
    """

    direction: Vector
    height: float
    layer_height: float
    layer_seconds: tuple[float, ...]
    least_layer_time: float
    seconds: float
    waiting: float
    layer_change: float
    volume: float
    solid_volume: float
    support_space: float
    support_volume: float
    area: float
    box: Vector
    outline: tuple[tuple[float, float], ...]
    hull: tuple[Vector, ...]
    walls: int
    infill: float
    bead_width: float
    rasters: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Spread:
    """A number with its interval: `value` at the stated inputs, 5 % and 95 % of the draws."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Swing:
    """What one input does to the cost of a piece [EUR], all others as stated: at its low and high end."""

    name: str
    low: float
    high: float
    source: str
    confidence: Confidence


@dataclass(frozen=True, slots=True)
class Cost:
    """Cost of a piece [EUR] with its interval; None: not known, and `missing` says what lacks. `items` (name, EUR)."""

    total: Spread | None
    items: tuple[tuple[str, float], ...]
    swings: tuple[Swing, ...]
    missing: tuple[str, ...]
    draws: int


@dataclass(frozen=True, slots=True)
class Course:
    """Cost and calendar of one process for one part. Money EUR, times s.

    piece: cost of each; tooling once; lead_time to the first; `every` between pieces; minimum order. None: not known.
    break_even: pieces from which it is cheaper than printing (None: never, or not known); overtakes: time [s] at which
    it has delivered as many as the printers (None: never). change: what a late design change costs and for how long it
    stops the process. `mass` [kg] of a piece; `words` one line."""

    process: str
    title: str
    material: str
    mass: float | None
    piece: Spread | None
    tooling: Spread | None
    lead_time: float | None
    every: float | None
    minimum_order: int
    break_even: float | None
    overtakes: float | None
    source: str
    missing: tuple[str, ...]
    change: float | None
    change_delay: float | None
    words: str


@dataclass(frozen=True, slots=True)
class PartMade:
    """One part: how it is printed on the first fitting printer of the pool, cost, other processes. `refusal`: why not
    (with the way it would fit). Masses kg, energy kWh, times s; `bed` pieces on one bed and its time; `every`: time
    between pieces from all fitting printers, at the hours a year their card states."""

    part: str
    material: str
    printer: str
    quantity: int
    mass: float | None
    support_mass: float | None
    strand: float | None
    energy: float | None
    seconds: float
    bed: int
    bed_seconds: float
    every: float | None
    cost: Cost
    courses: tuple[Course, ...]
    refusal: str = ""


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece on a bed: turned by `angle` [deg] and moved so that its outline's first point lies at `at` [mm]."""

    part: str
    outline: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Bed:
    """One bed of pieces of one material. `density`: outline area over the bed's area; `seconds` of its print."""

    name: str
    printer: str
    material: str
    pieces: tuple[Placed, ...]
    density: float
    seconds: float
    due: float | None


@dataclass(frozen=True, slots=True)
class Slot:
    """A task in the schedule [s from the start]: on which machine, what must come before; `due` None: none."""

    task: str
    machine: str
    start: float
    end: float
    due: float | None
    fixed: bool = False
    group: str = ""

    @property
    def late(self) -> float:
        """Time [s] after its due date, 0 where it is kept or there is none."""
        return 0.0 if self.due is None else max(0.0, self.end - self.due)


@dataclass(frozen=True, slots=True)
class Schedule:
    """Slots in order of start; finish [s]; use [-] of each machine until then; `optimal` proven; `bound` [s] no finish
    can be below, given the late time; `words` names the bottleneck where a due date cannot be kept."""

    slots: tuple[Slot, ...]
    finish: float
    late: float
    use: Mapping[str, float]
    optimal: bool
    bound: float
    words: str


@dataclass(frozen=True, slots=True)
class SparePlan:
    """One part's spares over the years: demand (mean of the pieces) and how three ways of having them compare.

    Costs EUR, discounted, None: not known. final_order: pieces bought once; base_stock: pieces held while printing on
    demand; `words` why."""

    part: str
    rate: float
    mean: float
    on_demand: float | None
    stock: float | None
    base_stock: int
    last_time_buy: float | None
    final_order: int
    process: str
    words: str


@dataclass(frozen=True, slots=True)
class KitPoint:
    """A kit for an absence: parts carried (name, pieces), filament [kg], a printer or not; mass [kg] and the chance
    that nothing lacks [-]."""

    mass: float
    availability: float
    pieces: tuple[tuple[str, int], ...]
    filament: float
    printer: bool


@dataclass(frozen=True, slots=True)
class Spares:
    """Spares of the fleet, and kits for an absence [s]: parts alone, and with a printer; `chosen` within the limit."""

    plans: tuple[SparePlan, ...]
    absence: float | None
    limit: float | None
    parts_only: tuple[KitPoint, ...]
    with_printer: tuple[KitPoint, ...]
    chosen: KitPoint | None
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Merged:
    """Several parts against one print: pieces, mass [kg], cost [EUR], assembly [s] before and after; risks in words."""

    name: str
    into: str
    pieces: tuple[int, int]
    mass: tuple[float | None, float | None]
    cost: tuple[float | None, float | None]
    assembly: float | None
    gains: tuple[str, ...]
    risks: tuple[str, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Making:
    """Everything about making a vehicle set: parts, beds, schedule, filament [kg] by material and its price, spares,
    consolidations; `refusals` one line each."""

    parts: tuple[PartMade, ...]
    beds: tuple[Bed, ...]
    schedule: Schedule | None
    filament: Mapping[str, float]
    filament_cost: float | None
    vehicles: int
    spares: Spares | None
    merged: tuple[Merged, ...]
    refusals: tuple[str, ...]
    invented: bool
