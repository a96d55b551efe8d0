"""Strength and stiffness over density by hand: 6061-T6 310 MPa, 68.9 GPa, 2.70 g/cm3 (Aluminum Association typical
values) -> 114.8 kN m/kg and 25.5 MN m/kg."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from printworthy.errors import Place
from printworthy.evidence import by_weight, studies, untested
from printworthy.inputs import CouponSet
from printworthy.workspace.cards import read_cards
from printworthy.workspace.rules import read_rules

CARDS, RULES = read_cards(), read_rules()
FLAT = CouponSet("s", "pa-cf", "in layer", (70.0, 72.0, 74.0), 23.0, "dry", "own", False, Place(Path("t.csv"), 1))


def test_coupons_beside_moulded_cast_and_wrought() -> None:
    shear = replace(FLAT, name="t", direction="interlayer shear")
    print_, moulded, cast, wrought, steel = by_weight(studies([FLAT, shear], RULES), CARDS, 110.0)
    density = CARDS["pa-cf"].values["density"].value
    assert print_.by_strength == pytest.approx(72 / density)
    assert (print_.n, print_.measured) == (3, False)
    assert print_.scatter == pytest.approx(2 / 72)
    assert (moulded.strength, moulded.scatter, moulded.n) == (110.0, None, 0)
    assert wrought.by_strength == pytest.approx(310 / 2.70, rel=1e-3)
    assert wrought.by_modulus == pytest.approx(68.9 / 2.70, rel=1e-3)
    assert cast.by_strength == pytest.approx(324 / 2.71, rel=1e-3)
    assert steel.n == 0


def test_moduli_of_curves_go_before_the_card_and_nothing_is_invented() -> None:
    hit = replace(FLAT, name="h", impact=True)
    assert by_weight(studies([hit], RULES), CARDS) == ()
    assert [line for line in untested(studies([hit], RULES)) if "in layer" in line]
    curves = replace(FLAT, material="own blend", moduli=(4000.0, 4200.0))
    (print_, *metals) = by_weight(studies([curves], RULES), CARDS)
    assert (print_.modulus, print_.measured, print_.by_strength, print_.by_modulus) == (4100.0, True, None, None)
    assert len(metals) == 3
    assert by_weight((), CARDS) == ()
