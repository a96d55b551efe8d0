"""Basquin's line and mean stress.

N. E. Dowling, Mechanical Behavior of Materials: constants of AISI 4340, amplitude = 1758 (2N)^-0.0977 MPa, tensile
strength 1172 MPa, from memory of the table; the equivalent amplitudes are the closed forms evaluated by hand.
"""

from __future__ import annotations

import pytest
from compare import Source, compare

from printworthy.evidence.fatigue import basquin_life, gerber, goodman, walker

SOURCE = Source("Dowling, Mechanical Behavior of Materials", "AISI 4340, mean stress", "from memory")
INTERCEPT, SLOPE, STRENGTH = 1758.0, -0.0977, 1172.0
EQUIVALENT = {
    "Goodman": (lambda a, m: goodman(a, m, STRENGTH), 602.881, 28593),
    "Gerber": (lambda a, m: gerber(a, m, STRENGTH), 514.997, 143429),
    "Morrow": (lambda a, m: goodman(a, m, INTERCEPT), 564.185, 56383),
    "Smith, Watson and Topper": (walker, 591.608, 34687),
}


def cycles(amplitude: float) -> float:
    return float(basquin_life(amplitude, INTERCEPT, SLOPE)) / 2


@pytest.mark.parametrize(("amplitude", "life"), [(700.0, 6199), (500.0, 194091)])
def test_fully_reversed(amplitude: float, life: float) -> None:
    compare(cycles(amplitude), life, rel=1e-3, source=SOURCE, quantity=f"cycles at {amplitude:g} MPa")


@pytest.mark.parametrize("name", EQUIVALENT)
def test_500_about_200(name: str) -> None:
    rule, stress, life = EQUIVALENT[name]
    found = float(rule(500.0, 200.0))
    compare(found, stress, rel=1e-4, source=SOURCE, quantity=f"{name}: 500 about 200 [MPa]")
    compare(cycles(found), life, rel=1e-3, source=SOURCE, quantity=f"{name}: cycles at 500 about 200 MPa")


def test_walker() -> None:
    found = float(walker(500.0, 200.0, 0.65))
    compare(found, 562.490, rel=1e-4, source=SOURCE, quantity="Walker, exponent 0.65: 500 about 200 [MPa]")
