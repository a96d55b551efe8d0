"""Loaded slices with a notch: a hole, a hole of flat facets, a square shoulder. Plane strain, pulled by 1 MPa along x.

Both sides of the slice slide, so in-plane stress is that of a plate of any thickness (Michell 1899: without body forces
and with balanced edges it does not depend on the elastic constants) and no peak hides in the thickness.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import netgen.occ as occ
import numpy as np

from printworthy import shape
from printworthy.inputs import Geometry, MaterialCard, Quantity
from printworthy.shape import Solid
from printworthy.strength import Prepared, model
from printworthy.strength.criteria import Strengths
from printworthy.strength.refine import Rung, rung
from specimens import Load, Specimen, Support, design_values, isotropic_card, plane, solid, specimen

HUGE = 1e6
UNIT = design_values(1.0, HUGE, HUGE, HUGE, HUGE, HUGE)  # utilisation is the largest principal stress [MPa]
CARD = isotropic_card(2000.0, 0.3)


def tough(length: float) -> MaterialCard:
    """The card with the toughness whose critical length is `length` [mm] at a strength of 1 MPa."""
    k = (np.pi * length / 1000) ** 0.5
    return replace(CARD, values={**CARD.values, "toughness_in_layer": Quantity(k, "MPa m^0.5", "test", "invented")})


def from_triangles(body: Any, folder: Path, size: float) -> Solid:
    """The body by way of an STL file."""
    body.WriteStep(str(folder / "part.step"))
    flats = shape.read(Geometry(folder / "part.step")).surface.corners
    lines = [f"facet normal 0 0 0\nouter loop\n{_vertices(c)}\nendloop\nendfacet" for c in flats]
    (folder / "part.stl").write_text("\n".join(["solid part", *lines, "endsolid part"]))
    return shape.mesh(shape.read(Geometry(folder / "part.stl", unit="mm")), element_size=size)


def _vertices(corners: np.ndarray) -> str:
    return "\n".join(f"vertex {x:.9g} {y:.9g} {z:.9g}" for x, y, z in corners)


def slice_of(body: Any, far: float, thickness: float, size: float, *, stl: bool = False) -> Specimen:
    """A quarter slice on its planes of symmetry x = 0 and y = 0, pulled at x = `far`."""
    with TemporaryDirectory() as folder:
        made = (from_triangles if stl else solid)(body, Path(folder), size)
    faces = {
        "x0": plane((0, 0, 0), (-1, 0, 0)),
        "y0": plane((0, 0, 0), (0, -1, 0)),
        "z0": plane((0, 0, 0), (0, 0, -1)),
        "z1": plane((0, 0, thickness), (0, 0, 1)),
        "far": plane((far, 0, 0), (1, 0, 0)),
    }
    supports = [Support(name, "sliding") for name in ("x0", "y0", "z0", "z1")]
    return specimen(made, CARD, faces, supports, [Load("pressure", "far", value=-1.0)])


def faceted_hole(facets: int, height: float, turn: float = 0.5) -> Any:
    """A prism over the polygon inscribed in the circle of radius 1, its first corner `turn` steps from the x axis."""
    angles = [2 * np.pi * (i + turn) / facets for i in range(facets)]
    corners = [occ.Pnt(np.cos(a), np.sin(a), -1) for a in angles]
    ring = [occ.Segment(p, q) for p, q in zip(corners, corners[1:] + corners[:1], strict=True)]
    return occ.Face(occ.Wire(ring)).Extrude((height + 2) * occ.Z)


def holed_body(length: float, width: float, thickness: float, facets: int = 0, turn: float = 0.5) -> Any:
    """Quarter plate with a hole of radius 1 about the origin, round or of flat facets."""
    round_ = occ.Cylinder((0, 0, -1), occ.Z, r=1, h=thickness + 2)
    tool = faceted_hole(facets, thickness, turn) if facets else round_
    return occ.Box((0, 0, 0), (length, width, thickness)) - tool


@cache
def holed(
    length: float, width: float, thickness: float, size: float, facets: int = 0, *, turn: float = 0.5, stl: bool = False
) -> Specimen:
    """The quarter plate with a hole, meshed and loaded."""
    return slice_of(holed_body(length, width, thickness, facets, turn), length, thickness, size, stl=stl)


@cache
def shoulder(thickness: float, size: float) -> Specimen:
    """Quarter of a bar of height 8 that steps down to 4 at x = 5: a re-entrant corner of 90 degrees at (5, 2)."""
    body = occ.Box((0, 0, 0), (5, 4, thickness)) + occ.Box((0, 0, 0), (10, 2, thickness))
    return slice_of(body, 10, thickness, size)


def ready(of: Specimen) -> Prepared:
    return Prepared(of.model.space, of.model.sampler)


def first_rung(of: Specimen, at: Prepared | None = None) -> Rung:
    """The specimen solved, on its own mesh or on another of the same part."""
    up = (0, 0, 1)
    return rung(model(at or ready(of), of.model.part, CARD, up), Strengths.of(UNIT), up, 1.0)
