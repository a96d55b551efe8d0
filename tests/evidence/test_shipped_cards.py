"""Shipped cards: a source on every number, plausible against published ranges, no product."""

from __future__ import annotations

import pytest

from printworthy.evidence import design_values
from printworthy.inputs import MaterialCard, Rules
from printworthy.workspace.cards import read_cards

CARDS = read_cards()
POLYMERS = [c for c in CARDS.values() if c.kind == "printed polymer"]
NEEDED = {
    "modulus_in_layer", "modulus_through", "poisson_in_layer", "poisson_through", "shear_modulus_through",
    "strength_in_layer", "strength_through", "density", "service_low", "service_high",
}  # fmt: skip


def test_the_set_is_complete() -> None:
    wanted = {
        "pla", "petg", "abs", "asa", "pc", "pa12", "pa-cf", "pa12-cf", "pa-gf",
        "filled-polymer-trade-claim", "al-6061-t6", "al-a380-die-cast", "mild-steel",
    }  # fmt: skip
    assert wanted <= set(CARDS)


@pytest.mark.parametrize("card", POLYMERS, ids=lambda c: c.name)
def test_a_polymer_card_holds_all_that_a_decision_asks(card: MaterialCard, rules: Rules) -> None:
    assert set(card.values) >= NEEDED
    assert design_values(card, [], rules, low=0, high=40).between.value > 0


@pytest.mark.parametrize("card", POLYMERS, ids=lambda c: c.name)
def test_strength_falls_across_the_layers(card: MaterialCard) -> None:
    assert card.values["strength_through"].value < card.values["strength_in_layer"].value


@pytest.mark.parametrize("card", POLYMERS, ids=lambda c: c.name)
def test_service_ends_before_the_polymer_does(card: MaterialCard) -> None:
    top = card.values["service_high"].high or card.values["service_high"].value
    if "hdt_045" in card.values:
        assert top <= card.values["hdt_045"].value
    if "melting" not in card.values and "glass_transition" in card.values:
        assert top <= card.values["glass_transition"].value


# Accepted glass transitions (polymer textbooks, from memory). One paper gives PLA 137 degC: a misprint to refuse.
@pytest.mark.parametrize(
    ("name", "low", "high"), [("pla", 55, 65), ("petg", 70, 80), ("abs", 100, 110), ("pc", 140, 150)]
)
def test_glass_transitions(name: str, low: float, high: float) -> None:
    assert low <= CARDS[name].values["glass_transition"].value <= high


# Means of the open coupon data (joshcarter/tensile_test): in the layer, between layers [MPa].
@pytest.mark.parametrize(
    ("name", "x", "z"), [("pla", 49.3, 18.1), ("petg", 49.0, 18.0), ("pa-cf", 61.8, 9.2), ("pa-gf", 111.4, 37.5)]
)
def test_measured_cards_hold_the_measured_means(name: str, x: float, z: float) -> None:
    assert CARDS[name].values["strength_in_layer"].value == pytest.approx(x, abs=0.05)
    assert CARDS[name].values["strength_through"].value == pytest.approx(z, abs=0.05)


def test_the_trade_claim_is_an_example_without_a_source() -> None:
    card = CARDS["filled-polymer-trade-claim"]
    assert card.example_only
    assert [card.values[k].value for k in ("strength_in_layer", "strength_through", "service_high")] == [150, 70, 110]
    assert card.values["strength_in_layer"].confidence == "common practice, no source"
    assert {c.name for c in CARDS.values() if c.example_only} == {card.name, "beads-example"}


def test_polyamides_are_moist_and_carbon_conducts() -> None:
    for name in ("pa12", "pa-cf", "pa12-cf", "pa-gf"):
        assert "moist" in CARDS[name].moisture_state
        assert "moisture_factor" in CARDS[name].values
    assert all(c.electrically_conductive for c in CARDS.values() if c.name.endswith("-cf"))
