"""The most that the same evidence leaves possible. A part that fails even with these values may be refused by a card
alone; one that passes only with these values is not decided."""

from __future__ import annotations

from dataclasses import replace

from printworthy.evidence.coupons import SMALLEST
from printworthy.evidence.knockdown import best_moisture
from printworthy.evidence.values import high_end, needed, rule
from printworthy.inputs import MaterialCard, Rules
from printworthy.results import DesignValue, DesignValues


def best_values(card: MaterialCard, design: DesignValues, rules: Rules) -> DesignValues:
    """Highest plausible strengths behind `design`: coupon means instead of limits, high ends of the card, no heat taken
    off (strength does not rise on heating, so one is the most), and the largest shares instead of the low bounds."""
    x = _tension(design.in_layer, card, "strength_in_layer")
    z = _tension(design.between, card, "strength_through")
    squeeze = rule(rules, "compression_share_most") * x.value
    shear = max(
        rule(rules, "interlayer_shear_of_z_most") * z.value, rule(rules, "interlayer_shear_of_x_most") * x.value
    )
    x1 = xc1 = None
    if design.along is not None and design.compression_along is not None:
        x1 = _tension(design.along, card, "strength_along")
        most = rule(rules, "compression_share_most") * x1.value
        xc1 = _other(design.compression_along, card, "compression_along", most)
    return DesignValues(
        material=design.material,
        in_layer=x,
        between=z,
        shear_between=_other(design.shear_between, card, "shear_between_layers", shear),
        shear_in_layer=_other(design.shear_in_layer, card, "shear_in_layer", x.value),
        compression_in_layer=_other(design.compression_in_layer, card, "compression_in_layer", squeeze),
        compression_between=_other(design.compression_between, card, "compression_through", squeeze),
        along=x1,
        compression_along=xc1,
        shares=design.shares,
    )


def _tension(used: DesignValue, card: MaterialCard, name: str) -> DesignValue:
    if used.n >= SMALLEST:
        dry = any(step.kind == "moisture" for step in used.steps)
        return _at_most(used, used.start * (best_moisture(card) if dry else 1.0), "mean of the coupons")
    return _at_most(used, high_end(needed(card, name)), "high end of the card")


def _other(used: DesignValue, card: MaterialCard, name: str, most: float) -> DesignValue:
    stated = high_end(card.values[name]) if name in card.values else 0.0
    return _at_most(used, max(stated, most), "most that is plausible")


def _at_most(used: DesignValue, value: float, basis: str) -> DesignValue:
    value = max(value, used.value)
    return replace(used, value=value, start=value, steps=(), basis=basis)
