"""Frozen records of what a person states about making: printers, prices, processes, numbers wanted, spares."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from printworthy.errors import Place
from printworthy.inputs.duty import RideSpan
from printworthy.inputs.faces import Vector
from printworthy.inputs.materials import Quantity


@dataclass(frozen=True, slots=True)
class MakingCard:
    """A printer or a process: every number a `Quantity` in the inside unit of `MAKING_VALUES`; what is not known is
    absent. `material`: the card of what a process makes the part of."""

    name: str
    title: str
    values: Mapping[str, Quantity]
    material: str = ""
    notes: tuple[str, ...] = ()

    def number(self, name: str) -> float | None:
        """A value in its inside unit, or None where the card has none."""
        return self.values[name].value if name in self.values else None


@dataclass(frozen=True, slots=True)
class Prices:
    """What time, energy and material cost: `values` by name; `materials` price [EUR/kg] by material card.

    Tables of `values` follow `PRICE_VALUES`; a price that is not known is absent and never taken for zero."""

    values: Mapping[str, Quantity]
    materials: Mapping[str, Quantity]


# Names of values and their dimensions in `units`.
PRINTER_VALUES: Mapping[str, str] = {
    "bead_width": "length",
    "wall_speed": "speed",
    "fill_speed": "speed",
    "support_speed": "speed",
    "travel_speed": "speed",
    "acceleration": "acceleration",
    "jerk": "jerk",  # left out: no limit
    "corner_speed": "speed",  # jump of velocity that a corner may make
    "flow": "flow",
    "retraction": "time",  # of every travel
    "layer_change": "time",
    "least_layer_time": "time",  # cooling
    "heating": "time",
    "changeover": "time",  # operator at the machine between two beds
    "material_change": "time",
    "drying": "time",  # of a filament before it is printed; left out: none
    "heating_power": "power",
    "printing_power": "power",
    "price": "money",
    "life": "time",
    "hours_a_year": "time",  # that the machine prints in a year
    "maintenance": "rate",  # share of the price
    "failure_rate": "rate",  # spoilt prints by time of printing
    "support_share": "ratio",  # of a support's volume that is filled
    "time_factor": "ratio",  # real over computed print time: 1, and how far it may be off
}
PRICE_VALUES: Mapping[str, str] = {
    "labour": "money by time",
    "energy": "money by energy",
    "set_up": "time",  # of a person, a bed
    "support_removal": "time by volume",
    "support_removal_each": "time",
    "finishing": "time by area",
    "inspection": "time",  # a piece
    "coupons": "money",  # of each batch
    "interest": "rate",
    "holding": "rate",  # of a stock's value, beside interest
    "filament_spool": "mass",
}
PROCESS_VALUES: Mapping[str, str] = {
    "tooling": "money",
    "tooling_by_shadow": "money by area",  # of the part's smallest box side
    "tooling_change": "ratio",  # share of the tooling paid again at a design change
    "lead_time": "time",  # order to first pieces
    "lead_time_change": "time",  # stop at a design change
    "pieces": "rate",  # delivered once they come
    "set_up": "money",  # of each order
    "piece": "money",
    "piece_by_mass": "money by mass",  # working, beside the material
    "yield": "ratio",  # share of the material that ends in the part
    "billet": "ratio",  # 1: cut from the part's box, the rest is removed
    "removal": "flow",
    "machine_hour": "money by time",
    "minimum_order": "count",
}


@dataclass(frozen=True, slots=True)
class PoolPrinter:
    """One kind of printer in the pool: `count` of them; build space [mm]; materials it may run (none: all)."""

    name: str
    card: str
    build_space: Vector
    count: int = 1
    materials: tuple[str, ...] = ()
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Operator:
    """When somebody is there to start and empty machines: hours of the day [s], days of the week from day 0."""

    start: float = 8 * 3600.0
    end: float = 17 * 3600.0
    days: int = 5


@dataclass(frozen=True, slots=True)
class Quote:
    """An offer of a process for one part, in place of the card's estimate; money EUR, times s, pieces 1/year."""

    process: str
    source: str
    tooling: float | None = None
    piece: float | None = None
    lead_time: float | None = None
    pieces: float | None = None
    minimum_order: float | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class PartMaking:
    """How a part is made and wanted: `quantity` on one vehicle; due [s] from the start; `walls` of beads round solid
    layers (a part's `Fill` has its own); failure rate [1/year] of each piece in service."""

    quantity: int = 1
    due: float | None = None
    walls: int = 3
    failure_rate: float | None = None
    failure_source: str = ""
    quotes: tuple[Quote, ...] = ()
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Bought:
    """A piece that is not printed and goes when a print takes its place: mass [kg], price [EUR]."""

    name: str
    source: str
    mass: float | None = None
    price: float | None = None


@dataclass(frozen=True, slots=True)
class Consolidation:
    """Several parts, and pieces `bought`, made as one print `into`: what goes with the joints. Masses kg, money EUR,
    times s."""

    name: str
    into: str
    parts: tuple[str, ...]
    fasteners: int = 0
    seals: int = 0
    fastener_mass: float | None = None  # of each
    fastener_price: float | None = None
    seal_price: float | None = None
    assembly: float | None = None  # of a person, all joints
    bought: tuple[Bought, ...] = ()
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Demand:
    """What is wanted. vehicles: sets at once; a_year: pieces wanted for each vehicle set a year afterwards; fleet in
    service; years of spares; design changes a year; absence [s] far from supply with at most kit_mass [kg]; a printer
    to carry of printer_mass [kg] that works through the absence with printer_works [-]; ride_a_year of one vehicle."""

    vehicles: int = 1
    a_year: float = 0.0
    fleet: int = 0
    years: float = 0.0
    design_changes: float = 0.0
    absence: float | None = None
    kit_mass: float | None = None
    printer_mass: float | None = None
    printer_works: float | None = None
    due: float | None = None
    ride_a_year: RideSpan | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Workshop:
    """Printers, processes, prices; what is wanted of them. densities [g/cm3] by material card."""

    printers: Mapping[str, MakingCard] = field(default_factory=dict)
    processes: Mapping[str, MakingCard] = field(default_factory=dict)
    prices: Prices = field(default_factory=lambda: Prices({}, {}))
    densities: Mapping[str, Quantity] = field(default_factory=dict)
    pool: tuple[PoolPrinter, ...] = ()
    operator: Operator = Operator()
    demand: Demand | None = None
    consolidations: tuple[Consolidation, ...] = ()

    def printer_of(self, material: str) -> MakingCard | None:
        """The card of the first printer of the pool that runs a material, else of the first; None for an empty pool."""
        pool = [p for p in self.pool if not p.materials or material in p.materials] or list(self.pool)
        return self.printers[pool[0].card] if pool else None
