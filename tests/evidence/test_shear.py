"""Shear from oblique coupons. References: the compliance of a transversely isotropic solid turned by 45 degrees as the
stiffness module turns it, the quadratic law between layers, and the handbook row sigma33 = tau."""

from __future__ import annotations

import math

import numpy as np
import pytest

from printworthy.errors import CardError
from printworthy.evidence.shear import exponent, interval, shear_modulus, shear_strength
from printworthy.strength.elastic import orthotropic, rotated

E1, E3, NU12, NU13, G13 = 8000.0, 3000.0, 0.35, 0.40, 1100.0


def test_the_shear_modulus_comes_back_from_a_turned_stiffness() -> None:
    stiffness = orthotropic((E1, E1, E3), (NU12, NU13, NU13), (E1 / (2 * (1 + NU12)), G13, G13))
    c = math.cos(math.pi / 4)
    turned = np.linalg.inv(rotated(stiffness, np.array([[c, 0, c], [0, 1, 0], [-c, 0, c]])))
    assert shear_modulus(E1, 1 / turned[0, 0], E3, NU13) == pytest.approx(G13, rel=1e-9)


def test_moduli_that_leave_nothing_are_refused() -> None:
    with pytest.raises(CardError, match="leave no shear modulus"):
        shear_modulus(8000, 20000, 3000, 0.4)


def test_strength_at_45_degrees_by_the_quadratic_law() -> None:
    # Z = 70, S = 55 breaks at 86.495 MPa under 45 degrees (Hashin-type law, evaluated outside this package)
    assert shear_strength(86.495, 70) == pytest.approx(55, rel=1e-4)
    assert exponent(86.495, 70, 55) == pytest.approx(2, rel=1e-4)
    assert shear_strength(141, 70) == math.inf
    with pytest.raises(CardError, match="exceeds Z or S"):
        exponent(141, 70, 55)


def test_the_interval_holds_the_truth_as_often_as_it_says() -> None:
    rng = np.random.default_rng(51847)
    held = 0
    for trial in range(60):
        z, s, oblique = (m * (1 + 0.04 * rng.standard_normal(18)) for m in (70.0, 55.0, 86.495))
        found = interval(exponent, oblique, z, s, seed=trial)
        assert found.low <= found.value <= found.high
        held += found.low <= 2 <= found.high
    assert 47 <= held <= 60  # 90 % of 60 is 54, less four standard deviations (2.3) and the bootstrap's bias


def test_few_coupons_give_no_interval() -> None:
    with pytest.raises(CardError, match="fewer than three"):
        interval(shear_strength, [80, 81], [70, 71, 72])
