"""Evidence: material cards and coupons -> design values, each with the steps that made it."""

from __future__ import annotations

from printworthy.evidence.best import best_values
from printworthy.evidence.capability import capability
from printworthy.evidence.coupons import LowerLimit, between_batch_limit, lower_limit, tolerance_factor
from printworthy.evidence.design import design_values
from printworthy.evidence.knockdown import modulus_at_hdt, relief, temperature_factor
from printworthy.evidence.study import studies
from printworthy.evidence.weighing import weight

__all__ = [
    "LowerLimit",
    "best_values",
    "between_batch_limit",
    "capability",
    "design_values",
    "lower_limit",
    "modulus_at_hdt",
    "relief",
    "studies",
    "temperature_factor",
    "tolerance_factor",
    "weight",
]
