"""Hole in a wide plate of a print, its card turned along and across the pull, by the map of build directions.

S. G. Lekhnitskii, Anisotropic Plates, Gordon and Breach 1968, chapter 6 (formulas from memory; values computed outside
this package). A quarter of the plate is modelled, so that only build directions along its edges are the whole plate's.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from compare import Source, compare
from plates import plate

from printworthy.strength import DirectionMap, Settings, direction_map
from printworthy.strength.elastic import part_stiffness
from printworthy.strength.hot import full_strains
from printworthy.strength.reduced import coefficients, frames_of
from specimens import Array, card, design_values

SOURCE = Source(
    "Lekhnitskii 1968, hole in an orthotropic plate by the map of directions",
    "fibre-filled 8000/2500/0.38/1000; plate 30 radii wide",
    "from memory",
)
FILLED = card(8000.0, 2500.0, 0.36, 0.38, 1000.0)
DESIGN = design_values(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=70.0)
FEW = Settings(directions=60, random_checks=3, runners_up=1, worst_estimates=1)
ALONG, ACROSS = {0: -0.5590, 90: 4.2890}, {0: -1.7889, 90: 2.8386}  # edge stress by angle from the pull
BUILDS = {"y": (0.0, 1.0, 0.0), "x": (1.0, 0.0, 0.0)}


@cache
def mapped() -> DirectionMap:
    sheet = plate(15.0, 15.0, 0.1, 36, 1.2).in_material(FILLED)
    return direction_map(sheet.model, DESIGN, FEW, lambda stage, share: None)


@pytest.mark.parametrize("build", BUILDS)
def test_edge_of_the_hole(build: str) -> None:
    """Case 1 pulls along x, case 2 along y: each is along the layers for one build direction, across for the other."""
    assert mapped().reached
    sheet, n = plate(15.0, 15.0, 0.1, 36, 1.2), np.array(BUILDS[build])
    strains = full_strains(mapped().basis, coefficients(mapped().basis, frames_of(n[None]))[0])
    for case, pull in enumerate("xy"):
        inner = len(sheet.model.sampler.weights)
        stress: Array = strains[case].T[inner:] @ part_stiffness(mapped().basis.model.stiffness, n)
        for angle, value in (ALONG if pull != build else ACROSS).items():
            on_x = (angle == 0) == (pull == "x")
            edge = stress[sheet.nearest((1, 0, 0) if on_x else (0, 1, 0))][1 if on_x else 0]
            quantity = f"built along {build}, pulled along {pull}, edge at {angle} deg from the pull [-]"
            why = "narrower and coarser than the plate that is solved exactly, to keep the test short"
            compare(edge, value, rel=0.05 if angle else 0.08, source=SOURCE, quantity=quantity, why=why)
