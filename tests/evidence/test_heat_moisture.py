"""Heat and moisture steps. Modulus at a deflection temperature: ISO 75-2, sigma/(0.002 + sigma/E0), closed form."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.errors import CardError
from printworthy.evidence import modulus_at_hdt, temperature_factor
from printworthy.evidence.knockdown import is_moist, moisture_step, reach, temperature_step
from printworthy.inputs import MaterialCard, Quantity

Make = Callable[..., MaterialCard]


@pytest.mark.parametrize(
    ("stress", "start", "expected"),
    [(1.80, 2500, 661.8), (0.45, 2500, 206.4), (1.80, 8000, 809.0), (0.45, 8000, 218.8)],
)
def test_modulus_at_the_deflection_temperature(stress: float, start: float, expected: float) -> None:
    found = modulus_at_hdt(stress, start)
    assert found == pytest.approx(expected, abs=0.06)
    assert found < stress / 0.002  # the form without the starting strain is the unsafe side


def test_factor_at_the_points_is_their_modulus_ratio(card: Make) -> None:
    c = card(modulus_in_layer=2500, hdt_180=80, hdt_045=95)
    assert temperature_factor(c, 80).factor == pytest.approx(661.8 / 2500, abs=1e-4)
    assert temperature_factor(c, 95).factor == pytest.approx(206.4 / 2500, abs=1e-4)
    middle = temperature_factor(c, 51.5).factor  # halfway: geometric mean of 1 and the first ratio
    assert middle == pytest.approx((661.765 / 2500) ** 0.5, rel=1e-4)


def test_factor_between_two_hot_temperatures_is_a_ratio(card: Make) -> None:
    c = card(modulus_in_layer=2500, hdt_180=80, hdt_045=95)
    whole = temperature_factor(c, 90).factor
    assert temperature_factor(c, 60).factor * temperature_factor(c, 90, tested=60).factor == pytest.approx(whole)
    assert temperature_factor(c, 40, tested=-20).factor < temperature_factor(c, 40).factor  # cold coupons are stronger


def test_no_credit_for_cold_and_the_best_is_no_loss(card: Make) -> None:
    c = card(modulus_in_layer=2500, hdt_180=80)
    assert temperature_factor(c, -20).factor == 1.0
    assert temperature_factor(c, 60).best == 1.0
    assert temperature_step(c, 23) is None
    assert temperature_factor(card(modulus_in_layer=2500), 20).decided  # nothing to know below room temperature


def test_beyond_the_points_nothing_is_decided(card: Make) -> None:
    c = card(modulus_in_layer=2500, hdt_180=80, hdt_045=95)
    assert temperature_factor(c, 95).decided
    hot = temperature_factor(c, 96)
    assert not hot.decided
    assert "NOT DECIDED" in hot.words
    assert not temperature_factor(card(modulus_in_layer=2500), 30).decided


def test_reach_ends_at_melting_or_at_the_glass_transition_of_a_polymer_that_does_not_melt(card: Make) -> None:
    assert reach(card(modulus_in_layer=2500, hdt_180=80, hdt_045=95, glass_transition=90)) == 90
    assert reach(card(modulus_in_layer=2500, hdt_180=80, hdt_045=95, glass_transition=50, melting=220)) == 95


def test_deflection_temperatures_in_an_impossible_order(card: Make) -> None:
    with pytest.raises(CardError, match="does not lie above"):
        temperature_factor(card(modulus_in_layer=2500, hdt_180=80, hdt_045=70), 40)


@given(st.floats(500, 12000), st.floats(40, 150), st.floats(1, 60), st.floats(24, 200), st.floats(0, 40))
def test_hotter_never_leaves_more(start: float, hdt: float, gap: float, t: float, more: float) -> None:
    values = {"modulus_in_layer": start, "hdt_180": hdt, "hdt_045": hdt + gap}
    c = MaterialCard("m", "", "printed polymer", {k: Quantity(v, "", "s", "assumed") for k, v in values.items()})
    assert temperature_factor(c, t + more).factor <= temperature_factor(c, t).factor * (1 + 1e-12)
    assert 0 < temperature_factor(c, t).factor <= 1


def test_moisture_step_only_for_dry_coupons_of_a_thirsty_polymer(card: Make) -> None:
    thirsty = card(moisture_factor=(0.5, 0.41, 0.61))
    step = moisture_step(thirsty, "dry")
    assert step is not None
    assert step.factor == 0.41
    unknown = moisture_step(thirsty, "")
    assert unknown is not None
    assert "not recorded" in unknown.name
    assert moisture_step(thirsty, "conditioned at 50 % r.h.") is None
    assert moisture_step(card(), "dry") is None


@pytest.mark.parametrize(("words", "moist"), [("moist (50 % r.h.)", True), ("Wet", True), ("dry", False), ("", False)])
def test_moisture_words(words: str, moist: bool) -> None:
    assert is_moist(words) == moist
