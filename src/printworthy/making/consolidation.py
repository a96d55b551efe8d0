"""Several parts made as one print: what goes with their joints, and what new risks come.

merged(stated, parts)  -> results.Merged
"""

from __future__ import annotations

from collections.abc import Mapping

from printworthy.inputs import Consolidation, Prices
from printworthy.making.cost import HOUR
from printworthy.results import Merged, PartMade

RISKS = (
    "one flaw anywhere spoils the whole: the inspection of the largest part holds for all of it",
    "supports between what were separate parts may not come out: look for a way to each of them",
    "a repair replaces the whole piece, and the spare is that much larger",
    "one build direction for all: what was turned to its best before no longer is",
)


def merged(stated: Consolidation, parts: Mapping[str, PartMade], prices: Prices) -> Merged:
    """Mass and cost before and after. What is not known is named and makes the sum unknown, never zero."""
    missing: list[str] = []

    def known(name: str, value: float | None, count: float = 1.0) -> float | None:
        if count and value is None:
            missing.append(name)
        return 0.0 if not count else None if value is None else value * count

    before = [parts.get(name) for name in stated.parts]
    missing += [f"{n} as a printed part" for n, p in zip(stated.parts, before, strict=True) if p is None]
    after = parts.get(stated.into)
    missing += [f"{stated.into} as a printed part"] if after is None else []
    labour = prices.values.get("labour")
    hours = None if stated.assembly is None or labour is None else stated.assembly / HOUR * labour.value
    masses = [None if p is None else p.mass for p in before]
    masses += [known(f"mass of {b.name}", b.mass) for b in stated.bought]
    masses.append(known("mass of a fastener", stated.fastener_mass, stated.fasteners))
    costs = [None if p is None or p.cost.total is None else p.cost.total.value for p in before]
    costs += [known(f"price of {b.name}", b.price) for b in stated.bought]
    costs.append(known("price of a fastener", stated.fastener_price, stated.fasteners))
    costs.append(known("price of a seal", stated.seal_price, stated.seals))
    costs.append(known("assembly time, or the price of labour", hours))
    pieces = len(stated.parts) + len(stated.bought) + stated.fasteners + stated.seals
    gains = [f"{pieces} pieces become 1"]
    gains += [f"{b.name} is not bought any more ({b.source})" for b in stated.bought]
    gains += [f"{stated.fasteners} fasteners vanish"] if stated.fasteners else []
    gains += [f"{stated.seals} seals vanish"] if stated.seals else []
    if after is not None and after.cost.total is None:
        missing.append(f"cost of {stated.into}")
    return Merged(
        stated.name, stated.into, (pieces, 1),
        (total(masses), after.mass if after else None),
        (total(costs), after.cost.total.value if after and after.cost.total else None),
        stated.assembly, tuple(gains), RISKS, tuple(dict.fromkeys(missing)),
    )  # fmt: skip


def total(values: list[float | None]) -> float | None:
    """A sum, or None where one of its terms is not known."""
    return None if any(v is None for v in values) else sum(v for v in values if v is not None)
