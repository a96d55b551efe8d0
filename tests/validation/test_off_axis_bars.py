"""Printed bars pulled and bent at an angle to their layers, by finite elements.

S. G. Lekhnitskii, Theory of Elasticity of an Anisotropic Elastic Body, 1963, articles 20 and 21 (from memory): under
even pull the strain is even, under end moments M the curvature is M / (E I) with the modulus E along the bar, whatever
the angle. Second-order elements hold both displacement fields, so what is left is the solver. The bars float on a bed
that is too soft to matter: a clamp would hold the skew of the section.
"""

from __future__ import annotations

from functools import cache
from math import cos, radians, sin
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import numpy as np
import pytest
from compare import Source, compare

from printworthy.inputs import Load, Support, Vector
from printworthy.strength import utilisation
from specimens import Specimen, card, design_values, plane, solid, specimen

PULL = Source("Lekhnitskii 1963, pulled bar by finite elements", "print 8000/3000/0.35/0.40/1100 MPa", "derived")
BEND = Source("Lekhnitskii 1963, bent bar by finite elements", "print 8000/3000/0.35/0.40/1100 MPa", "derived")
BREAK = Source(
    "Hashin 1980, off-axis strength by finite elements",
    "X 150, Z 70 MPa, largest principal stress at most X",
    "derived",
)
LENGTH, DEPTH = 40.0, 10.0
SOFT = 1e-6  # [N/mm3]
MODULI = {0: 8000.0, 15: 6215.89, 30: 4117.76, 45: 3156.01, 60: 2881.70, 75: 2929.97, 90: 3000.0}
STRENGTHS = {
    55: {0: 150.0, 15: 150.0, 30: 115.672, 45: 86.495, 60: 75.211, 75: 71.010, 90: 70.0},
    40: {0: 150.0, 15: 150.0, 30: 87.725, 45: 69.459, 60: 65.656, 75: 67.929, 90: 70.0},
}


@cache
def bar() -> Specimen:
    """A square bar along x that floats; case 1 pulls it by 1 MPa, case 2 bends it about y by 1000 N mm."""
    with TemporaryDirectory() as folder:
        body = solid(occ.Box((0, 0, 0), (LENGTH, DEPTH, DEPTH)), Path(folder), 6.0)
    faces = {"left": plane((0, 0, 0), (-1, 0, 0)), "right": plane((LENGTH, 0, 0), (1, 0, 0))}
    pull = [Load("pressure", n, value=-1.0) for n in faces]
    bend = [Load("moment", "left", (0, 1e3, 0)), Load("moment", "right", (0, -1e3, 0))]
    material = card(8000.0, 3000.0, 0.35, 0.40, 1100.0)
    return specimen(body, material, faces, [Support("left", "foundation", SOFT, SOFT)], pull, bend)


def build(angle: float) -> Vector:
    """Build direction of a bar along x that lies at `angle` [deg] to its layers."""
    return sin(radians(angle)), 0.0, cos(radians(angle))


@pytest.mark.parametrize("angle", MODULI)
def test_stiffness(angle: int) -> None:
    floating = bar().solve(build(angle))
    stretch = bar().moved(floating, (LENGTH, 0, 0)) - bar().moved(floating, (0, 0, 0))
    quantity = f"E at {angle} deg from the layers [MPa]"
    compare(LENGTH / stretch[0], MODULI[angle], rel=1e-5, source=PULL, quantity=quantity)
    compare(bending_modulus(floating.displacements[1]), MODULI[angle], rel=1e-5, source=BEND, quantity=quantity)
    even = bar().skin_stress(floating, 0)
    assert even == pytest.approx(np.tile([1.0, 0, 0, 0, 0, 0], (len(even), 1)), abs=1e-6)


def bending_modulus(u: np.ndarray) -> float:
    """Modulus [MPa] from the curvature of the lower edge."""
    space = bar().model.space
    points = space.solid.points
    edge = np.flatnonzero((np.abs(points[:, 1]) < 1e-9) & (np.abs(points[:, 2]) < 1e-9))
    deflection = u.reshape(3, space.count)[2, edge]
    bow = 2 * np.polyfit(points[edge, 0], deflection, 2)[0]
    return 1e3 / (DEPTH**4 / 12) / abs(bow)


@pytest.mark.parametrize("shear", STRENGTHS)
@pytest.mark.parametrize("angle", MODULI)
def test_strength(angle: int, shear: int) -> None:
    design = design_values(X=150.0, Z=70.0, S=shear, S12=1e3, Xc=150.0, Zc=150.0)
    used = utilisation(bar().model, build(angle), design, 1.0).cases[0].utilisation
    quantity = f"strength at {angle} deg, S {shear} [MPa]"
    compare(1 / used, STRENGTHS[shear][angle], rel=1e-4, source=BREAK, quantity=quantity)
