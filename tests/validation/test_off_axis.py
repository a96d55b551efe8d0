"""Bars of a print pulled at an angle to their layers.

S. G. Lekhnitskii, Theory of Elasticity of an Anisotropic Elastic Body, 1963, for the modulus; Z. Hashin, Failure
criteria for unidirectional fiber composites, Journal of Applied Mechanics 47 (1980), and J. C. Brewer and P. A. Lagace,
Quadratic stress criterion for initiation of delamination, Journal of Composite Materials 22 (1988), for the separated
criterion (both from memory). The tables were derived and computed outside this package from the closed forms; the
column checked for strength is the separated (Hashin-type) one, min(X / cos^2, (sin^4 / Z^2 + sin^2 cos^2 / S^2)^-1/2),
and then with the largest principal stress capped at X, which is what the package decides by.
"""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest
from compare import Source, compare

from printworthy.strength.criteria import MODES, Strengths, between_layers_tension, by_mode
from printworthy.strength.elastic import transversely_isotropic
from specimens import part_stiffness

MODULUS = Source(
    "Lekhnitskii 1963, off-axis modulus", "print 8000/3000/0.35/0.40/1100 MPa, angle from the layers", "derived"
)
STRENGTH = Source(
    "Hashin 1980, off-axis strength of a layered solid", "X 150, Z 70 MPa, separated criterion", "derived"
)
CAPPED = Source(
    "Hashin 1980, off-axis strength capped at X", "X 150, Z 70 MPa, with the largest principal stress", "derived"
)
POINT = Source("Brewer and Lagace 1988, delamination", "s33 30, t13 20, t23 10; Z 70, S 40 MPa", "derived")

GLASS = Source("Hashin 1980, matrix in tension", "E-glass/LY556, transverse 20, shear 40 MPa", "derived")

PRINT = transversely_isotropic(8000.0, 3000.0, 0.35, 0.40, 1100.0)
MODULI = {0: 8000.0, 15: 6215.89, 30: 4117.76, 45: 3156.01, 60: 2881.70, 75: 2929.97, 90: 3000.0}
SEPARATED = {
    55: {0: 150.0, 15: 160.770, 30: 115.672, 45: 86.495, 60: 75.211, 75: 71.010, 90: 70.0},
    40: {0: 150.0, 15: 158.157, 30: 87.725, 45: 69.459, 60: 65.656, 75: 67.929, 90: 70.0},
}


def strengths(shear: float) -> Strengths:
    """150/70 MPa; the shear strength in the layer is set out of the way, the table does not have it."""
    return Strengths(X=150.0, Z=70.0, S=shear, S12=1e3, Xc=150.0, Zc=150.0)


def pulled(angle: float) -> np.ndarray:
    """Unit pull at `angle` [deg] from the layers, in layer axes (6,)."""
    c, s = cos(radians(angle)), sin(radians(angle))
    return np.array([c * c, 0, s * s, 0, s * c, 0])


@pytest.mark.parametrize("angle", MODULI)
def test_modulus(angle: int) -> None:
    along_bar = part_stiffness(PRINT, (sin(radians(angle)), 0, cos(radians(angle))))
    modulus = 1 / np.linalg.inv(along_bar)[0, 0]
    compare(modulus, MODULI[angle], rel=1e-5, source=MODULUS, quantity=f"E at {angle} deg [MPa]")


@pytest.mark.parametrize("shear", SEPARATED)
@pytest.mark.parametrize("angle", MODULI)
def test_strength(angle: int, shear: int) -> None:
    modes = dict(zip(MODES, by_mode(pulled(angle), strengths(shear)), strict=True))
    cap = modes.pop("largest principal stress")
    table, name = SEPARATED[shear][angle], f"strength at {angle} deg, S {shear} [MPa]"
    compare(1 / max(modes.values()), table, rel=1e-4, source=STRENGTH, quantity=name)
    compare(1 / max(cap, *modes.values()), min(table, 150.0), rel=1e-4, source=CAPPED, quantity=name)


def test_worked_point() -> None:
    stress = np.array([0, 0, 30.0, 10.0, 20.0, 0])
    opened = between_layers_tension(stress, 70.0, 40.0)
    compare(opened**2, 0.496173, rel=1e-5, source=POINT, quantity="index, opening")
    compare(1 / opened, 1.41966, rel=1e-5, source=POINT, quantity="load factor, opening")
    closed = between_layers_tension(stress * (1, 1, -1, 1, 1, 1), 70.0, 40.0)
    compare(closed**2, 0.3125, rel=1e-5, source=POINT, quantity="index, pressed together")
    compare(1 / closed, 1.78885, rel=1e-5, source=POINT, quantity="load factor, pressed together")


def test_matrix_tension_of_a_glass_lamina() -> None:
    # lamina strengths of the World-Wide Failure Exercise (Soden, Hinton, Kaddour 1998, from memory): 35 and 72 MPa
    index = between_layers_tension(np.array([0, 0, 20.0, 40.0, 0, 0]), 35.0, 72.0)
    compare(index**2, 0.635173, rel=1e-5, source=GLASS, quantity="index")
    compare(1 / index, 1.25474, rel=1e-5, source=GLASS, quantity="load factor")
