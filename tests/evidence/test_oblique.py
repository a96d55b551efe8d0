"""Shear from all coupons of a material: a turned stiffness gives its G13 back, the quadratic law its S and exponent 2;
what is missing is a low bound that says so."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from printworthy.errors import Place
from printworthy.evidence.oblique import MODULUS_SHARE, Oblique, oblique_studies
from printworthy.inputs import CouponDirection, CouponSet
from printworthy.strength.elastic import orthotropic, rotated
from printworthy.workspace.cards import read_cards
from printworthy.workspace.rules import read_rules

CARDS, RULES = read_cards(), read_rules()
E1, E3, NU, G13 = 4000.0, 2500.0, 0.38, 900.0  # nu13 of the card pa-cf lies around


def coupons(direction: CouponDirection, strength: float, modulus: float | None = None) -> CouponSet:
    """Three coupons that scatter by a hundredth about a mean."""
    shares = (0.99, 1.0, 1.01)
    moduli = () if modulus is None else tuple(modulus * s for s in shares)
    return CouponSet(direction, "plain", direction, tuple(strength * s for s in shares), 23.0, "dry", "own", False,
                     Place(Path("t.csv"), 1), moduli=moduli)  # fmt: skip


def study(*sets: CouponSet) -> Oblique:
    (found,) = oblique_studies(sets, CARDS, RULES)
    return found


def test_all_directions() -> None:
    stiffness = orthotropic((E1, E1, E3), (0.35, NU, NU), (E1 / 2.7, G13, G13))
    c = math.cos(math.pi / 4)
    turned = np.linalg.inv(rotated(stiffness, np.array([[c, 0, c], [0, 1, 0], [-c, 0, c]])))
    # Z = 70, S = 55 breaks at 86.495 MPa under 45 degrees (Hashin-type law, evaluated outside this package)
    s, g, m = study(
        coupons("in layer", 150, E1), coupons("between layers", 70, E3),
        coupons("45 degrees", 86.495, 1 / turned[0, 0]), coupons("interlayer shear", 55),
    ).figures  # fmt: skip
    for figure, true in ((s, 55.0), (g, G13), (m, 2.0)):
        assert figure.low is not None
        assert figure.high is not None
        assert figure.low < true < figure.high
        assert not figure.assumed
    assert "lies inside" in m.words


def test_strength_from_the_oblique_pull_alone() -> None:
    s, _, m = study(coupons("between layers", 70), coupons("45 degrees", 86.495)).figures
    assert s.value == pytest.approx(55, rel=1e-4)
    assert "half the 45 degree pull, 43.2 MPa" in s.words
    assert m.assumed
    assert "missing: interlayer shear" in m.words


def test_what_is_missing_is_a_bound_that_says_so() -> None:
    s, g, m = study(coupons("in layer", 60, E1), coupons("between layers", 20, E3)).figures
    assert (s.value, s.assumed) == (pytest.approx(10.0), True)  # half of Z, rules.toml
    assert g.value == pytest.approx(MODULUS_SHARE / ((1 + 2 * 0.48) / E1 + 1 / E3))
    for figure in (s, g, m):
        assert "assumed" in figure.words
        assert "test 45 degrees next" in figure.words


def test_the_low_end_of_the_card_stands_in_where_no_coupon_speaks() -> None:
    card = CARDS["petg-cf"]
    few = replace(coupons("between layers", 20), material="petg-cf", strengths=(20.0,))
    s, g, _ = study(few).figures
    assert s.value == pytest.approx(0.5 * card.values["strength_through"].low)  # the share is that of rules.toml
    assert g.value == card.values["shear_modulus_through"].low
    assert s.assumed
    assert g.assumed


def test_pulls_in_the_layer_say_nothing_of_shear() -> None:
    assert oblique_studies([coupons("in layer", 60, E1)], CARDS, RULES) == ()


def test_an_exponent_below_two_is_a_warning() -> None:
    # a 45 degree pull weaker than the quadratic law: sum of squares at break is 0.72^2 + 0.44^2 = 0.71 < 1
    *_, m = study(coupons("between layers", 50), coupons("45 degrees", 72), coupons("interlayer shear", 82)).figures
    assert m.high is not None
    assert m.high < 2
    assert "promises too much" in m.words
