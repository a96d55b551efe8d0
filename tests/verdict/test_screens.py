"""Each screen both ways: evidence passes it, silence does not. Expected effects are the written rule."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from printworthy.inputs import BoltJoint, InsertJoint, LoadCase, Nearby, Rules
from printworthy.results import HeatResult, SourceHeat
from printworthy.verdict import screens

FLAME = {"flame_rating": "V-0, 3 mm"}
WARM = {"temperature": 45.0, "temperature_source": "thermocouple, 2 rides"}


def asked(make: SimpleNamespace, rules: Rules, screen: str, **changes: object) -> list[tuple[str, str]]:
    part = make.part(**changes.pop("part", {}))
    found = screens(part, make.card(**changes.pop("card", {})), make.vehicle(**changes.pop("vehicle", {})), rules)
    assert not changes
    return [(r.effect, r.words) for r in found if r.screen == screen]


@pytest.mark.parametrize("role", ["threaded fastener", "axle", "spoke"])
def test_some_parts_stay_metal(make: SimpleNamespace, rules: Rules, role: str) -> None:
    assert asked(make, rules, "metal role", part={"role": role})[0][0] == "do not print"
    assert asked(make, rules, "metal role")[0][0] == "print"


def test_silence_about_what_is_near_is_not_an_answer(make: SimpleNamespace, rules: Rules) -> None:
    assert asked(make, rules, "heat", part={"near": None})[0][0] == "not decided"
    assert asked(make, rules, "heat", part={"near": ()})[0][0] == "print"


@pytest.mark.parametrize(
    ("near", "effect"),
    [
        (Nearby("disc", 200.0), "print"),
        (Nearby("disc", 100.0), "do not print"),
        (Nearby("disc"), "not decided"),
        (Nearby("disc", 100.0, **WARM), "print with conditions"),  # 45 + 10 <= 60, the low end of the card's hot end
        (Nearby("disc", 100.0, 51.0, "computed"), "do not print"),  # no margin
        (Nearby("disc", 200.0, 90.0, "measured"), "do not print"),  # far, but measured hot
        (Nearby("disc", 100.0, 45.0), "not decided"),  # nobody says where 45 comes from
        (Nearby("motor", 60.0), "print"),
        (Nearby("motor", 40.0), "do not print"),
    ],
)
def test_heat(make: SimpleNamespace, rules: Rules, near: Nearby, effect: str) -> None:
    assert asked(make, rules, "heat", part={"near": (near,)})[0][0] == effect


def test_heat_needs_a_card_that_knows_its_hot_end(make: SimpleNamespace, rules: Rules) -> None:
    card = make.card()
    values = {k: v for k, v in card.values.items() if k != "service_high"}
    near = {"near": (Nearby("disc", 100.0, **WARM),)}
    assert asked(make, rules, "heat", part=near, card={"values": {}})[0][0] == "print with conditions"
    found = screens(make.part(**near), replace(card, values=values), make.vehicle(), rules)
    assert [r.effect for r in found if r.screen in ("heat", "service temperature")] == ["not decided"] * 2


@pytest.mark.parametrize(
    ("card", "distance", "effect"),
    [
        ({}, 50.0, "do not print"),
        ({"flame_rating": "HB"}, 50.0, "do not print"),
        (FLAME, 50.0, "print with conditions"),
        ({}, 300.0, "print"),
    ],
)
def test_flame(make: SimpleNamespace, rules: Rules, card: dict[str, str], distance: float, effect: str) -> None:
    near = Nearby("battery", distance, **WARM)
    assert asked(make, rules, "flame", part={"near": (near,)}, card=card)[0][0] == effect


@pytest.mark.parametrize(
    ("conducts", "live", "distance", "effect"),
    [
        (True, True, 50.0, "do not print"),
        (False, True, 50.0, "print with conditions"),
        (False, True, 5.0, "do not print"),
        (False, True, None, "not decided"),
        (True, False, 50.0, "print with conditions"),
        (False, False, 50.0, "print"),
    ],
)
def test_live_terminals(
    make: SimpleNamespace, rules: Rules, conducts: bool, live: bool, distance: float | None, effect: str
) -> None:
    near = Nearby("battery", distance, live_terminals=live, **WARM)
    card = {"electrically_conductive": conducts, **FLAME}
    assert asked(make, rules, "terminals", part={"near": (near,)}, card=card)[0][0] == effect


@pytest.mark.parametrize("exposure", ["sunlight", "fuel", "rain", "moisture", "cold"])
def test_known_exposures_are_conditions(make: SimpleNamespace, rules: Rules, exposure: str) -> None:
    effect, words = asked(make, rules, "exposure", part={"exposure": (exposure,)})[0]
    assert effect == "print with conditions"
    assert words.startswith(exposure)


def test_an_unknown_exposure_is_not_decided(make: SimpleNamespace, rules: Rules) -> None:
    assert asked(make, rules, "exposure", part={"exposure": ("brake fluid",)})[0][0] == "not decided"
    assert asked(make, rules, "exposure") == []


def test_carbon_warns_of_bare_aluminium(make: SimpleNamespace, rules: Rules) -> None:
    effect, words = asked(make, rules, "exposure", card={"electrically_conductive": True})[0]
    assert (effect, "aluminium" in words) == ("print with conditions", True)


def test_bolts_through_plastic_and_inserts(make: SimpleNamespace, rules: Rules) -> None:
    bolt = {"name": "b", "diameter": 8.0, "thickness": 12.0, "edge_distance": 16.0, "load": 100.0, "preload": 8000.0}
    assert "sleeve" in asked(make, rules, "bolts", part={"joints": (BoltJoint(**bolt),)})[0][1]  # type: ignore[arg-type]
    assert asked(make, rules, "bolts", part={"joints": (BoltJoint(**bolt, sleeve=True),)}) == []  # type: ignore[arg-type]
    insert = InsertJoint("i", 8.0, 10.0, 500.0)
    assert asked(make, rules, "inserts", part={"joints": (insert,)})[0][0] == "not decided"
    assert asked(make, rules, "inserts", part={"joints": (InsertJoint("i", 8.0, 10.0, 500.0, 900.0),)}) == []


@pytest.mark.parametrize(
    ("high", "effect"),
    [(60.0, "print"), (61.0, "not decided"), (80.0, "not decided"), (81.0, "do not print")],
)
def test_hot_end_is_a_range(make: SimpleNamespace, rules: Rules, high: float, effect: str) -> None:
    found = asked(make, rules, "service temperature", vehicle={"service_high": high})
    assert [e for e, _ in found] == [effect]


def test_a_part_may_state_its_own_range(make: SimpleNamespace, rules: Rules) -> None:
    found = asked(make, rules, "service temperature", part={"service_high": 81.0})
    assert found[0][0] == "do not print"


@pytest.mark.parametrize(("role", "effect"), [("peg", "not decided"), ("cover", "print with conditions")])
def test_cold_end(make: SimpleNamespace, rules: Rules, role: str, effect: str) -> None:
    assert asked(make, rules, "cold", part={"role": role}, vehicle={"service_low": -30.0})[0][0] == effect
    assert asked(make, rules, "cold", part={"role": role}, vehicle={"service_low": -20.0})[0][0] == "print"


def test_heat_without_deflection_points_is_not_decided(make: SimpleNamespace, rules: Rules) -> None:
    card = make.card()
    bare = replace(card, values={k: v for k, v in card.values.items() if not k.startswith("hdt")})
    found = screens(make.part(), bare, make.vehicle(service_high=45.0), rules)
    assert [r.effect for r in found if r.screen == "service temperature"] == ["not decided"]


def test_an_example_card_decides_nothing(make: SimpleNamespace, rules: Rules) -> None:
    assert asked(make, rules, "example card", card={"example_only": True})[0][0] == "not decided"


@pytest.mark.parametrize(
    ("role", "effect"), [("peg", "not decided"), ("hand lever", "not decided"), ("cover", "print with conditions")]
)
def test_impact_needs_its_own_evidence(make: SimpleNamespace, rules: Rules, role: str, effect: str) -> None:
    cases = (LoadCase("kerb", (), "impact", "test"),)
    assert asked(make, rules, "impact", part={"role": role, "cases": cases})[0][0] == effect
    assert asked(make, rules, "impact", part={"role": role}) == []


def test_reasons_stand_in_the_order_asked(make: SimpleNamespace, rules: Rules) -> None:
    part = make.part(
        near=(Nearby("battery", 50.0, live_terminals=True, **WARM),), exposure=("rain",),
        cases=(LoadCase("kerb", (), "impact", "test"),),
    )  # fmt: skip
    found = [r.screen for r in screens(part, make.card(example_only=True), make.vehicle(), rules)]
    assert found == [
        "metal role", "heat", "flame", "terminals", "exposure", "service temperature", "cold", "example card", "impact",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("coolest", "hottest", "effect"),
    [
        (40.0, 49.0, "print with conditions"),  # 49 + 10 <= 60, the low end of what the card bears
        (40.0, 51.0, "not decided"),  # the margin is lost at the hot end only
        (69.0, 90.0, "not decided"),  # 69 + 10 <= 80, the high end: not sure to be too hot
        (71.0, 90.0, "do not print"),
    ],
)
def test_a_computed_temperature_answers(
    make: SimpleNamespace, rules: Rules, coolest: float, hottest: float, effect: str
) -> None:
    disc = SourceHeat("front disc", "disc", 200.0, 210.0, 220.0, "lumped")
    heat = HeatResult(
        "descent", "stuff", (0, 0, 1), 40.0, (disc,), hottest, coolest, 50.0, (0, 0, 0), "", 0.0, None, 100, "test"
    )
    part = make.part(near=(Nearby("disc", 30.0),))
    found = screens(part, make.card(), make.vehicle(), rules, (heat,))
    answers = [r for r in found if r.screen == "heat"]
    assert [r.effect for r in answers] == [effect]
    assert f"{hottest:.0f} degC" in answers[0].words
