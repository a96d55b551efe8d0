"""Three of the standard linear-elastic benchmarks.

NAFEMS, The Standard NAFEMS Benchmarks, TNSB rev. 3, October 1990: LE1, LE10, LE11. Geometry and targets were read in
the examples of PetrKryslUCSD/FinEtoolsDeforLinear.jl (LE1NAFEMS_examples.jl and the like).

Two things there are no part of the package and are made here: a rim that is held in its plane only (LE10), and a
temperature field as an initial strain (LE11). Both go through the package's own stiffness, factor, solver and recovery.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import atan2, cos, pi, sin, sqrt
from pathlib import Path
from typing import Any

import netgen.occ as occ
import ngsolve as ng
import numpy as np
from compare import Source, compare

from printworthy.inputs import Load, Support
from printworthy.shape import Solid
from printworthy.strength import Model
from printworthy.strength.elastic import isotropic_mean
from printworthy.strength.factor import Cholesky
from printworthy.strength.space import face_dofs, strain
from printworthy.strength.supports import Supported
from printworthy.strength.system import assembled
from specimens import Array, Specimen, facets_where, graded, isotropic_card, plane, solid, specimen

FOUND = "target found in FinEtoolsDeforLinear.jl"
LE1 = Source("NAFEMS benchmark LE1, elliptic membrane", f"TNSB rev. 3, 1990; {FOUND}", "found")
LE10 = Source("NAFEMS benchmark LE10, thick plate", f"TNSB rev. 3, 1990; {FOUND}", "found")
LE11 = Source("NAFEMS benchmark LE11, cylinder, taper and sphere", f"TNSB rev. 3, 1990; {FOUND}", "found")
STEEL = isotropic_card(210e3, 0.3)
INNER, OUTER = (200.0, 100.0), (325.0, 275.0)  # a tenth of the benchmark: stress does not depend on the scale
EXPANSION = 2.3e-4


def elliptic(low: float, high: float) -> Any:
    """OCC body between the two ellipses, x > 0, y > 0, low < z < high; its outline is cut finely near (200, 0)."""
    axes = occ.gp_Ax2d(occ.gp_Pnt2d(0, 0), occ.gp_Dir2d(1, 0))
    hole = [occ.Ellipse(axes, *INNER).Trim(u, v).Edge() for u, v in pairwise(graded(0, pi / 2, 0.02, 1.3))]
    side = occ.Segment(occ.Pnt(0, INNER[1], 0), occ.Pnt(0, OUTER[1], 0))
    rim = occ.Ellipse(axes, *OUTER).Trim(0, pi / 2).Edge()
    places = pairwise(graded(INNER[0], OUTER[0], 2.0, 1.3))
    foot = [occ.Segment(occ.Pnt(x, 0, 0), occ.Pnt(next_x, 0, 0)) for x, next_x in places]
    face = occ.Face(occ.Wire([*hole, side, rim, *reversed(foot)]))
    return face.Extrude((high - low) * occ.Z).Move((0, 0, low))


def on_rim(points: Array) -> Any:
    return np.abs((points[..., 0] / OUTER[0]) ** 2 + (points[..., 1] / OUTER[1]) ** 2 - 1) < 1e-6


def test_le1(tmp_path: Path) -> None:
    """Half the thickness of 100 mm (here 10); thin, so that the plane stress of the benchmark holds."""
    body = solid(elliptic(0.0, 5.0), tmp_path, 15.0)
    held = {"x0": plane((0, 0, 0), (-1, 0, 0)), "y0": plane((0, 0, 0), (0, -1, 0)), "z0": plane((0, 0, 0), (0, 0, -1))}
    faces = {**held, "rim": facets_where(body, on_rim)}
    pull = Load("pressure", "rim", value=-10.0)
    membrane = specimen(body, STEEL, faces, [Support(n, "sliding") for n in held], [pull])
    stress = membrane.at((200, 0, 0), membrane.solve())
    compare(stress[1], 92.7, rel=0.02, source=LE1, quantity="s_yy at D [MPa]")


def test_le10(tmp_path: Path) -> None:
    body = solid(elliptic(-30.0, 0.0) + elliptic(0.0, 30.0), tmp_path, 15.0)
    faces = {
        "x0": plane((0, 0, 0), (-1, 0, 0)),
        "y0": plane((0, 0, 0), (0, -1, 0)),
        "top": plane((0, 0, 30), (0, 0, 1)),
        "rim": facets_where(body, on_rim),
    }
    supports = [Support("x0", "sliding"), Support("y0", "sliding"), Support("rim", "fixed")]
    plate = specimen(body, STEEL, faces, supports, [Load("pressure", "top", value=1.0)])
    held = Specimen(held_again(plate.model, le10_held(plate.model, body)))
    stress = held.at((200, 0, 30), held.solve())
    compare(stress[1], -5.38, rel=0.03, source=LE10, quantity="s_yy at D [MPa]")


def le10_held(m: Model, body: Solid) -> Any:
    """Held dofs: u_x on x = 0 and on the rim, u_y on y = 0 and on the rim, u_z on the middle line of the rim."""
    sp = m.space
    held = np.zeros((3, sp.count), dtype=bool)
    held[0, face_dofs(sp, "x0")] = held[1, face_dofs(sp, "y0")] = True
    held[:2, face_dofs(sp, "rim")] = True
    line = on_rim(body.points) & (np.abs(body.points[:, 2]) < 1e-6)
    held[2, : len(line)][line] = True
    for edge in sp.mesh.edges:
        if line[[v.nr for v in edge.vertices]].all():
            held[2, list(sp.scalar.GetDofNrs(edge))] = True
    return held.ravel()


def held_again(m: Model, held: Any) -> Model:
    """The model with other dofs held."""
    matrix = assembled(m, isotropic_mean(m.stiffness))
    return replace(m, supported=Supported(held, (), (), m.beds), factor=Cholesky(matrix, ~held))


def test_le11(tmp_path: Path) -> None:
    body = solid(turned(), tmp_path, 150.0)
    faces = {
        "x0": plane((0, 0, 0), (-1, 0, 0)),
        "y0": plane((0, 0, 0), (0, -1, 0)),
        "z0": plane((0, 0, 0), (0, 0, -1)),
        "top": plane((0, 0, 1790), (0, 0, 1)),
    }
    supports = [Support(n, "sliding") for n in faces]
    cold = specimen(body, STEEL, faces, supports, [Load("pressure", "top", value=0.0)])
    per_degree = cold.model.stiffness @ np.array([EXPANSION] * 3 + [0.0] * 3)
    sp = cold.model.space
    temperature = (ng.sqrt(ng.x**2 + ng.y**2) + ng.z) / 1000
    load = ng.LinearForm(sp.vector)
    load += temperature * ng.InnerProduct(ng.CF(tuple(per_degree)), strain(sp.vector.TestFunction())) * ng.dx
    load.Assemble()
    warm = Specimen(replace(cold.model, loads=np.array(load.vec.FV().NumPy())[None]))
    stress = warm.at((1000, 0, 0), warm.solve()) - per_degree * 1.0  # 1 degC at A
    compare(stress[2], -105.0, rel=0.02, source=LE11, quantity="s_zz at A [MPa]")


def turned() -> Any:
    """OCC body: a quarter turn of the section, metres of the benchmark as 1000 mm; cut finely near A (1, 0)."""

    def place(r: float, z: float) -> Any:
        return occ.Pnt(1000 * r, 0, 1000 * z)

    def polar(r: float, turn: float) -> Any:
        return place(r * cos(turn), r * sin(turn))

    turns = pairwise(graded(0, pi / 4, 0.03, 1.3))
    sphere = [occ.ArcOfCircle(polar(1, u), polar(1, (u + v) / 2), polar(1, v)) for u, v in turns]
    top = 0.7 / 1.2124
    walls = [polar(1, pi / 4), place(sqrt(0.5), 1.79), place(1.0, 1.79), place(1.0, 1.39), polar(1.4, atan2(top, 1.0))]
    outside = occ.ArcOfCircle(walls[-1], polar(1.4, atan2(top, 1.0) / 2), place(1.4, 0))
    foot = [occ.Segment(place(r, 0), place(s, 0)) for r, s in pairwise(reversed(graded(1.0, 1.4, 0.03, 1.3)))]
    lines = [occ.Segment(p, q) for p, q in pairwise(walls)]
    section = occ.Face(occ.Wire([*sphere, *lines, outside, *foot]))
    return section.Revolve(occ.Axis((0, 0, 0), occ.Z), 90)
