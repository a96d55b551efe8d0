"""Spares of a fleet over its years, and kits for an absence, from failure rates that a person stated.

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
    words = [
        f"{made.part.name}: no failure rate is stated, so its spares are not known"
        for made, _ in parts
        if made.part.making.failure_rate is None
    ]
    words += [f"{made.part.name}: {made.word}, so no printed spares of it are planned" for made, _ in parts
              if not made.printable]  # fmt: skip
    rated = [(m, f) for m, f in parts if m.part.making.failure_rate is not None and m.printable]
    plans = tuple(_plan(m, f, demand, workshop) for m, f in rated) if demand.years else ()
    if not demand.years:
        words.append("no years of service are stated, so only the kit is figured")
    if not rated or demand.absence is None:
        return Spares(plans, demand.absence, demand.kit_mass, (), (), None, tuple(words))
    items = [_item(m, f, demand) for m, f in rated if f.mass]
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


def _item(made: Made, found: PartMade, demand: Demand) -> Item:
    rate = (made.part.making.failure_rate or 0.0) * made.part.making.quantity * demand.fleet
    assert demand.absence is not None
    assert found.mass is not None
    return Item(made.part.name, rate * demand.absence / YEAR, found.mass, found.mass + (found.support_mass or 0.0))


def _plan(made: Made, found: PartMade, demand: Demand, workshop: Workshop) -> SparePlan:
    """Printing on demand, a base stock of printed pieces, and a last order of the cheapest other process."""
    rate = (made.part.making.failure_rate or 0.0) * made.part.making.quantity * demand.fleet
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
