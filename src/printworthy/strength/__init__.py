"""Anisotropic strength: elastic model, build directions, criteria, utilisation."""

from printworthy.strength.margin import metal_utilisation, skin_utilisation, utilisation
from printworthy.strength.system import Model, model, prepared, solve

__all__ = ["Model", "metal_utilisation", "model", "prepared", "skin_utilisation", "solve", "utilisation"]
