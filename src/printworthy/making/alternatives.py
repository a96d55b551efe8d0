"""The same part by other processes: cost, tooling, calendar, where printing stops being cheaper or faster.

course(card, part, ...)   one process for one part
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from printworthy.inputs import MakingCard, Quantity, Quote
from printworthy.making.cost import HOUR, YEAR, drawn, spread
from printworthy.results import Course, Spread

NEEDED = ("lead_time", "pieces", "minimum_order", "tooling_change", "lead_time_change")


@dataclass(frozen=True, slots=True)
class Workpiece:
    """What other processes need to know of a part: volume [cm3], sides [cm] of its box in order of length."""

    volume: float
    box: tuple[float, float, float]

    @property
    def shadow(self) -> float:
        """Area [cm2] of the largest side of the box: what a die or mould must hold."""
        _, b, c = sorted(self.box)
        return b * c


def break_even(printed: float, tooling: float, piece: float) -> float | None:
    """Number from which a process with `tooling` and `piece` costs less than printing each for `printed`; a real
    number, None where it never does: tooling / (printed - piece)."""
    return tooling / (printed - piece) if printed > piece else None


def overtaken(lead: float, every: float, print_every: float) -> float | None:
    """Time [s] at which a process that delivers a piece `every` [s] after `lead` [s] has delivered as many as printing
    that delivers one every `print_every` [s] from the start; None where it never has."""
    return lead / (1 - every / print_every) if every < print_every else None


def delivered(times: np.ndarray, lead: float, every: float) -> np.ndarray:
    """Pieces delivered by `times` (n,) [s]: none before `lead` [s], then one `every` [s]."""
    return np.floor(np.maximum(0.0, times - lead) / every + (times >= lead))


def tooling_with_changes(tooling: float, share: float, changes: float) -> float:
    """Tooling paid over a run with design changes: `share` of it again at each."""
    return tooling * (1 + share * changes)


def estimate(
    x: Mapping[str, float | np.ndarray], part: Workpiece, density: float, price: float | np.ndarray
) -> tuple[float | np.ndarray, float | np.ndarray]:
    """Cost of a piece and of the tooling [EUR] by a process card's values; density [g/cm3], price [EUR/kg].

    A part cut from its box (`billet` 1) pays the box's material and the hours of removing the rest; others pay the
    part's material over the yield.
    """

    def value(name: str) -> float | np.ndarray:
        return x.get(name, 0.0)

    mass = part.volume * density / 1000
    billet = math.prod(part.box) * density / 1000
    cut = value("billet")
    stuff = cut * billet + (1 - cut) * mass / x.get("yield", 1.0)
    hours: float | np.ndarray = 0.0
    if "removal" in x:
        hours = cut * (math.prod(part.box) - part.volume) * 1000 / x["removal"] / HOUR
    piece = stuff * price + value("piece") + value("piece_by_mass") * mass + hours * value("machine_hour")
    return piece, value("tooling") + value("tooling_by_shadow") * part.shadow


def course(
    card: MakingCard, part: Workpiece, density: Quantity | None, price: Quantity | None, printed: float | None,
    print_every: float | None, quote: Quote | None = None, changes: float = 0.0,
) -> Course:  # fmt: skip
    """One process for one part against printing at `printed` [EUR] each, one every `print_every` [s].

    What is not known stays None and is named; an offer (`quote`) stands in place of the card's estimates.
    """
    missing = [f"{name.replace('_', ' ')} of {card.title.lower()}" for name in NEEDED if name not in card.values]
    missing += [f"density of {card.material}"] if density is None else []
    needs_price = quote is None or quote.piece is None
    missing += [f"price of {card.material}"] if price is None and needs_price else []
    piece, tooling = _money(card, part, density, price, quote)
    lead = card.number("lead_time") if quote is None or quote.lead_time is None else quote.lead_time
    a_year = card.number("pieces") if quote is None or quote.pieces is None else quote.pieces
    least = card.number("minimum_order") if quote is None or quote.minimum_order is None else quote.minimum_order
    every = YEAR / a_year if a_year else None
    share = card.number("tooling_change")
    change = None if tooling is None or share is None else share * tooling.value
    cheaper = None
    if piece is not None and tooling is not None and share is not None and printed is not None:
        cheaper = break_even(printed, tooling_with_changes(tooling.value, share, changes), piece.value)
    faster = None
    if lead is not None and every is not None and print_every is not None:
        faster = overtaken(lead, every, print_every)
    source = quote.source if quote else "estimate from the process card"
    return Course(
        card.name, card.title, card.material,
        None if density is None else part.volume * density.value / 1000,
        piece, tooling, lead, every, max(1, int(least or 1)), cheaper, faster, source, tuple(missing), change,
        card.number("lead_time_change"), words(card.title, cheaper, piece, printed),
    )  # fmt: skip


def _money(
    card: MakingCard, part: Workpiece, density: Quantity | None, price: Quantity | None, quote: Quote | None
) -> tuple[Spread | None, Spread | None]:
    """Cost of a piece and of the tooling, each with its interval, or None."""
    piece: Spread | None = None
    tooling: Spread | None = None
    if density is not None and price is not None:
        known = {**card.values, "material price": price}
        stated = {name: q.value for name, q in known.items()}
        draws = drawn(known)
        nominal = estimate(stated, part, density.value, stated["material price"])
        every = estimate(draws, part, density.value, draws["material price"])
        piece, tooling = (
            spread(float(n), np.broadcast_to(np.asarray(e), (1,) if np.ndim(e) == 0 else np.shape(e)))
            for n, e in zip(nominal, every, strict=True)
        )
    if quote is not None and quote.piece is not None:
        piece = Spread(quote.piece, quote.piece, quote.piece)
    if quote is not None and quote.tooling is not None:
        tooling = Spread(quote.tooling, quote.tooling, quote.tooling)
    return piece, tooling


def words(title: str, cheaper: float | None, piece: Spread | None, printed: float | None) -> str:
    """One line on where a process pays."""
    if piece is None or printed is None:
        return f"{title}: cost not known, so no comparison"
    if cheaper is None:
        return f"{title}: a piece costs more than a printed one at any number"
    return f"{title}: cheaper than printing from {math.floor(cheaper) + 1} pieces on"
