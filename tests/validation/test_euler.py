"""Column that bends sideways under its end load.

L. Euler, De curvis elasticis, 1744: P = pi^2 E I / (4 L^2) for a column clamped at one end and free at the other;
shear lowers it to P / (1 + P / (k G A)) (F. Engesser 1889, from memory). A printed column bends with the modulus along
itself, that of S. G. Lekhnitskii 1963 (see test_off_axis.py).
"""

from __future__ import annotations

from functools import cache
from math import cos, inf, pi, radians, sin
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import pytest
from compare import Source, compare

from printworthy.inputs import Load, Support
from printworthy.strength.buckling import critical_factor
from specimens import Specimen, card, isotropic_card, plane, solid, specimen

PLACE = "one end clamped; length 120, section 6 x 5 mm"
SOURCE = Source("Euler 1744, column", PLACE, "derived")
LENGTH, BREADTH, DEPTH = 120.0, 6.0, 5.0
WHY = "the clamp also holds the contraction across, and a column of length 24 depths shears by 0.1 %"


@cache
def column() -> Specimen:
    """The column along x under 10 N."""
    with TemporaryDirectory() as folder:
        body = solid(occ.Box((0, 0, 0), (LENGTH, BREADTH, DEPTH)), Path(folder), 4.0)
    faces = {"foot": plane((0, 0, 0), (-1, 0, 0)), "head": plane((LENGTH, 0, 0), (1, 0, 0))}
    press = Load("force", "head", (-10.0, 0.0, 0.0))
    return specimen(body, isotropic_card(2000.0, 0.35), faces, [Support("foot", "fixed")], [press])


def euler(modulus: float) -> float:
    return pi**2 * modulus * (BREADTH * DEPTH**3 / 12) / (4 * LENGTH**2)


def test_isotropic() -> None:
    load = 10 * critical_factor(column().model, (0, 0, 1), column().solve().displacements[0])
    compare(load, euler(2000.0), rel=0.01, source=SOURCE, quantity="isotropic, E 2000 MPa [N]", why=WHY)


@pytest.mark.parametrize(("angle", "modulus"), [(0, 8000.0), (45, 3156.01), (90, 3000.0)])
def test_print(angle: int, modulus: float) -> None:
    printed = column().in_material(card(8000.0, 3000.0, 0.35, 0.40, 1100.0))
    build = (sin(radians(angle)), cos(radians(angle)), 0.0)
    load = 10 * critical_factor(printed.model, build, printed.solve(build).displacements[0])
    quantity = f"print, layers at {angle} deg, E {modulus:g} MPa [N]"
    compare(load, euler(modulus), rel=0.02, source=SOURCE, quantity=quantity, why=WHY)


def test_a_pulled_column_does_not_buckle() -> None:
    assert critical_factor(column().model, (0, 0, 1), -column().solve().displacements[0]) == inf
