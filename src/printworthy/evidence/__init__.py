"""Evidence: material cards and coupons -> design values, each with the steps that made it."""

from __future__ import annotations

from printworthy.evidence.best import best_values
from printworthy.evidence.by_weight import ByWeight, by_weight
from printworthy.evidence.capability import capability
from printworthy.evidence.claims import Compared, coupon_claims
from printworthy.evidence.coupons import LowerLimit, between_batch_limit, lower_limit, tolerance_factor
from printworthy.evidence.creep import kept_share
from printworthy.evidence.design import design_values
from printworthy.evidence.knockdown import modulus_at_hdt, relief, temperature_factor
from printworthy.evidence.measured_moduli import MeasuredModuli, measured_moduli
from printworthy.evidence.oblique import oblique_studies
from printworthy.evidence.study import for_share, studies, untested
from printworthy.evidence.weighing import weight

__all__ = [
    "ByWeight",
    "Compared",
    "LowerLimit",
    "MeasuredModuli",
    "best_values",
    "between_batch_limit",
    "by_weight",
    "capability",
    "coupon_claims",
    "design_values",
    "for_share",
    "kept_share",
    "lower_limit",
    "measured_moduli",
    "modulus_at_hdt",
    "oblique_studies",
    "relief",
    "studies",
    "temperature_factor",
    "tolerance_factor",
    "untested",
    "weight",
]
