"""What a printed piece costs, from stated prices; how sure that is, and which input it hangs on.

hour_rate, piece_items, learning, machines_needed, ...   one formula each, numbers or arrays in
cost(quantities, known)                                  -> results.Cost: interval by drawn inputs, and a tornado
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

import numpy as np

from printworthy.inputs import Quantity
from printworthy.results import Cost, Spread, Swing

DRAWS = 4000
SEED = 20_260_117
HOUR = 3600.0
YEAR = 365.25 * 86400.0  # [s], the year of `units`
Number = float | np.ndarray

# What a piece's cost needs beside the numbers of its print: (name, unit, table it stands in).
NEEDED: Mapping[str, str] = {
    "material_price": "price of the material",
    "price": "price of the printer",
    "life": "life of the printer",
    "hours_a_year": "hours the printer prints in a year",
    "maintenance": "maintenance of the printer",
    "failure_rate": "failure rate of the printer",
    "changeover": "changeover of the printer",
    "time_factor": "real over computed print time",
    "labour": "price of labour",
    "energy": "price of energy",
    "set_up": "set-up of a bed",
    "support_removal": "removal of supports",
    "support_removal_each": "removal of supports, each piece",
    "finishing": "finishing",
    "inspection": "inspection",
    "coupons": "coupons of each batch",
}


def hour_rate(price: Number, life: Number, hours: Number, maintenance: Number) -> Number:
    """Cost of a machine hour [EUR/h]: price over life [years] and hours a year, and maintenance [share a year].

    Straight line, without interest: price / (life hours) + maintenance price / hours.
    """
    return price / (life * hours) + maintenance * price / hours


def good_share(failure_rate: Number, hours: Number) -> Number:
    """Share of beds without failure: exp(-rate t), failures at a constant `failure_rate` [1/h] of printing."""
    return np.exp(-np.asarray(failure_rate) * hours)


def piece_items(
    x: Mapping[str, Number], *, mass: float, supports: float, bed_hours: float, pieces: int, kwh: float, area: float,
    support_volume: float,
) -> dict[str, Number]:  # fmt: skip
    """Cost of a piece [EUR] by item. x: `NEEDED` in EUR, h, 1/h; mass and supports [kg] of a piece; a bed of `pieces`
    takes bed_hours [h] and kwh [kWh]; area [cm2] and support_volume [cm3] of a piece.

    A spoilt bed is taken as lost at its end with its material, energy and preparation (on the safe side): all of it is
    divided by the share of good beds. Work after printing is spent on good pieces alone.
    """
    hours = bed_hours * x["time_factor"] / pieces
    rate = hour_rate(x["price"], x["life"], x["hours_a_year"], x["maintenance"])
    items = {
        "material": (mass + supports) * x["material_price"],
        "machine": hours * rate,
        "energy": kwh * x["time_factor"] / pieces * x["energy"],
        "preparation": (x["set_up"] + x["changeover"]) * x["labour"] / pieces,
    }
    spoilt = 1 / good_share(x["failure_rate"], bed_hours * x["time_factor"]) - 1
    items["spoilt prints"] = sum(items.values()) * spoilt
    removal = x["support_removal"] * support_volume + x["support_removal_each"] * (support_volume > 0)
    items["support removal"] = removal * x["labour"]
    items["finishing"] = x["finishing"] * area * x["labour"]
    items["inspection"] = x["inspection"] * x["labour"]
    items["coupons"] = x["coupons"] / pieces
    return items


def drawn(quantities: Mapping[str, Quantity], draws: int = DRAWS) -> dict[str, np.ndarray]:
    """Draws (draws,) of every quantity: triangular from low over value to high; the value where no range is stated."""
    rng = np.random.default_rng(SEED)
    found = {}
    for name, q in quantities.items():
        low, high = bounds(q)
        found[name] = rng.triangular(low, q.value, high, draws) if high > low else np.full(draws, q.value)
    return found


def bounds(q: Quantity) -> tuple[float, float]:
    """Low and high end of a quantity; the value itself where none is stated."""
    return (q.value if q.low is None else q.low, q.value if q.high is None else q.high)


def spread(value: float, draws: np.ndarray) -> Spread:
    """A value with the 5 % and 95 % ends of its draws."""
    low, high = np.percentile(draws, (5, 95))
    return Spread(value, float(low), float(high))


def cost(quantities: Mapping[str, Quantity], items: Callable[[Mapping[str, Number]], dict[str, Number]]) -> Cost:
    """Cost of a piece with its interval and tornado; not known where one of `NEEDED` is missing.

    `items` gives the cost by item from values by name.
    """
    missing = tuple(words for name, words in NEEDED.items() if name not in quantities)
    if missing:
        return Cost(None, (), (), missing, 0)
    stated = {name: q.value for name, q in quantities.items()}

    def total(values: Mapping[str, Number]) -> Number:
        return sum(items(values).values())

    every = np.asarray(total(drawn(quantities)))
    swings = []
    for name, q in quantities.items():
        ends = [float(total({**stated, name: end})) for end in bounds(q)]
        swings.append(Swing(NEEDED.get(name, name), ends[0], ends[1], q.source, q.confidence))
    swings.sort(key=lambda s: -abs(s.high - s.low))
    by_item = tuple((name, float(value)) for name, value in items(stated).items())
    return Cost(spread(sum(v for _, v in by_item), every), by_item, tuple(swings), (), DRAWS)


def unit_time(first: float, number: int, share: float) -> float:
    """Time of the n-th piece when doubling the number cuts it to `share`: T1 n^(log2 share) (Wright 1936, from
    memory)."""
    return first * number ** math.log2(share)


def machines_needed(pieces: float, hours: float, available: float, use: float) -> int:
    """Machines for `pieces` a year of `hours` each, `available` hours a year at `use` [-]: rounded up."""
    return math.ceil(pieces * hours / (available * use))
