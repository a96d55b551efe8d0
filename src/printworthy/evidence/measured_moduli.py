"""What pull curves at 0, 45 and 90 degrees to the layers let a card of one's own state: E1, E3, G13 with intervals."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from printworthy.evidence.coupons import SMALLEST
from printworthy.evidence.oblique import oblique_studies
from printworthy.evidence.shear import interval
from printworthy.inputs import CouponDirection, CouponSet, MaterialCard, Quantity, Rules

ALONE: Mapping[CouponDirection, str] = {"in layer": "modulus_in_layer", "between layers": "modulus_through"}
BEADS_MIXED = "moduli along and across the beads are averaged: the stiffness is taken as equal all round in the layer"
GIVE = "from crosshead displacement a modulus holds the machine's give and is a low one: measure strain on the coupon"


@dataclass(frozen=True, slots=True)
class MeasuredModuli:
    """Values for the card of `material` in one state, by card property; `cautions` in words."""

    material: str
    state: str
    values: Mapping[str, Quantity]
    cautions: tuple[str, ...]


def measured_moduli(
    sets: Sequence[CouponSet], cards: Mapping[str, MaterialCard], rules: Rules
) -> tuple[MeasuredModuli, ...]:
    """One for each material, temperature and moisture with three moduli or more in some direction.

    `low` and `high` end a 90 % bootstrap interval of the mean: what the mean may be, not how pieces scatter.
    """
    groups: dict[tuple[str, float, str], list[CouponSet]] = defaultdict(list)
    for s in sets:
        if s.moduli and not s.impact:
            groups[(s.material, s.temperature, s.moisture)].append(s)
    found = []
    for (material, temperature, moisture), group in groups.items():
        values = {name: q for direction, name in ALONE.items() if (q := _mean(group, direction)) is not None}
        shear = _shear(group, cards, rules)
        if shear is not None:
            values["shear_modulus_through"] = shear
        if values:
            state = f"{temperature:g} degC" + ("" if moisture in ("", "not stated") else f", {moisture}")
            beads = {s.beads for s in group if s.direction == "in layer"}
            mixed = (BEADS_MIXED,) if len(beads - {""}) > 1 else ()
            found.append(MeasuredModuli(material, state, values, (*mixed, GIVE)))
    return tuple(found)


def _mean(group: Sequence[CouponSet], direction: CouponDirection) -> Quantity | None:
    own = [s for s in group if s.direction == direction]
    moduli = [m for s in own for m in s.moduli]
    if len(moduli) < SMALLEST:
        return None
    found = interval(float, moduli)
    return _quantity(found.value, found.low, found.high, f"mean of {len(moduli)} pull curves '{direction}'", own)


def _shear(group: Sequence[CouponSet], cards: Mapping[str, MaterialCard], rules: Rules) -> Quantity | None:
    """G13 where it is measured with two finite ends."""
    for study in oblique_studies(group, cards, rules):
        for f in study.figures:
            ends = (f.value, f.low, f.high)
            if f.name.startswith("G13") and not f.assumed and all(v is not None and np.isfinite(v) for v in ends):
                return _quantity(*ends, f"G13 from {f.words}", group)  # type: ignore[arg-type]
    return None


def _quantity(value: float, low: float, high: float, how: str, sets: Sequence[CouponSet]) -> Quantity:
    sources = "; ".join(dict.fromkeys(s.source for s in sets))
    standing = "invented" if any(s.invented for s in sets) else "measured"
    return Quantity(value, "MPa", f"{how}: {sources}", standing, low, high)  # type: ignore[arg-type]
