"""What to carry where no supply comes: parts, or filament and a printer, under a limit of mass, space or money.

allocate(items)                 one piece after the other, where it helps most by unit of weight
kits(items, printer, ...)       chance that nothing lacks against mass: parts alone, and with a printer
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import pdtr, pdtrc

from printworthy.making.spares import compound
from printworthy.results import KitPoint

GRID = 400  # steps of filament mass in which its demand is counted
ENOUGH = 0.9999  # chance beyond which nothing more is added


@dataclass(frozen=True, slots=True)
class Item:
    """One kind of part in a kit: mean demand in the absence, mass [kg] of a piece (or any other weight), mass [kg] of
    filament that printing it takes (None: it cannot be printed)."""

    name: str
    mean: float
    mass: float
    filament: float | None = None


def short_gain(item: Item, stock: int) -> float:
    """What one more piece takes off the expected shortage: P(D > stock)."""
    return float(pdtrc(stock, item.mean))


def sure_gain(item: Item, stock: int) -> float:
    """What one more piece adds to the logarithm of the chance that the item does not lack."""
    return math.log(pdtr(stock + 1, item.mean)) - math.log(pdtr(stock, item.mean))


def allocate(
    items: Sequence[Item], gain: Callable[[Item, int], float] = short_gain
) -> Iterator[tuple[str, float, dict[str, int]]]:
    """Piece after piece, always the one with the largest gain for its mass: its name, total mass, stock so far.

    Marginal allocation; for gains that fall with stock every step is the best kit of its mass (Fox, Management Science
    13 (1966) 210; Sherbrooke 1992; both from memory). Without end: stop where the limit is reached.
    """
    stock = {item.name: 0 for item in items}
    asked = [item for item in items if item.mean > 0]
    total = 0.0
    while asked:
        best = max(asked, key=lambda i: gain(i, stock[i.name]) / i.mass)
        stock[best.name] += 1
        total += best.mass
        yield best.name, total, dict(stock)


def chance(items: Sequence[Item], stock: dict[str, int]) -> float:
    """Chance that none of the items lacks, their demands independent."""
    return math.prod(float(pdtr(stock[i.name], i.mean)) for i in items)


def enough_filament(items: Sequence[Item], masses: np.ndarray) -> np.ndarray:
    """Chance (n,) that filament of `masses` (n,) [kg] prints all that the items ask for.

    Compound Poisson: demands of all items together, each of its mass, rounded up to steps.
    """
    printable = [(i.mean, i.filament) for i in items if i.filament is not None and i.mean > 0]
    if not printable:
        return np.ones(len(masses))
    step = float(masses.max()) / GRID
    total = sum(mean for mean, _ in printable)
    sizes = np.zeros(max(math.ceil(filament / step) for _, filament in printable))
    for mean, filament in printable:
        sizes[max(1, math.ceil(filament / step)) - 1] += mean / total
    reached = np.cumsum(compound(total, list(sizes), GRID))
    return np.asarray(reached[np.floor(masses / step + 1e-9).astype(int)])


def kits_of_parts(items: Sequence[Item]) -> tuple[KitPoint, ...]:
    """Chance against mass of kits of parts alone, from none to where almost nothing lacks."""
    none = {item.name: 0 for item in items}
    points = [KitPoint(0.0, chance(items, none), (), 0.0, False)]
    for _, mass, stock in allocate(items, sure_gain):
        points.append(KitPoint(mass, chance(items, stock), carried(stock), 0.0, False))
        if points[-1].availability >= ENOUGH:
            break
    return tuple(points)


def kits_with_printer(items: Sequence[Item], printer: float, works: float) -> tuple[KitPoint, ...]:
    """The same with a printer of mass `printer` [kg] that works through the absence with chance `works`, filament for
    the parts that can be printed, and pieces of the others.

    Filament comes in steps; for each the pieces of the others are added while they help more by mass than filament
    does. If the printer fails nothing that has to be printed is there: then the kit counts as lacking.
    """
    printable = [i for i in items if i.filament is not None]
    others = [i for i in items if i.filament is None]
    mean = sum(i.mean * (i.filament or 0.0) for i in printable)
    largest = max((i.filament or 0.0 for i in printable), default=0.0)
    masses = np.linspace(0.0, 3 * mean + 6 * largest, GRID + 1) if printable else np.zeros(1)
    sure = enough_filament(items, masses) if printable else np.ones(1)
    stocks = [(0.0, {i.name: 0 for i in others})]
    stocks += [(mass, stock) for (_, mass, stock), _ in zip(allocate(others, sure_gain), range(200), strict=False)]
    points = []
    for mass, stock in stocks:
        own = chance(others, stock)
        for k in range(0, len(masses), 4):
            total = printer + mass + float(masses[k])
            points.append(KitPoint(total, works * own * float(sure[k]), carried(stock), float(masses[k]), True))
        if own >= ENOUGH:
            break
    return best_of(points)


def best_of(points: Sequence[KitPoint]) -> tuple[KitPoint, ...]:
    """Points that no lighter one reaches, by mass."""
    kept: list[KitPoint] = []
    for point in sorted(points, key=lambda p: (p.mass, -p.availability)):
        if not kept or point.availability > kept[-1].availability + 1e-6:
            kept.append(point)
    return tuple(kept)


def carried(stock: dict[str, int]) -> tuple[tuple[str, int], ...]:
    """What a stock holds, without what it does not."""
    return tuple((name, count) for name, count in stock.items() if count)


def heaviest_within(points: Sequence[KitPoint], limit: float) -> KitPoint | None:
    """The surest kit within a limit of mass [kg], or None."""
    inside = [p for p in points if p.mass <= limit]
    return max(inside, key=lambda p: p.availability) if inside else None
