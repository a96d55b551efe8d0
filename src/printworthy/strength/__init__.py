"""Anisotropic strength: elastic model, build directions, criteria, utilisation, checks beside strength."""

from printworthy.strength.checks import mass, side_checks
from printworthy.strength.margin import metal_utilisation, skin_utilisation, utilisation
from printworthy.strength.system import Model, Prepared, model, prepared, solve

__all__ = [
    "Model",
    "Prepared",
    "mass",
    "metal_utilisation",
    "model",
    "prepared",
    "side_checks",
    "skin_utilisation",
    "solve",
    "utilisation",
]
