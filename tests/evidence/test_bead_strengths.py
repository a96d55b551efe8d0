"""Strengths along and across the beads: which coupons speak of which, and what is governed by the less known."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from printworthy.evidence import best_values, design_values
from printworthy.inputs import CouponSet, MaterialCard, Rules
from printworthy.results import CaseResult, DirectionResult
from printworthy.verdict.strength import relief
from printworthy.verdict.table import governing

Make = Callable[..., MaterialCard]
Coupons = Callable[..., CouponSet]
PLAIN = {
    "modulus_in_layer": 2500, "hdt_180": 80, "hdt_045": 95, "strength_in_layer": (45, 40, 50),
    "strength_through": (20, 10, 30),
}  # fmt: skip
BEADS = {**PLAIN, "strength_along": (95, 85, 105), "strength_across": (45, 40, 50)}
FEW = {"low": 0.0, "high": 23.0}
MODE = "in the layer, tension"


def test_without_strengths_of_beads_there_are_six(card: Make, rules: Rules) -> None:
    d = design_values(card(**PLAIN), [], rules, **FEW)
    assert d.along is None
    assert len(d.strengths) == 6


def test_the_card_alone_gives_both_low_ends(card: Make, rules: Rules) -> None:
    d = design_values(card(**BEADS), [], rules, **FEW)
    assert [v.value for v in (d.along, d.in_layer)] == pytest.approx([85, 40])  # type: ignore[union-attr]
    assert len(d.strengths) == 8


def test_coupons_speak_of_the_way_they_were_pulled(card: Make, coupons: Coupons, rules: Rules) -> None:
    along = coupons("in layer", 96, 97, 95, 94, 98, name="along", beads="along")
    across = coupons("in layer", 46, 47, 45, 44, 48, name="across", beads="across")
    both = design_values(card(**BEADS), [along, across], rules, **FEW)
    alone = design_values(card(**BEADS), [across], rules, **FEW)
    plain = design_values(card(**PLAIN), [along], rules, **FEW)
    assert both.along is not None
    assert (both.along.n, both.in_layer.n) == (5, 5)
    assert both.in_layer.value == pytest.approx(alone.in_layer.value)
    # told apart, no share is taken off for the way across; a card that does not tell them apart takes it
    assert [s.kind for s in both.along.steps if s.kind == "beads"] == []
    assert [s.kind for s in plain.in_layer.steps if s.kind == "beads"] == ["beads"]
    assert both.along.value > plain.in_layer.value


def test_the_less_known_of_the_two_governs(card: Make, coupons: Coupons, rules: Rules) -> None:
    across = coupons("in layer", 46, 47, 45, 44, 48, beads="across")
    d = design_values(card(**BEADS), [across], rules, **FEW)
    case = CaseResult(
        "pull", 0.5, MODE, (0, 0, 0), (30.0, 0, 0, 0, 0, 0), "", False, {MODE: 0.5}, 0.1, (1, 0, 0), (-1, 0, 0), 0.0
    )
    (found,) = governing(DirectionResult("stuff", (0, 0, 1), 1.0, (case,), (), ""), d, rules)
    assert (found.value.name, found.value.n) == ("along the beads, tension", 0)


def test_the_best_that_is_left_open_keeps_both(card: Make, rules: Rules) -> None:
    law = card(**BEADS)
    d = design_values(law, [], rules, **FEW)
    best = best_values(law, d, rules)
    assert best.along is not None
    assert best.along.value == 105
    assert relief(MODE, d, best) == pytest.approx(min(40 / 50, 85 / 105))
