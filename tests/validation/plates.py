"""A quarter of a plate with a central hole, thin against the hole, pulled one way or the other.

The outline is cut into short edges at the hole and longer ones away from it: the mesher follows them.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from math import cos, pi, sin
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import netgen.occ as occ

from printworthy.inputs import Load, Support
from specimens import Specimen, graded, isotropic_card, plane, solid, specimen

ARCS = 60
GROWTH = 1.1
PULLS = ("along x", "along y")  # the two cases of `plate`


def quarter(length: float, width: float, thickness: float, arcs: int = ARCS, growth: float = GROWTH) -> Any:
    """OCC body: 0 < x < length, 0 < y < width, without the hole of radius 1 about the origin."""
    angles = [0.5 * pi * i / arcs for i in range(arcs + 1)]
    round_ = [occ.Pnt(cos(a), sin(a), 0) for a in angles]
    middle = [occ.Pnt(cos(a + 0.25 * pi / arcs), sin(a + 0.25 * pi / arcs), 0) for a in angles]
    round_walls = [occ.ArcOfCircle(round_[i], middle[i], round_[i + 1]) for i in range(arcs)]
    side = [round_[-1], *(occ.Pnt(0, y, 0) for y in graded(1, width, 0.5 * pi / arcs, growth)[1:])]
    foot = [round_[0], *(occ.Pnt(x, 0, 0) for x in graded(1, length, 0.5 * pi / arcs, growth)[1:])]
    chain = [*side, occ.Pnt(length, width, 0), *reversed(foot)]
    lines = [occ.Segment(p, q) for p, q in pairwise(chain)]
    return occ.Face(occ.Wire([*round_walls, *lines])).Extrude(thickness * occ.Z)


@cache
def plate(length: float, width: float, thickness: float = 0.05, arcs: int = ARCS, growth: float = GROWTH) -> Specimen:
    """The quarter plate of an isotropic material, half its thickness modelled, pulled by 1 MPa along x and along y."""
    with TemporaryDirectory() as folder:
        body = solid(quarter(length, width, thickness, arcs, growth), Path(folder), min(length, width) / 5)
    faces = {
        "x0": plane((0, 0, 0), (-1, 0, 0)),
        "y0": plane((0, 0, 0), (0, -1, 0)),
        "z0": plane((0, 0, 0), (0, 0, -1)),
        "far x": plane((length, 0, 0), (1, 0, 0)),
        "far y": plane((0, width, 0), (0, 1, 0)),
    }
    supports = [Support(n, "sliding") for n in ("x0", "y0", "z0")]
    pulls = [[Load("pressure", n, value=-1.0)] for n in ("far x", "far y")]
    return specimen(body, isotropic_card(2000.0, 0.3), faces, supports, *pulls)
