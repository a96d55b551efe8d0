"""Material cards and the rule: the shipped ones are sound, own ones win, each fault gives its one line.

The limits of elastic constants are compared with the eigenvalues of the compliance matrix itself (numpy), written out
here from the definition of the constants (Lempriere, AIAA Journal 6 (1968) 2226).
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sound import Sound

from printworthy import workspace
from printworthy.errors import CardError
from printworthy.inputs import PROPERTIES, Consequence
from printworthy.workspace.cards import SHIPPED, elastic_fault, read_cards
from printworthy.workspace.orthotropic import LESSER, OWN, SAME
from printworthy.workspace.rules import read_rules

CARD = """
name = "mine"
title = "Own polymer"
kind = "printed polymer"
notes = ["dry"]

[values.modulus_in_layer]
value = "2 GPa"
low = "1.9 GPa"
high = "2100 MPa"
source = "own tests"
confidence = "measured"
date = "2025"

[values.poisson_in_layer]
value = 0.38
source = "none"
confidence = "common practice, no source"

[values.service_low]
value = "-4 degF"
source = "none"
confidence = "assumed"

[values.density]
value = "1270 kg/m^3"
source = "weighed"
confidence = "measured"
"""


def test_shipped_cards_hold_the_numbers_of_their_files() -> None:
    cards = read_cards()
    files = sorted((SHIPPED / "materials").glob("*.toml"))
    assert set(cards) == {path.stem for path in files}
    for path in files:
        stated = tomllib.loads(path.read_text(encoding="utf-8"))["values"]
        assert set(stated) <= set(PROPERTIES)
        follows = set() if "modulus_along" not in stated else {*LESSER, *SAME}
        assert set(cards[path.stem].values) == set(stated) | follows


@pytest.mark.parametrize("beads", [False, True])
def test_every_property_can_be_read(sound: Sound, beads: bool) -> None:
    (sound.root / "cards").mkdir()
    units = {"": "", "g/cm3": "g/cm^3"}
    along = [name for name in PROPERTIES if any(word in name for word in OWN)]
    left = {*LESSER, *SAME} if beads else set(along)
    values = "".join(
        f'[values.{name}]\nvalue = "0.01 {units.get(unit, unit)}"\nsource = "s"\nconfidence = "invented"\n'
        for name, unit in PROPERTIES.items()
        if name not in left
    )
    head = 'name = "all"\ntitle = "t"\nkind = "printed polymer"\n'
    (sound.root / "cards/all.toml").write_text(head + values, encoding="utf-8")
    card = read_cards(sound.root)["all"]
    known = {name: unit for name, unit in PROPERTIES.items() if beads or name not in along}
    assert {name: quantity.unit for name, quantity in card.values.items()} == known
    assert {quantity.value for quantity in card.values.values()} == {0.01}
    assert card.orthotropic == beads


def test_an_own_card_is_read_in_the_units_inside(sound: Sound) -> None:
    (sound.root / "cards").mkdir()
    (sound.root / "cards/mine.toml").write_text(CARD, encoding="utf-8")
    card = read_cards(sound.root)["mine"]
    modulus = card.values["modulus_in_layer"]
    assert (modulus.value, modulus.low, modulus.high, modulus.unit) == (2000.0, 1900.0, 2100.0, "MPa")
    assert (modulus.source, modulus.confidence, modulus.date) == ("own tests", "measured", "2025")
    assert card.number("service_low") == pytest.approx(-20.0, abs=1e-9)
    assert card.number("density") == pytest.approx(1.27, rel=1e-12)
    assert card.number("melting") is None
    assert card.notes == ("dry",)


def test_an_own_card_of_a_shipped_name_wins(sound: Sound) -> None:
    (sound.root / "cards").mkdir()
    text = CARD.replace('"mine"', '"petg"')
    (sound.root / "cards/petg.toml").write_text(text, encoding="utf-8")
    assert workspace.read(sound.root).cards["petg"].title == "Own polymer"
    assert read_cards()["petg"].title != "Own polymer"


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('name = "mine"', 'name = "mime"', ':2 (name): the card is called "mime"'),
        ("[values.density]", "[values.densty]", '(values.densty): "densty" is not a property. Did you mean "density"?'),
        ('source = "own tests"', "", ':7 (values.modulus_in_layer.source): "source" is missing'),
        ('source = "own tests"', 'source = " "', ':11 (values.modulus_in_layer.source): "source" is an empty text'),
        ('"measured"\ndate', '"guessed"\ndate', '"guessed" is not one of: measured, published, from memory, common'),
        ('"2 GPa"', '"2 kg"', ':8 (values.modulus_in_layer.value): "kg" is not a unit of stress'),
        ('"2 GPa"', "2000", ':8 (values.modulus_in_layer.value): stress "2000" has no unit'),
        ('"2 GPa"', '"-2 GPa"', "the value is outside its own low and high"),
        ('low = "1.9 GPa"', 'low = "2.1 GPa"', ":8 (values.modulus_in_layer.value): the value is outside its own low"),
        ('low = "1.9 GPa"', 'low = "-1 GPa"', ":7 (values.modulus_in_layer): is not above zero"),
        ("value = 0.38", "value = 1.2", "|nu12| < 1 fails: poisson_in_layer = 1.2"),
        ('kind = "printed polymer"', 'kind = "wood"', '"wood" is not one of: printed polymer, metal'),
        (
            "[values.density]",
            "[values.strength_through]",
            ':26 (values.strength_through.value): "kg/m^3" is not a unit',
        ),
        ("date =", "dat =", '"dat" is not known here. Did you mean "date"?'),
    ],
)
def test_one_fault_gives_one_line(sound: Sound, old: str, new: str, words: str) -> None:
    assert CARD.count(old) == 1
    (sound.root / "cards").mkdir()
    (sound.root / "cards/mine.toml").write_text(CARD.replace(old, new), encoding="utf-8")
    (told,) = sound.lines()
    assert told.startswith("cards/mine.toml")
    assert words in told


def test_a_metal_has_no_layers(sound: Sound) -> None:
    (sound.root / "cards").mkdir()
    text = CARD.replace("printed polymer", "metal").replace("[values.density]", "[values.strength_through]")
    (sound.root / "cards/mine.toml").write_text(text.replace("1270 kg/m^3", "12 MPa"), encoding="utf-8")
    assert 'a metal has no "strength_through"' in sound.lines()[0]


RATIOS = st.floats(-0.95, 0.95)


@given(st.floats(500.0, 20_000.0), st.floats(500.0, 20_000.0), RATIOS, RATIOS)
def test_elastic_limits_agree_with_the_eigenvalues_of_the_compliance(
    e1: float, e3: float, nu12: float, nu13: float
) -> None:
    normal = np.array([[1, -nu12, -nu13], [-nu12, 1, -nu13], [-nu13, -nu13, e1 / e3]]) / e1
    smallest = float(np.linalg.eigvalsh(normal).min()) * e1
    values = {"modulus_in_layer": e1, "modulus_through": e3, "poisson_in_layer": nu12, "poisson_through": nu13}
    if abs(smallest) > 1e-9:  # on the border itself rounding decides
        assert (elastic_fault("printed polymer", values) == "") == (smallest > 0.0)


@pytest.mark.parametrize(
    ("nu", "sound_value"), [(0.33, True), (0.499, True), (0.5, False), (-1.0, False), (-0.9, True)]
)
def test_elastic_limits_of_a_metal(nu: float, sound_value: bool) -> None:
    assert (elastic_fault("metal", {"poisson_in_layer": nu}) == "") == sound_value


# ---- the rule --------------------------------------------------------------------------------------------------------


def test_the_rule_states_a_consequence_and_evidence_for_every_role() -> None:
    rules = read_rules()
    assert set(rules.evidence) == set(get_args(Consequence))
    assert set(rules.metal_roles) <= set(rules.roles)
    assert rules.values["load_factor"].value == 1.5  # 14 CFR 25.303
    assert "none" in rules.inspection_factors


RULES = """
metal_roles = ["axle"]
[roles]
"axle" = "single point of failure"
[evidence]
"harmless" = "a"
"may injure" = "b"
"single point of failure" = "c"
[values.load_factor]
value = 1.5
source = "s"
confidence = "assumed"
[values.gap]
dimension = "temperature difference"
value = "18 degF"
source = "s"
confidence = "assumed"
[inspection.none]
value = "2"
source = "s"
confidence = "assumed"
"""


def test_rules_with_units(tmp_path: Path) -> None:
    (tmp_path / "rules.toml").write_text(RULES, encoding="utf-8")
    rules = read_rules(tmp_path / "rules.toml")
    assert (rules.values["gap"].value, rules.values["gap"].unit) == (10.0, "K")
    assert rules.inspection_factors["none"].value == 2.0


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('["axle"]', '["spoke"]', 'metal role "spoke" is not one of [roles]'),
        ('"may injure" = "b"', "", 'no evidence is stated for "may injure"'),
        ("[inspection.none]", "[inspection.some]", 'class "none" is missing'),
        ('"temperature difference"', '"temperatur"', 'Did you mean "temperature"?'),
        ('dimension = "temperature difference"', "", '"degF" is not a unit of ratio'),
        ("value = 1.5", 'value = "much"', 'ratio "much" has no number'),
        ("value = 1.5", "", '(values.load_factor.value): "value" is missing'),
        ('"single point of failure"\n[', '"bad"\n[', '"bad" is not one of: harmless'),
    ],
)
def test_one_fault_of_the_rule_gives_one_line(tmp_path: Path, old: str, new: str, words: str) -> None:
    assert RULES.count(old) == 1
    (tmp_path / "rules.toml").write_text(RULES.replace(old, new), encoding="utf-8")
    with pytest.raises(workspace.WorkspaceProblems) as caught:
        read_rules(tmp_path / "rules.toml")
    (told,) = caught.value.problems
    assert words in str(told)


def test_values_out_of_their_range_are_card_errors(sound: Sound) -> None:
    (sound.root / "cards").mkdir()
    (sound.root / "cards/mine.toml").write_text(CARD.replace("value = 0.38", "value = 1.2"), encoding="utf-8")
    (problem,) = workspace.problems(sound.root)
    assert isinstance(problem, CardError)
