"""Cantilever with an end load.

S. P. Timoshenko and J. N. Goodier, Theory of Elasticity, 3rd edition 1970, article 21 (from memory): end deflection
P / (6 E I) ((4 + 5 nu) h^2 L / 4 + 2 L^3). G. R. Cowper, The shear coefficient in Timoshenko's beam theory, Journal of
Applied Mechanics 33 (1966): P L^3 / (3 E I) + P L / (k G A) with k = 10 (1 + nu) / (12 + 11 nu) for a rectangle.
"""

from __future__ import annotations

from pathlib import Path

import netgen.occ as occ
from compare import Source, compare

from printworthy.inputs import Load, Support
from specimens import isotropic_card, plane, solid, specimen

PLACE = "length 100, height 10, breadth 5 mm; E 2000 MPa, nu 0.35; end load 100 N"
BEAM = Source("Cowper 1966, beam with shear", PLACE, "derived")
ELASTIC = Source("Timoshenko and Goodier 1970, cantilever", PLACE, "derived")
WHY = "the clamp also holds the contraction across, which the closed form leaves free"


def test_end_deflection(tmp_path: Path) -> None:
    body = solid(occ.Box((0, 0, 0), (100, 10, 5)), tmp_path, 2.5)
    faces = {"root": plane((0, 0, 0), (-1, 0, 0)), "end": plane((100, 0, 0), (1, 0, 0))}
    supports, load = [Support("root", "fixed")], Load("force", "end", (0.0, -100.0, 0.0))
    beam = specimen(body, isotropic_card(2000.0, 0.35), faces, supports, [load])
    down = -float(beam.moved(beam.solve(), (100, 0, 0))[1])
    compare(down, 40.324, rel=0.01, source=BEAM, quantity="end deflection, k = 5/6 [mm]", why=WHY)
    compare(down, 40.317, rel=0.01, source=BEAM, quantity="end deflection, k by Cowper [mm]", why=WHY)
    compare(down, 40.2875, rel=0.01, source=ELASTIC, quantity="end deflection [mm]", why=WHY)
