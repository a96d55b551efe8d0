"""Bars pulled at an angle to their layers, by the map of build directions.

S. G. Lekhnitskii, Theory of Elasticity of an Anisotropic Elastic Body, 1963, article 20 (from memory): under even pull
1/E = c^4/E1 + s^4/E3 + (1/G13 - 2 nu13/E1) s^2 c^2. Z. Hashin 1980 (from memory) for the column checked for strength:
the separated one, (s^4/Z^2 + s^2 c^2/S^2)^-1/2 between the layers, with the largest principal stress capped at X. Both
tables were computed outside this package. The map's own reduced model is asked, not a solution per direction; the
directions lie in a plane that is turned about the bar, so that none is a coordinate direction but the last.
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

from printworthy.inputs import Load, Support
from printworthy.strength import DirectionMap, Settings, direction_map
from printworthy.strength.criteria import MODES
from printworthy.strength.hot import full_strains
from printworthy.strength.reduced import coefficients, frames_of
from specimens import Array, MaterialCard, card, design_values, isotropic_card, plane, solid, specimen

PRINT = "print 8000/3000/0.35/0.40/1100 MPa"
MODULUS = Source("Lekhnitskii 1963, pulled bar by the map of directions", PRINT, "derived")
BREAK = Source(
    "Hashin 1980, off-axis strength by the map of directions",
    "X 150, Z 70 MPa, separated criterion with the largest principal stress at most X",
    "derived",
)
PLAIN = Source(
    "Hashin 1980, off-axis strength of an isotropic stiffness", "E 2000 MPa, nu 0.35; X 150, Z 70, S 55 MPa", "derived"
)
LENGTH, SOFT = 40.0, 1e-6  # [mm], [N/mm3]
AROUND = 0.6  # [rad] turn of the plane of the directions about the bar
MODULI = {0: 8000.0, 15: 6215.89, 30: 4117.76, 45: 3156.01, 60: 2881.70, 75: 2929.97, 90: 3000.0}
STRENGTHS = {
    55: {0: 150.0, 15: 150.0, 30: 115.672, 45: 86.495, 60: 75.211, 75: 71.010, 90: 70.0},
    40: {0: 150.0, 15: 150.0, 30: 87.725, 45: 69.459, 60: 65.656, 75: 67.929, 90: 70.0},
}
GOVERNS = {0: "in the layer, tension", 90: "between layers, tension with shear"}
SETTINGS = Settings(directions=200, random_checks=10)


def pulled(material: MaterialCard, shear: float) -> DirectionMap:
    """Map of a bar along x that floats on a bed too soft to matter, pulled by 1 MPa."""
    with TemporaryDirectory() as folder:
        body = solid(occ.Box((0, 0, 0), (LENGTH, 10, 10)), Path(folder), 6.0)
    faces = {"left": plane((0, 0, 0), (-1, 0, 0)), "right": plane((LENGTH, 0, 0), (1, 0, 0))}
    pull = [Load("pressure", n, value=-1.0) for n in faces]
    bar = specimen(body, material, faces, [Support("left", "foundation", SOFT, SOFT)], pull)
    design = design_values(X=150.0, Z=70.0, S=shear, S12=1e3, Xc=150.0, Zc=150.0)
    return direction_map(bar.model, design, SETTINGS, lambda stage, share: None)


@cache
def printed(shear: float) -> DirectionMap:
    return pulled(card(8000.0, 3000.0, 0.35, 0.40, 1100.0), shear)


@cache
def plain() -> DirectionMap:
    return pulled(isotropic_card(2000.0, 0.35), 55)


def build(angle: float) -> Array:
    """Build direction of a bar along x that lies at `angle` [deg] to its layers."""
    a = radians(angle)
    return np.array([sin(a), cos(a) * sin(AROUND), cos(a) * cos(AROUND)])


@pytest.mark.parametrize("angle", MODULI)
def test_modulus(angle: int) -> None:
    found = printed(55)
    q = coefficients(found.basis, frames_of(build(angle)[None]))[0]
    strain = full_strains(found.basis, q)[0]
    quantity = f"E at {angle} deg from the layers [MPa]"
    compare(1 / strain[0].mean(), MODULI[angle], rel=1e-5, source=MODULUS, quantity=quantity)
    assert np.ptp(strain, axis=1).max() < 1e-5 * strain[0].mean()


@pytest.mark.parametrize("shear", STRENGTHS)
@pytest.mark.parametrize("angle", MODULI)
def test_strength(angle: int, shear: int) -> None:
    used = printed(shear).at(build(angle)[None])[0][0, 0]
    quantity = f"strength at {angle} deg, S {shear} [MPa]"
    compare(1 / used.max(), STRENGTHS[shear][angle], rel=1e-4, source=BREAK, quantity=quantity)
    if angle in GOVERNS:
        assert used[MODES.index(GOVERNS[angle])] == pytest.approx(used.max(), rel=1e-5)


@pytest.mark.parametrize("angle", MODULI)
def test_isotropic_stiffness_with_the_separated_criterion_is_the_closed_form(angle: int) -> None:
    used = plain().at(build(angle)[None])[0].max()
    compare(1 / used, STRENGTHS[55][angle], rel=1e-4, source=PLAIN, quantity=f"strength at {angle} deg [MPa]")


def test_stated_error_of_an_even_stress_is_nothing() -> None:
    assert max(printed(55).error, printed(40).error, plain().error) < 1e-5
