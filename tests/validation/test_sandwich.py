"""Two zones against beams of two materials and a published law for foams.

H. G. Allen, Analysis and Design of Structural Sandwich Panels, 1969: bending stiffness as the sum over faces and core,
here with side walls too (transformed section). Rule of mixtures: bars side by side share the strain. L. J. Gibson and
M. F. Ashby, Cellular Solids, 2nd edition 1997, chapter 5 (from memory).
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import netgen.occ as occ
import numpy as np
from compare import Source, compare

from printworthy.inputs import Fill, Load, Support
from printworthy.strength import Prepared, model
from printworthy.strength.zones import foam_shares
from specimens import Specimen, isotropic_card, plane, solid, specimen

PLACE = "80 x 12 x 12 mm, wall 2 mm all round, core of 10 % of the stiffness; E 2000 MPa, nu 0.3"
SANDWICH = Source("Allen 1969, sandwich beams", PLACE, "derived")
MIXTURE = Source("Rule of mixtures, parallel bars", PLACE, "derived")
FOAM = Source("Gibson and Ashby 1997, Cellular Solids", "chapter 5, open cells", "from memory")
MESH = "the mesh does not follow the boundary between wall and core"
LENGTH, SIDE, WALL, SHARE, MODULUS = 80.0, 12.0, 2.0, 0.1, 2000.0


def test_a_box_with_a_soft_core(tmp_path: Path) -> None:
    body = solid(occ.Box((0, 0, 0), (LENGTH, SIDE, SIDE)), tmp_path, 2.0)
    faces = {"root": plane((0, 0, 0), (-1, 0, 0)), "end": plane((LENGTH, 0, 0), (1, 0, 0))}
    pull, turn = Load("force", "end", (1000.0, 0.0, 0.0)), Load("moment", "end", (0.0, 1000.0, 0.0))
    whole = specimen(body, isotropic_card(MODULUS, 0.3), faces, [Support("root", "fixed")], [pull], [turn]).model
    part = replace(whole.part, fill=Fill(WALL, 0.3, SHARE, SHARE, "stated"))
    beam = Specimen(model(Prepared(whole.space, whole.sampler), part, isotropic_card(MODULUS, 0.3)))
    core = SIDE - 2 * WALL
    area = SIDE**2 - (1 - SHARE) * core**2
    second = (SIDE**4 - (1 - SHARE) * core**4) / 12
    stretched, bent = (slope_at_the_top(beam, case) for case in (0, 1))
    compare(stretched, 1000 / (MODULUS * area), rel=0.02, source=MIXTURE, quantity="strain under 1000 N", why=MESH)
    compare(bent, 1000 * SIDE / 2 / (MODULUS * second), rel=0.02, source=SANDWICH,
            quantity="strain of the top under 1000 N mm", why=MESH)  # fmt: skip


def slope_at_the_top(beam: Specimen, case: int) -> float:
    """Strain along x of the top away from the ends: slope of the displacement of its vertices."""
    space, skin = beam.model.space, beam.model.sampler.skin
    x, _, z = space.solid.points[skin].T
    on = (z > SIDE - 1e-6) & (x > 24) & (x < 56)
    moved = beam.solve().displacements[case].reshape(3, space.count)[0, skin[on]]
    return float(np.polyfit(x[on], moved, 1)[0])


def test_open_cells() -> None:
    for density, stiffness, strength in ((0.1, 0.01, 0.0094868), (0.2, 0.04, 0.0268328), (0.3, 0.09, 0.0492950)):
        found = foam_shares(density)
        compare(found[0], stiffness, rel=1e-6, source=FOAM, quantity=f"E/Es at relative density {density}")
        compare(found[1], strength, rel=1e-5, source=FOAM, quantity=f"plastic strength share at {density}")
