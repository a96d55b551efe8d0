"""Thick tube under inside pressure.

G. Lamé, Leçons sur la théorie mathématique de l'élasticité des corps solides, 1852. Closed form for inner and outer
radii a and b: hoop stress p (b^2 + a^2) / (b^2 - a^2) inside, 2 p a^2 / (b^2 - a^2) outside; radial stress -p inside.
"""

from __future__ import annotations

from pathlib import Path

import netgen.occ as occ
from compare import Source, compare

from printworthy.inputs import CylinderSelector, Load, Support
from specimens import isotropic_card, plane, solid, specimen

SOURCE = Source("Lame 1852, thick tube", "radii 50 and 100 mm, inside pressure 10 MPa", "derived")


def test_inside_pressure(tmp_path: Path) -> None:
    ring = occ.Cylinder(occ.Pnt(0, 0, 0), occ.Z, 100, 10) - occ.Cylinder(occ.Pnt(0, 0, 0), occ.Z, 50, 10)
    body = solid(ring * occ.Box((0, 0, 0), (100, 100, 10)), tmp_path, 6.0)
    faces = {
        "x0": plane((0, 0, 0), (-1, 0, 0)),
        "y0": plane((0, 0, 0), (0, -1, 0)),
        "z0": plane((0, 0, 0), (0, 0, -1)),
        "bore": CylinderSelector((0, 0, 0), (0, 0, 1), 50.0),
    }
    supports = [Support(n, "sliding") for n in ("x0", "y0", "z0")]
    tube = specimen(body, isotropic_card(2000.0, 0.35), faces, supports, [Load("pressure", "bore", value=10.0)])
    pressed = tube.solve()
    inside, outside = tube.at((50, 0, 0), pressed), tube.at((100, 0, 0), pressed)
    compare(inside[1], 16.6667, rel=0.01, source=SOURCE, quantity="hoop stress inside [MPa]")
    compare(inside[0], -10.0, rel=0.01, source=SOURCE, quantity="radial stress inside [MPa]")
    compare(outside[1], 6.6667, rel=0.01, source=SOURCE, quantity="hoop stress outside [MPa]")
    grown = tube.moved(pressed, (50, 0, 0))[0]
    exact = 10 * 50 / 2000 * ((100**2 + 50**2) / (100**2 - 50**2) + 0.35)
    compare(grown, exact, rel=0.001, source=SOURCE, quantity="growth of the bore's radius [mm]")
