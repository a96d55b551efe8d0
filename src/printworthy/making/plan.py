"""Every part on the printers that are there: which one takes it, what it costs, beds, schedule, filament.

part_made(made, workshop)    one part: printer, bed, cost, other processes
set_plan(parts, workshop)    a vehicle set: beds, schedule, filament to buy
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from printworthy.inputs import MakingCard, MaterialCard, Part, PoolPrinter, Quantity, Workshop
from printworthy.making import planar
from printworthy.making.alternatives import Workpiece, course
from printworthy.making.cost import HOUR, YEAR, cost, piece_items
from printworthy.making.directions import hemisphere
from printworthy.making.nesting import CLEARANCE, Piece, density, fits, nested, too_large
from printworthy.making.printing import bed_seconds
from printworthy.making.schedule import Presence, Task, schedule
from printworthy.making.sections import upright
from printworthy.results import Bed, Cost, Course, Life, PartMade, Printing, Schedule, Word

FULL = 40  # pieces a bed is filled with at most for the cost of one
STRAND = 1.75  # [mm]
MOST_BEDS = 60  # that are scheduled at once
WAYS = 400  # directions tried for a part that does not fit


@dataclass(frozen=True, slots=True)
class Made:
    """A part with the material, the print, the word and the life that answer for it."""

    part: Part
    card: MaterialCard
    printing: Printing
    word: Word = "print"
    life: Life | None = None

    @property
    def printable(self) -> bool:
        """Whether its word lets it be printed at all."""
        return self.word in ("print", "print with conditions")


def part_made(made: Made, workshop: Workshop) -> PartMade:
    """One part; a part that no printer takes carries the line that says why as `refusal`."""
    wanted = made.part.making.quantity * (workshop.demand.vehicles if workshop.demand else 1)
    density_of = made.card.values.get("density")
    mass = supports = strand = None
    if density_of is not None:
        mass = made.printing.volume * density_of.value * 1e-6
        supports = made.printing.support_volume * density_of.value * 1e-6
        strand = (made.printing.volume + made.printing.support_volume) / (math.pi * STRAND**2 / 4)
    pool = fitting(made, workshop)
    if not pool:
        none = Cost(None, (), (), ("a printer that takes the part",), 0)
        courses = tuple(courses_of(made, workshop, None, None))
        line = no_fit(made, workshop)
        return PartMade(
            made.part.name, made.card.name, "", wanted, mass, supports, strand, None, made.printing.seconds, 0, 0.0,
            None, none, courses, line,
        )  # fmt: skip
    printer = pool[0]
    card = workshop.printers[printer.card]
    piece = Piece(made.part.name, made.printing.outline)
    beds = nested([piece] * max(1, min(wanted, FULL)), printer.build_space[:2], most=1)
    count = len(beds[0])
    heating = card.number("heating") or 0.0
    seconds = bed_seconds([(made.printing, count)], heating)
    kwh = energy(card, seconds - heating, heating)
    found = printed_cost(made, workshop, card, count, seconds, kwh)
    hours = card.number("hours_a_year")
    machines = sum(p.count for p in pool)
    every = None if hours is None else seconds / count / (hours / YEAR) / machines
    total = found.total.value if found.total else None
    return PartMade(
        made.part.name, made.card.name, printer.name, wanted, mass, supports, strand,
        None if kwh is None else kwh / count, made.printing.seconds, count, seconds, every, found,
        tuple(courses_of(made, workshop, total, every)),
    )  # fmt: skip


def fitting(made: Made, workshop: Workshop) -> list[PoolPrinter]:
    """Printers that run the material and take the part as it stands, the clearance around it free, in the order
    stated."""
    hull = np.array(made.printing.hull)
    return [
        p
        for p in workshop.pool
        if (not p.materials or made.card.name in p.materials)
        and max(too_large(hull, p.build_space)) <= 0
        and fits(made.printing.outline, p.build_space[:2])
    ]


def no_fit(made: Made, workshop: Workshop) -> str:
    """Why no printer takes a part: by how much it is too large, and a direction in which it would fit."""
    name = made.part.name
    may = [p for p in workshop.pool if not p.materials or made.card.name in p.materials]
    if not may:
        return f"{name}: no printer of the pool runs {made.card.name}; add it to the materials of one"
    hull = np.array(made.printing.hull)
    over, printer = min((max(too_large(hull, p.build_space)), p.name) for p in may)
    if over <= 0:
        return (
            f"{name}: it fits {printer} as it is built only without the {CLEARANCE:g} mm kept free around every piece: "
            "state another direction under extra_directions, or add a larger printer"
        )
    ways = hemisphere(WAYS)
    for p in may:
        E, F = planar.across(ways)
        *_, size, beyond = planar.least_boxes(np.ascontiguousarray(hull), E, F, ways, *map(float, p.build_space[:2]))
        excess = np.maximum(beyond, size[:, 2] - p.build_space[2])
        best = int(np.argmin(excess))
        if excess[best] <= 0:
            back = _turned_back(ways[best], made.printing)
            way = ", ".join(f"{c:.2g}" for c in back)
            return (
                f"{name}: as it is built it is {over:.1f} mm too large for {printer}; it would fit {p.name} with the "
                f'direction "{way}" up: state it under extra_directions'
            )
    least = float(excess[best])
    return (
        f"{name}: {over:.1f} mm too large for {printer} as it is built, and {least:.1f} mm too large whichever way it "
        "is turned, diagonals included: split it, or add a larger printer"
    )


def _turned_back(way: np.ndarray, printing: Printing) -> np.ndarray:
    """A direction of the standing part in the axes of its file."""
    return np.asarray(upright(printing.direction).T @ way)


def energy(card: MakingCard, printing: float, heating: float) -> float | None:
    """Energy [kWh] of a bed; None where the card lacks a power."""
    hot, running = card.number("heating_power"), card.number("printing_power")
    return None if hot is None or running is None else (hot * heating + running * printing) / 3.6e6


def scaled(q: Quantity, factor: float, unit: str) -> Quantity:
    """A quantity in another unit."""
    low = None if q.low is None else q.low * factor
    high = None if q.high is None else q.high * factor
    return replace(q, value=q.value * factor, unit=unit, low=low, high=high)


def known_values(made: Made, workshop: Workshop, card: MakingCard) -> dict[str, Quantity]:
    """What the cost of a piece needs, of what is known, in EUR, kg, h, years."""
    hours, prices = 1 / HOUR, workshop.prices.values
    known: dict[str, Quantity] = {}
    if made.card.name in workshop.prices.materials:
        known["material_price"] = workshop.prices.materials[made.card.name]
    units = {"price": 1.0, "life": 1 / YEAR, "hours_a_year": hours, "maintenance": 1.0, "failure_rate": HOUR / YEAR,
             "changeover": hours, "time_factor": 1.0}  # fmt: skip
    known |= {n: scaled(card.values[n], factor, "") for n, factor in units.items() if n in card.values}
    units = {"labour": 1.0, "energy": 1.0, "set_up": hours, "support_removal": hours, "support_removal_each": hours,
             "finishing": hours, "inspection": hours, "coupons": 1.0}  # fmt: skip
    return known | {n: scaled(prices[n], factor, "") for n, factor in units.items() if n in prices}


def printed_cost(
    made: Made, workshop: Workshop, card: MakingCard, count: int, seconds: float, kwh: float | None
) -> Cost:
    """Cost of a piece from a full bed; not known where a price, the density or a power is."""
    density_of = made.card.values.get("density")
    known = known_values(made, workshop, card)
    if density_of is None or kwh is None:
        lacks = ("density of the material",) if density_of is None else ()
        return Cost(None, (), (), lacks + (("power of the printer",) if kwh is None else ()), 0)
    p = made.printing
    return cost(
        known,
        lambda x: piece_items(
            x, mass=p.volume * density_of.value * 1e-6, supports=p.support_volume * density_of.value * 1e-6,
            bed_hours=seconds / HOUR, pieces=count, kwh=kwh, area=p.area / 100, support_volume=p.support_space / 1000,
        ),
    )  # fmt: skip


def courses_of(made: Made, workshop: Workshop, printed: float | None, every: float | None) -> Sequence[Course]:
    """Every other process for a part."""
    p = made.printing
    x, y, z = (side / 10 for side in p.box)
    part = Workpiece(p.solid_volume / 1000, (x, y, z))
    quotes = {q.process: q for q in made.part.making.quotes}
    changes = workshop.demand.design_changes * max(1.0, workshop.demand.years) if workshop.demand else 0.0
    return [
        course(card, part, densities.get(card.material), workshop.prices.materials.get(card.material), printed, every,
               quotes.get(name), changes)
        for densities in (workshop.densities,)
        for name, card in workshop.processes.items()
    ]  # fmt: skip


def set_plan(
    parts: Sequence[tuple[Made, PartMade]], workshop: Workshop
) -> tuple[tuple[Bed, ...], Schedule | None, Mapping[str, float], float | None]:
    """Beds of a vehicle set, their schedule, filament [kg] by material and what it costs by whole spools."""
    beds: list[Bed] = []
    filament: dict[str, float] = {}
    groups: dict[tuple[str, str, float], list[tuple[Made, PartMade]]] = {}
    for made, found in parts:
        if made.printable and found.printer and found.quantity and found.mass is not None:
            key = (found.printer, made.card.name, made.printing.layer_height)
            groups.setdefault(key, []).append((made, found))
            mass = found.quantity * (found.mass + (found.support_mass or 0.0))
            filament[made.card.name] = filament.get(made.card.name, 0.0) + mass
    pool = {p.name: p for p in workshop.pool}
    for (printer, material, _), members in groups.items():
        beds += beds_of(pool[printer], material, members, workshop, len(beds))
    planned = None
    if beds and len(beds) <= MOST_BEDS:
        planned = schedule(tasks_of(beds, parts, workshop), presence=presence(workshop), change=change(workshop))
    return tuple(beds), planned, filament, filament_cost(filament, workshop)


def beds_of(
    printer: PoolPrinter, material: str, members: Sequence[tuple[Made, PartMade]], workshop: Workshop, before: int
) -> list[Bed]:
    """Beds of one material on one kind of printer; parts with the earliest due dates are laid first."""
    made = {m.part.name: m for m, _ in members}
    pieces = [Piece(m.part.name, m.printing.outline) for m, f in members for _ in range(f.quantity)]
    heating = workshop.printers[printer.card].number("heating") or 0.0
    beds = []
    for n, placed in enumerate(nested(pieces, printer.build_space[:2]), before + 1):
        names = [p.part for p in placed]
        dues = [d for d in (due_of(made[name].part, workshop) for name in names) if d is not None]
        counts = [(made[name].printing, names.count(name)) for name in dict.fromkeys(names)]
        space = (printer.build_space[0], printer.build_space[1])
        beds.append(
            Bed(f"bed {n}", printer.name, material, tuple(placed), density(placed, space),
                bed_seconds(counts, heating), min(dues) if dues else None)
        )  # fmt: skip
    return beds


def due_of(part: Part, workshop: Workshop) -> float | None:
    """When a part is due [s]: its own date, else that of the whole set."""
    if part.making.due is not None:
        return part.making.due
    return workshop.demand.due if workshop.demand else None


def tasks_of(beds: Sequence[Bed], parts: Sequence[tuple[Made, PartMade]], workshop: Workshop) -> list[Task]:
    """Drying, printing, and the work after it, as tasks."""
    made = {m.part.name: m for m, _ in parts}
    pool = {p.name: p for p in workshop.pool}
    tasks = []
    for material in dict.fromkeys(b.material for b in beds):
        cards = [workshop.printers[pool[b.printer].card] for b in beds if b.material == material]
        drying = max((c.number("drying") or 0.0) for c in cards)
        if drying:
            tasks.append(Task(f"dry {material}", drying, ("dryer",), group=material))
    dried = {t.name for t in tasks}
    prices = {name: q.value for name, q in workshop.prices.values.items()}
    for bed in beds:
        printer = pool[bed.printer]
        machines = tuple(f"{printer.name} {k}" for k in range(1, printer.count + 1))
        length = bed.seconds + (workshop.printers[printer.card].number("changeover") or 0.0)
        after = (f"dry {bed.material}",) if f"dry {bed.material}" in dried else ()
        tasks.append(Task(bed.name, length, machines, after, None, True, bed.material))
        bench = 0.0
        for placed in bed.pieces:
            p = made[placed.part].printing
            bench += prices.get("finishing", 0.0) * p.area / 100 + prices.get("inspection", 0.0)
            if p.support_volume:
                bench += prices.get("support_removal", 0.0) * p.support_space / 1000
                bench += prices.get("support_removal_each", 0.0)
        tasks.append(Task(f"finish {bed.name}", bench, ("bench",), (bed.name,), bed.due, True))
    return tasks


def presence(workshop: Workshop) -> Presence:
    """When somebody is there, in minutes."""
    o = workshop.operator
    return Presence(round(o.start / 60), round(o.end / 60), o.days)


def change(workshop: Workshop) -> float:
    """The longest change of material [s] of the printers in the pool."""
    return max((workshop.printers[p.card].number("material_change") or 0.0) for p in workshop.pool)


def filament_cost(filament: Mapping[str, float], workshop: Workshop) -> float | None:
    """What the filament costs by whole spools [EUR]; None where a price is not known."""
    spool = workshop.prices.values.get("filament_spool")
    if spool is None or set(filament) - set(workshop.prices.materials):
        return None
    whole = {m: math.ceil(kg / spool.value - 1e-9) * spool.value for m, kg in filament.items()}
    return sum(kg * workshop.prices.materials[m].value for m, kg in whole.items())
