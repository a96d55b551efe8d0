"""Quadratic criteria against published and derived load factors.

A. K. Kaw, Mechanics of Composite Materials, 2nd edition 2006, chapter 2: a graphite/epoxy ply at 60 degrees under
2S, -3S, 4S (its answers 16.33, 10.94, 16.06, 22.39, 22.49 MPa from memory, computed again outside this package to the
digits below). World-Wide Failure Exercise: P. D. Soden, M. J. Hinton and A. S. Kaddour 1998, E-glass/LY556 (from
memory). Off-axis tables: closed forms evaluated outside this package.
"""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest
from compare import Source, compare
from hypothesis import given
from hypothesis import strategies as st

from printworthy.strength.criteria import Strengths
from printworthy.strength.quadratic import hill, hoffman, largest_stress, tsai_hill, tsai_wu

KAW = Source("Kaw 2006, 60 degree ply at failure", "chapter 2, graphite/epoxy under 2S, -3S, 4S", "from memory")
GLASS = Source("Tsai and Wu 1971, E-glass/LY556", "transverse 20, shear 40 MPa; strengths of WWFE", "derived")
OPEN = Source("Hill 1948, transversely isotropic solid", "build axis special; X, Z in MPa", "derived")
OFF_AXIS = Source("Off-axis strength, three criteria", "X 150, Z 70 MPa, angle from the layers", "derived")

PLY = Strengths(X=1500.0, Z=40.0, S=68.0, S12=1e4, Xc=1500.0, Zc=246.0)
LY556 = Strengths(X=1140.0, Z=35.0, S=72.0, S12=1e4, Xc=570.0, Zc=114.0)
PULLED = {  # S: angle: largest stress, Tsai-Hill over X^2, Hill over Z^2
    55: {
        0: (150.000, 150.000, 150.000), 15: (160.770, 131.889, 145.078), 30: (127.017, 104.596, 127.543),
        45: (110.000, 86.495, 103.276), 60: (93.333, 76.422, 84.128), 75: (75.026, 71.476, 73.371),
        90: (70.000, 70.000, 70.000),
    },
    40: {
        0: (150.000, 150.000, 150.000), 15: (160.000, 114.791, 123.173), 30: (92.376, 82.588, 92.578),
        45: (80.000, 69.459, 77.299), 60: (92.376, 66.456, 71.338), 75: (75.026, 68.336, 69.986),
        90: (70.000, 70.000, 70.000),
    },
}  # fmt: skip


def layered(x: float, z: float, s: float) -> Strengths:
    """The same in tension and compression; shear in the layer out of the way."""
    return Strengths(X=x, Z=z, S=s, S12=1e4, Xc=x, Zc=z)


def turned() -> np.ndarray:
    """Stress of Kaw's ply for S = 1 MPa, fibres along 1 and across along 3: 1.714, -2.714, -4.165."""
    c, s = cos(radians(60)), sin(radians(60))
    sx, sy, t = 2.0, -3.0, 4.0
    along = c * c * sx + s * s * sy + 2 * s * c * t
    across = s * s * sx + c * c * sy - 2 * s * c * t
    return np.array([along, 0, across, 0, -s * c * sx + s * c * sy + (c * c - s * s) * t, 0])


def test_ply_at_failure() -> None:
    stress = turned()
    f11, f33 = 1 / 1500**2, 1 / (40 * 246)
    tension = Strengths(X=1500.0, Z=40.0, S=68.0, S12=1e4, Xc=1500.0, Zc=40.0)
    for name, found, published in (
        ("largest stress", largest_stress(stress, PLY), 16.326),
        ("Tsai-Hill, tensile strength across", tsai_hill(tension, stress).load_factor(stress), 10.938),
        ("Tsai-Hill, strength of the sign", tsai_hill(PLY, stress).load_factor(stress), 16.061),
        ("Tsai-Wu, F12 = -sqrt(F11 F22)/2", tsai_wu(PLY, -0.5 * (f11 * f33) ** 0.5).load_factor(stress), 22.389),
        ("Tsai-Wu, F12 = -1/(2 Xt^2)", tsai_wu(PLY, -f11 / 2).load_factor(stress), 22.489),
        ("Hoffman's F12 = -1/(2 Xt Xc)", tsai_wu(PLY, -0.5 / (1500 * 1500)).load_factor(stress), 22.489),
        ("Tsai-Wu, F12 = 0", tsai_wu(PLY).load_factor(stress), 22.497),
    ):
        compare(float(found), published, rel=1e-4, source=KAW, quantity=f"S at failure, {name} [MPa]")


