"""Anisotropic strength: elastic model, build directions, criteria, utilisation, mesh error, checks beside strength."""

from printworthy.strength.budget import NEEDS, Need, machine_memory, need
from printworthy.strength.checks import buckling, mass, side_checks, volume
from printworthy.strength.conduction import conductor
from printworthy.strength.criteria import Relief
from printworthy.strength.directions import DirectionMap, Settings, direction_map
from printworthy.strength.heat import Heater, Heating, Warmth, heater, heating, relief, relieved, warmth
from printworthy.strength.lay import shares_of
from printworthy.strength.margin import metal_utilisation, skin_utilisation, utilisation
from printworthy.strength.places import governing_distance
from printworthy.strength.raster import BestRaster, best_raster, other, with_beads
from printworthy.strength.refine import bracket
from printworthy.strength.search import lay_of, search
from printworthy.strength.solution import solve, solve_together
from printworthy.strength.system import Model, Prepared, model, prepared
from printworthy.strength.turning import Turned, Turning
from printworthy.strength.zones import wall_report

__all__ = [
    "NEEDS",
    "BestRaster",
    "DirectionMap",
    "Heater",
    "Heating",
    "Model",
    "Need",
    "Prepared",
    "Relief",
    "Settings",
    "Turned",
    "Turning",
    "Warmth",
    "best_raster",
    "bracket",
    "buckling",
    "conductor",
    "direction_map",
    "governing_distance",
    "heater",
    "heating",
    "lay_of",
    "machine_memory",
    "mass",
    "metal_utilisation",
    "model",
    "need",
    "other",
    "prepared",
    "relief",
    "relieved",
    "search",
    "shares_of",
    "side_checks",
    "skin_utilisation",
    "solve",
    "solve_together",
    "utilisation",
    "volume",
    "wall_report",
    "warmth",
    "with_beads",
]
