"""Hole in a wide plate of a print whose layers lie at an angle to the pull, by the map of build directions.

S. G. Lekhnitskii, Anisotropic Plates, Gordon and Breach 1968, chapter 6 (edge stress for a pull at an angle to the
material's axes, from memory; it gives the tabulated values at 0 and 90 degrees and Kirsch's for an isotropic plate).
"""

from __future__ import annotations

from functools import cache
from math import cos, pi, radians, sin, sqrt
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import numpy as np
import pytest
from compare import Source, compare

from printworthy.inputs import Load, Support
from printworthy.strength import DirectionMap, Settings, direction_map
from printworthy.strength.hot import full_strains
from printworthy.strength.reduced import coefficients, frames_of
from printworthy.strength.elastic import part_stiffness
from specimens import Array, Specimen, card, design_values, plane, solid, specimen

SOURCE = Source(
    "Lekhnitskii 1968, hole in a turned plate by the map of directions",
    "fibre-filled 8000/2500/0.38/1000; plate 30 radii wide",
    "from memory",
)
HALF, ARCS = 15.0, 240  # [hole radii], edges of the hole
E1, E2, NU, G = 8000.0, 2500.0, 0.38, 1000.0
DESIGN = design_values(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=70.0)
FEW = Settings(directions=60, random_checks=3, runners_up=1, worst_estimates=1)
SOFT = 1e-6


def edge_stress(pull: float, place: float) -> float:
    """Edge stress over far stress; angles [rad] of the pull and of the place from the layers, in the plate's plane."""
    k = sqrt(E1 / E2)
    n = sqrt(2 * (k - NU) + E1 / G)
    c, s, cp, sp = cos(place), sin(place), cos(pull), sin(pull)
    softness = s**4 / E1 + c**4 / E2 + (1 / G - 2 * NU / E1) * s * s * c * c
    even = (-cp * cp + (k + n) * sp * sp) * k * c * c + ((1 + n) * cp * cp - k * sp * sp) * s * s
    return (even - n * (1 + k + n) * sp * cp * s * c) / (softness * E1)


@cache
def plate() -> Specimen:
    """A thin square plate with a hole of radius 1 about the origin, pulled by 1 MPa along x; it floats."""
    corners = [occ.Pnt(x, y, 0) for x, y in ((-HALF, -HALF), (HALF, -HALF), (HALF, HALF), (-HALF, HALF))]
    outline = occ.Wire([occ.Segment(corners[i - 1], corners[i]) for i in range(4)])
    at = [occ.Pnt(cos(a), sin(a), 0) for a in np.arange(2 * ARCS) * pi / ARCS]
    arcs = [occ.ArcOfCircle(at[i - 2], at[i - 1], at[i]) for i in range(2, 2 * ARCS, 2)]
    arcs.append(occ.ArcOfCircle(at[-2], at[-1], at[0]))
    body = (occ.Face(outline) - occ.Face(occ.Wire(arcs))).Extrude(0.05 * occ.Z)
    with TemporaryDirectory() as folder:
        meshed = solid(body, Path(folder), 4.0)
    faces = {
        "left": plane((-HALF, 0, 0), (-1, 0, 0)),
        "right": plane((HALF, 0, 0), (1, 0, 0)),
        "z0": plane((0, 0, 0), (0, 0, -1)),
    }
    supports = [Support("z0", "sliding"), Support("left", "foundation", SOFT, SOFT)]
    pull = [Load("pressure", n, value=-1.0) for n in ("left", "right")]
    return specimen(meshed, card(E1, E2, 0.36, NU, G), faces, supports, pull)


@cache
def mapped() -> DirectionMap:
    return direction_map(plate().model, DESIGN, FEW, lambda stage, share: None)


@pytest.mark.parametrize("pull", [0, 30, 45, 60, 90])
def test_edge_of_the_hole(pull: int) -> None:
    """The pull runs along x; the card is turned by -pull about z, its build direction lies in the plate."""
    assert mapped().reached
    build = np.array([sin(radians(pull)), cos(radians(pull)), 0.0])
    q = coefficients(mapped().basis, frames_of(build[None]))[0]
    inner = len(plate().model.sampler.weights)
    stress: Array = full_strains(mapped().basis, q)[0].T[inner:] @ part_stiffness(plate().model.stiffness, build)
    for place in (0, 90, 135):  # from the pull; multiples of the hole's edges
        x = radians(place)
        s = stress[plate().nearest((cos(x), sin(x), 0))]
        edge = s[0] * sin(x) ** 2 + s[1] * cos(x) ** 2 - 2 * s[5] * sin(x) * cos(x)
        peak = abs(edge_stress(radians(pull), radians(pull + 90)))
        words = f"layers at {pull} deg to the pull, edge at {place} deg from it [-]"
        compare(edge, edge_stress(radians(pull), radians(pull + place)), abs=0.03 * peak, source=SOURCE, quantity=words)
