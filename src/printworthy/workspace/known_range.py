"""Coupons against the card of their material: strengths it shows in no state mean another unit or another material."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from printworthy.errors import CardError
from printworthy.inputs import CouponSet, MaterialCard

# A printer may be poor or a filler new, but not by this much against the ends of the card's range; own reasoning.
BELOW_CARD, ABOVE_CARD = 0.1, 3.0


def against_cards(sets: Sequence[CouponSet], cards: Mapping[str, MaterialCard]) -> Iterator[CardError]:
    """Sets whose strengths are not those of their material in any state: another unit, another material."""
    for s in sets:
        low, high = _ends(s, cards)
        least, most = min(s.strengths), max(s.strengths)
        odd = most if most > ABOVE_CARD * high else least if least < BELOW_CARD * low else None
        if odd is not None:
            what = f'set "{s.name}" breaks at {odd:.3g} MPa, the card of {s.material} knows {low:.3g} to {high:.3g} MPa'
            do = f"Check unit and material; if it is right, write a card of your own, cards/{s.material}.toml"
            yield CardError(what, where=s.place, do=do)


def _ends(s: CouponSet, cards: Mapping[str, MaterialCard]) -> tuple[float, float]:
    """Lowest and highest strength [MPa] that a card leaves possible for a pull; without one, anything."""
    lows = ("strength_in_layer",) if s.direction == "in layer" else ("strength_through",)
    highs = ("strength_through",) if s.direction == "between layers" else ("strength_in_layer",)
    values = cards[s.material].values if s.material in cards else {}
    low = [q.value if q.low is None else q.low for q in (values[n] for n in lows if n in values)]
    high = [q.value if q.high is None else q.high for q in (values[n] for n in highs if n in values)]
    return min(low, default=0.0), max(high, default=math.inf)
