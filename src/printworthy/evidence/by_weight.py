"""Printed against other processes by weight: strength and stiffness over density, and scatter, of a person's coupons
beside cast and wrought metal and the same polymer moulded. Typical values of cards stand beside means, not limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from printworthy.evidence.study import Study
from printworthy.inputs import MaterialCard

METALS = ("al-a380-die-cast", "al-6061-t6", "mild-steel")
MODULUS = {"in layer": "modulus_in_layer", "between layers": "modulus_through"}


@dataclass(frozen=True, slots=True)
class ByWeight:
    """`strength` [MPa] and `modulus` [MPa], each over density [kN m/kg, MN m/kg]; `scatter` [-]; `n` coupons, 0: from a
    card. None: not known. `measured`: the modulus comes from pull curves, else from a card."""

    name: str
    strength: float
    modulus: float | None
    measured: bool
    by_strength: float | None
    by_modulus: float | None
    scatter: float | None
    n: int


def by_weight(
    studies: Sequence[Study], cards: Mapping[str, MaterialCard], moulded: float | None = None
) -> tuple[ByWeight, ...]:
    """One row for each pull in the layer or between layers, then the polymer moulded where its strength is stated
    (`moulded` [MPa], else the card's), then the metals."""
    pulled = [s for s in studies if s.direction in MODULUS and not s.impact]
    materials = dict.fromkeys(s.material for s in pulled)
    found = [_pulled(s, cards.get(s.material)) for s in pulled]
    for name in materials:
        found += _moulded(name, cards.get(name), moulded)
    return (*found, *(_metal(cards[m]) for m in METALS if m in cards)) if found else ()


def _pulled(s: Study, card: MaterialCard | None) -> ByWeight:
    stated = card.number(MODULUS[s.direction]) if card is not None else None
    modulus = float(np.mean(s.moduli)) if s.moduli else stated
    scatter = s.cv if len(s.values) > 1 else None
    return _row(s.title, s.mean, modulus, card, scatter, n=len(s.values), measured=bool(s.moduli))


def _moulded(name: str, card: MaterialCard | None, stated: float | None) -> Iterator[ByWeight]:
    strength = stated or (card.number("moulded_strength") if card is not None else None)
    if strength is not None:
        yield _row(f"{name}, moulded", strength, None, card, None)


def _metal(card: MaterialCard) -> ByWeight:
    strength, modulus = card.number("ultimate_strength"), card.number("modulus_in_layer")
    return _row(f"{card.title}, typical", strength or float("nan"), modulus, card, card.number("strength_scatter"))


def _row(
    name: str, strength: float, modulus: float | None, card: MaterialCard | None, scatter: float | None, *,
    n: int = 0, measured: bool = False,
) -> ByWeight:  # fmt: skip
    density = card.number("density") if card is not None else None
    stiff = None if density is None or modulus is None else modulus / density / 1000
    return ByWeight(
        name, strength, modulus, measured, None if density is None else strength / density, stiff, scatter, n
    )
