"""Spares of a fleet over its years, and kits for an absence, from fatigue lives and from failure rates that a person
stated.

spares_of(parts, workshop)  -> results.Spares
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from printworthy.inputs import Demand, Workshop
from printworthy.making.cost import YEAR
from printworthy.making.kit import Item, heaviest_within, kits_of_parts, kits_with_printer
from printworthy.making.plan import Made
from printworthy.making.spares import base_stock, last_order
from printworthy.results import PartMade, SparePlan, Spares

SERVICE = 0.95  # share of demands met from stock at once; common practice, no source
ORDER_TIME = 7 * 86400.0  # [s] from a demand to a printed piece in hand, beside printing; assumed


def spares_of(parts: Sequence[tuple[Made, PartMade]], workshop: Workshop) -> Spares | None:
    """Spares where a fleet is stated; None without one."""
    demand = workshop.demand
    if demand is None or not demand.fleet:
        return None
    rates = {made.part.name: rate_of(made, demand) for made, _ in parts if made.printable}
    words = [f"{name}: {said}" for name, (_, said) in rates.items()]
    for word in dict.fromkeys(made.word for made, _ in parts if not made.printable):
        names = ", ".join(made.part.name for made, _ in parts if made.word == word)
        words.append(f"{word}, so no printed spares are planned: {names}")
    rated = [(m, f, rate) for m, f in parts if m.printable and (rate := rates[m.part.name][0]) is not None]
    plans = tuple(_plan(m, f, rate, demand, workshop) for m, f, rate in rated) if demand.years else ()
    if not demand.years:
        words.append("no years of service are stated, so only the kit is figured")
    if not rated or demand.absence is None:
        return Spares(plans, demand.absence, demand.kit_mass, (), (), None, tuple(words))
    items = [_item(m, f, rate, demand) for m, f, rate in rated if f.mass]
    alone = kits_of_parts(items)
    printing: tuple = ()  # type: ignore[type-arg]
    if demand.printer_mass is None or demand.printer_works is None:
        words.append("no mass and no chance of working of a printer to carry are stated: kits of parts only")
    else:
        printing = kits_with_printer(items, demand.printer_mass, demand.printer_works)
    chosen = None
    if demand.kit_mass is not None:
        both = [heaviest_within(points, demand.kit_mass) for points in (alone, printing)]
        chosen = max((k for k in both if k is not None), key=lambda k: k.availability, default=None)
    return Spares(plans, demand.absence, demand.kit_mass, alone, printing, chosen, tuple(words))


def rate_of(made: Made, demand: Demand) -> tuple[float | None, str]:
    """Pieces [1/year] that each piece in service asks for, and where that is from: the larger of the stated rate and of
    retirement at the part's fatigue life (its low end: every piece is replaced when that is used up)."""
    stated, source = made.part.making.failure_rate, made.part.making.failure_source
    low = made.life.low if made.life is not None else None
    if made.life is None or low is None or not low > 0 or demand.ride_a_year is None:
        missing = "no fatigue life" if low is None else "no ride_a_year under [demand]"
        if stated is None:
            return None, f"no failure rate is stated and there is {missing}, so its spares are not known"
        return stated, f"{stated:.3g} a year, stated: {source} ({missing})"
    ride, unit = demand.ride_a_year, made.life.per
    if unit != ride.per:
        why = f"life is in {unit}, ride_a_year in {ride.per}: a fatigue life that cannot be compared"
        return stated, why if stated is None else f"{stated:.3g} a year, stated: {source} ({why})"
    worn = ride.value / low
    said = f"{worn:.3g} a year by its fatigue life: retired after {_round(low)} {unit} at {ride.value:g} {unit} a year"
    if stated is None:
        return worn, said
    return max(stated, worn), f"{said}; stated {stated:.3g} a year ({source}); the larger is taken"


def _round(value: float) -> str:
    """Three figures, thousands apart."""
    return f"{float(f'{value:.3g}'):,.0f}".replace(",", " ")


def _item(made: Made, found: PartMade, each: float, demand: Demand) -> Item:
    rate = each * made.part.making.quantity * demand.fleet
    assert demand.absence is not None
    assert found.mass is not None
    return Item(made.part.name, rate * demand.absence / YEAR, found.mass, found.mass + (found.support_mass or 0.0))


def _plan(made: Made, found: PartMade, each: float, demand: Demand, workshop: Workshop) -> SparePlan:
    """Printing on demand, a base stock of printed pieces, and a last order of the cheapest other process."""
    rate = each * made.part.making.quantity * demand.fleet
    mean, name = rate * demand.years, made.part.name
    if mean == 0:
        return SparePlan(name, 0.0, 0.0, 0.0, 0.0, 0, 0.0, 0, "", "no demand: nothing is to be kept")
    stock = base_stock(rate * (ORDER_TIME + found.bed_seconds) / YEAR, SERVICE)
    prices = workshop.prices.values
    if found.cost.total is None or "interest" not in prices or "holding" not in prices:
        return SparePlan(name, rate, mean, None, None, stock, None, 0, "", "costs are not known: a price is missing")
    piece, interest, holding = found.cost.total.value, prices["interest"].value, prices["holding"].value
    worth = demand.years if interest == 0 else (1 - math.exp(-interest * demand.years)) / interest
    demanded = rate * piece * worth
    held = demanded + stock * piece * (1 - math.exp(-interest * demand.years) + holding * worth)
    best, process, pieces = None, "", 0
    for course in found.courses:
        if course.piece is None or course.tooling is None:
            continue
        order = last_order(
            rate, demand.years, course.piece.value, piece, interest=interest, holding=holding,
            fixed=course.tooling.value, least=course.minimum_order,
        )  # fmt: skip
        if order.pieces and (best is None or order.cost < best):
            best, process, pieces = order.cost, course.process, order.pieces
    ways = {"print on demand": demanded, "keep printed pieces": held}
    if best is not None:
        ways[f"one order of {pieces} by {process}"] = best
    cheapest = min(ways, key=lambda w: ways[w])
    words = f"cheapest: {cheapest}; a printed stock of {stock} meets {SERVICE:.0%} of demands at once"
    return SparePlan(name, rate, mean, demanded, held, stock, best, pieces, process, words)