def test_glass_lamina() -> None:
    surface = tsai_wu(LY556)
    compare(surface.F3, 0.0197995, rel=1e-5, source=GLASS, quantity="F2 [1/MPa]")
    compare(surface.F33, 2.50627e-4, rel=1e-5, source=GLASS, quantity="F22 [1/MPa2]")
    compare(surface.F44, 1.92901e-4, rel=1e-5, source=GLASS, quantity="F66 [1/MPa2]")
    found = float(surface.load_factor(np.array([0, 0, 20.0, 0, 40.0, 0])))
    compare(found, 1.15288, rel=1e-5, source=GLASS, quantity="load factor")


def test_where_hills_surface_is_open() -> None:
    wide, near = hill(layered(150, 70, 55)), hill(layered(130, 70, 55))
    compare(-wide.F13, 1.02041e-4, rel=1e-5, source=OPEN, quantity="F, X 150, Z 70 [1/MPa2]")
    compare(-wide.F12, -5.75964e-5, rel=1e-5, source=OPEN, quantity="H, X 150, Z 70 [1/MPa2]")
    compare(wide.F66 / 2, -1.315e-5, rel=5e-4, source=OPEN, quantity="F + 2H, X 150, Z 70 [1/MPa2]")
    compare(near.F66 / 2, 1.6302e-5, rel=5e-5, source=OPEN, quantity="F + 2H, X 130, Z 70 [1/MPa2]")
    assert wide.open
    assert not near.open
    assert [hoffman(layered(x, 70, 55)).open for x in (139.9, 140.1)] == [False, True]
    both = float(wide.load_factor(np.array([1.0, 1.0, 0, 0, 0, 0])))
    compare(both, 70.0, rel=1e-9, source=OPEN, quantity="equal pull both ways in the layer, X 150, Z 70 [MPa]")


def test_three_stresses_at_once() -> None:
    strengths, stress = layered(150, 70, 55), np.array([60.0, 0, 30.0, 0, 15.0, 0])
    for name, surface, index, factor in (
        ("over X^2", tsai_hill(strengths, stress), 0.338054, 1.71992),
        ("over Z^2 (open)", hill(strengths), 0.050707, 4.4409),
    ):
        found = float(surface.load_factor(stress))
        compare(1 / found**2, index, rel=2e-5, source=OFF_AXIS, quantity=f"index of 60, 30, 15 MPa, cross term {name}")
        compare(found, factor, rel=2e-5, source=OFF_AXIS, quantity=f"load factor of 60, 30, 15 MPa, cross term {name}")


@pytest.mark.parametrize("shear", PULLED)
def test_pulled_at_an_angle(shear: int) -> None:
    strengths = layered(150, 70, shear)
    for angle, published in PULLED[shear].items():
        c, s = cos(radians(angle)), sin(radians(angle))
        stress = np.array([c * c, 0, s * s, 0, s * c, 0])
        found = (
            largest_stress(stress, strengths),
            tsai_hill(strengths, stress).load_factor(stress),
            hill(strengths).load_factor(stress),
        )
        for name, value, table in zip(("largest stress", "Tsai-Hill", "Hill (open)"), found, published, strict=True):
            quantity = f"{name} at {angle} deg, S {shear} [MPa]"
            compare(float(value), table, rel=1e-5, source=OFF_AXIS, quantity=quantity)


def test_the_most_coupling_that_is_not_open() -> None:
    edge = 0.5 / (PLY.X * PLY.Xc * PLY.Z * PLY.Zc) ** 0.5
    assert not tsai_wu(PLY, -edge).open
    assert tsai_wu(PLY, -1.001 * edge).open


@given(st.floats(-180, 180), st.lists(st.floats(-50, 50), min_size=6, max_size=6))
def test_turning_about_the_build_axis_changes_nothing(angle: float, values: list[float]) -> None:
    c, s = cos(radians(angle)), sin(radians(angle))
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    a, b, d, e, f, g = values
    tensor = turn @ np.array([[a, g, f], [g, b, e], [f, e, d]]) @ turn.T
    after = np.array([tensor[0, 0], tensor[1, 1], tensor[2, 2], tensor[1, 2], tensor[0, 2], tensor[0, 1]])
    for surface in (tsai_wu(LY556), hill(layered(120, 70, 55)), hoffman(layered(120, 70, 55))):
        before = 1 / surface.load_factor(np.array(values))
        assert 1 / surface.load_factor(after) == pytest.approx(before, rel=1e-6, abs=1e-9)
