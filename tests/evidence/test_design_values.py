"""Design values: which evidence is used, and that every step is told. Factors k: see test_tolerance."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.errors import CardError, Place
from printworthy.evidence import best_values, design_values
from printworthy.inputs import CouponSet, MaterialCard, Quantity, Rules
from printworthy.results import DesignValue, DesignValues

Make = Callable[..., MaterialCard]
Coupons = Callable[..., CouponSet]
BASE = {
    "modulus_in_layer": 2500,
    "hdt_180": 80,
    "hdt_045": 95,
    "strength_in_layer": (50, 40, 60),
    "strength_through": (20, 10, 30),
}


def parts(d: DesignValues) -> list[DesignValue]:
    return [
        d.in_layer, d.between, d.shear_between, d.shear_in_layer, d.compression_in_layer, d.compression_between,
    ]  # fmt: skip


def product(v: DesignValue) -> float:
    return v.start * math.prod(s.factor for s in v.steps)


def test_card_alone_gives_its_low_end_and_stated_bounds(card: Make, rules: Rules) -> None:
    d = design_values(card(**BASE), [], rules, low=0, high=23)
    assert [v.value for v in parts(d)] == pytest.approx([40, 10, 5, 20, 40, 20])
    assert [v.n for v in parts(d)] == [0] * 6
    assert d.shear_between.confidence == "assumed"
    assert d.in_layer.steps[0].name == "low end of the card"


def test_every_value_is_its_start_times_its_steps(card: Make, coupons: Coupons, rules: Rules) -> None:
    sets = [
        coupons("in layer", 50, 52, 48, 51, 49),
        coupons("between layers", 20, 24, 18, 22, 21),
        coupons("45 degrees", 30, 33, 29),
    ]
    d = design_values(card(**BASE, moisture_factor=(0.5, 0.4, 0.6)), sets, rules, low=0, high=50)
    for v in parts(d):
        assert v.value == pytest.approx(product(v), rel=1e-12)
        assert all(s.source for s in v.steps)


def test_five_coupons_give_the_lognormal_limit(card: Make, coupons: Coupons, rules: Rules) -> None:
    # Five upright glass-filled ABS coupons (joshcarter/tensile_test): lognormal B limit 5.4594 MPa, scatter 22 %.
    upright = [f / 50 for f in (775.59, 472.80, 672.45, 462.52, 599.72)]
    d = design_values(card(**BASE), [coupons("between layers", *upright)], rules, low=0, high=23)
    assert d.between.value == pytest.approx(5.4594, abs=1e-4)
    assert d.between.start == pytest.approx(11.9323, abs=1e-4)
    assert (d.between.n, d.between.confidence) == (5, "measured")
    assert d.shear_between.value == pytest.approx(0.5 * 5.4594, abs=1e-4)
    assert d.shear_between.n == 0


def test_tight_coupons_are_held_to_the_stated_scatter(card: Make, coupons: Coupons, rules: Rules) -> None:
    d = design_values(card(**BASE), [coupons("in layer", *[50.0] * 5)], rules, low=0, high=23)
    assert d.in_layer.value == pytest.approx(50 * math.exp(-3.40663 * math.sqrt(math.log(1 + 0.06**2))), rel=1e-5)


def test_one_or_two_coupons_only_ever_lower(card: Make, coupons: Coupons, rules: Rules) -> None:
    strong = design_values(card(**BASE), [coupons("between layers", 28, 29)], rules, low=0, high=23).between
    assert (strong.value, strong.n) == (10, 2)
    assert "too few" in strong.basis
    weak = design_values(card(**BASE), [coupons("between layers", 6, 29)], rules, low=0, high=23).between
    assert (weak.value, weak.n) == (6, 2)


def test_half_of_a_45_degree_pull_bounds_the_shear(card: Make, coupons: Coupons, rules: Rules) -> None:
    pull = coupons("45 degrees", 30, 33, 29, 31, 30)
    shear = design_values(card(**BASE), [pull], rules, low=0, high=23).shear_between
    alone = design_values(card(**BASE), [replace(pull, direction="interlayer shear")], rules, low=0, high=23)
    assert shear.value == pytest.approx(alone.shear_between.value / 2)
    assert shear.n == 5
    both = [pull, coupons("interlayer shear", 25, 26, 24)]
    assert design_values(card(**BASE), both, rules, low=0, high=23).shear_between.n == 3


def test_batches_that_agree_are_pooled(card: Make, coupons: Coupons, rules: Rules) -> None:
    sets = [coupons("in layer", 50, 52, 48, name="A"), coupons("in layer", 51, 49, 50, name="B")]
    x = design_values(card(**BASE), sets, rules, low=0, high=23).in_layer
    assert x.n == 6
    assert "2 batches that agree" in x.steps[0].name


def test_batches_that_differ_give_the_lowest(card: Make, coupons: Coupons, rules: Rules) -> None:
    good, bad = coupons("in layer", 50, 52, 48, 51, 49, name="A"), coupons("in layer", 30, 31, 29, name="B")
    x = design_values(card(**BASE), [good, bad], rules, low=0, high=23).in_layer
    alone = design_values(card(**BASE), [bad], rules, low=0, high=23).in_layer
    assert (x.value, x.n) == (pytest.approx(alone.value), 3)
    assert "batches differ" in x.steps[0].name


def test_a_weak_pair_takes_over_with_its_few_coupons(card: Make, coupons: Coupons, rules: Rules) -> None:
    sets = [coupons("in layer", 50, 52, 48, 51, 49, name="A"), coupons("in layer", 20, 21, name="B")]
    x = design_values(card(**BASE), sets, rules, low=0, high=23).in_layer
    assert (x.value, x.n) == (pytest.approx(20), 2)


def test_three_batches_that_differ_speak_for_the_next_one(card: Make, coupons: Coupons, rules: Rules) -> None:
    sets = [coupons("in layer", *[m + d for d in (-1, -0.5, 0, 0.5, 1)], name=str(m)) for m in (45, 50, 55)]
    x = design_values(card(**BASE), sets, rules, low=0, high=23).in_layer
    lowest = design_values(card(**BASE), sets[:1], rules, low=0, high=23).in_layer
    assert x.value < lowest.value
    assert (x.n, "random effects" in x.steps[0].name) == (15, True)


def test_coupons_of_another_material_are_not_ours(card: Make, coupons: Coupons, rules: Rules) -> None:
    other = replace(coupons("in layer", 90, 91, 92), material="other")
    assert design_values(card(**BASE), [other], rules, low=0, high=23).in_layer.n == 0


def test_hot_coupons_beat_room_coupons_with_a_heat_step(card: Make, coupons: Coupons, rules: Rules) -> None:
    room, hot = coupons("in layer", 50, 52, 48), coupons("in layer", 40, 41, 39, name="B", temperature=60.0)
    only_room = design_values(card(**BASE), [room], rules, low=0, high=60).in_layer
    x = design_values(card(**BASE), [room, hot], rules, low=0, high=60).in_layer
    assert only_room.steps[-1].name.startswith("heat")
    assert x.start == pytest.approx(40)
    assert len(x.steps) == 1


def test_dry_coupons_of_a_thirsty_polymer_lose_and_moist_ones_do_not(
    card: Make, coupons: Coupons, rules: Rules
) -> None:
    c = card(**BASE, moisture_factor=(0.5, 0.4, 0.6))
    dry = design_values(c, [coupons("in layer", 50, 52, 48, moisture="dry")], rules, low=0, high=23).in_layer
    moist = design_values(c, [coupons("in layer", 50, 52, 48, moisture="moist")], rules, low=0, high=23).in_layer
    assert dry.value == pytest.approx(0.4 * moist.value)


def test_invented_coupons_mark_all_that_rests_on_them(card: Make, coupons: Coupons, rules: Rules) -> None:
    d = design_values(card(**BASE), [coupons("between layers", 20, 22, 21, invented=True)], rules, low=0, high=23)
    assert (d.between.invented, d.between.confidence) == (True, "invented")
    assert d.shear_between.invented
    assert not d.in_layer.invented


def test_what_nothing_states_is_refused(card: Make, rules: Rules) -> None:
    bare = {k: v for k, v in BASE.items() if k != "strength_through"}
    with pytest.raises(CardError, match=r"no strength through.*strength_through"):
        design_values(card(**bare), [], rules, low=0, high=23)
    with pytest.raises(CardError, match="is a metal"):
        design_values(replace(card(**BASE), kind="metal"), [], rules, low=0, high=23)
    with pytest.raises(CardError, match="crossed"):
        design_values(card(**BASE), [], rules, low=30, high=23)


def test_a_card_without_strength_is_enough_with_coupons(card: Make, coupons: Coupons, rules: Rules) -> None:
    sets = [coupons("in layer", 50, 52, 48), coupons("between layers", 20, 22, 21)]
    d = design_values(card(modulus_in_layer=2500), sets, rules, low=0, high=23)
    assert (d.in_layer.n, d.between.n) == (3, 3)


def test_best_values_are_the_means_and_the_high_ends(card: Make, coupons: Coupons, rules: Rules) -> None:
    c = card(**BASE)
    d = design_values(c, [coupons("between layers", 20, 22, 21)], rules, low=0, high=60)
    best = best_values(c, d, rules)
    assert (best.in_layer.value, best.between.value) == pytest.approx((60, 21))
    assert best.shear_between.value == pytest.approx(max(0.8 * 21, 0.6 * 60))
    assert best.shear_in_layer.value == pytest.approx(60)


def test_measured_shear_above_the_plausible_share_stays_the_best(card: Make, coupons: Coupons, rules: Rules) -> None:
    c = card(**BASE)
    d = design_values(c, [coupons("interlayer shear", *[60.0] * 18)], rules, low=0, high=23)
    assert d.shear_between.value > 0.6 * 60
    assert best_values(c, d, rules).shear_between.value >= d.shear_between.value


@given(
    st.lists(st.floats(5, 80), min_size=0, max_size=8),
    st.lists(st.floats(5, 80), min_size=0, max_size=8),
    st.floats(-10, 95),
)
def test_design_never_exceeds_best_and_heat_never_helps(
    rules: Rules, x: list[float], z: list[float], high: float
) -> None:
    def made(direction: str, values: list[float]) -> CouponSet:
        return CouponSet("s", "stuff", direction, tuple(values), 23.0, "", "b", False, Place(Path("a")))  # type: ignore[arg-type]

    values = {
        k: Quantity(v[0], "", "s", "assumed", v[1], v[2]) if isinstance(v, tuple) else Quantity(v, "", "s", "assumed")
        for k, v in BASE.items()
    }
    c = MaterialCard("stuff", "", "printed polymer", values)
    sets = [made("in layer", x), made("between layers", z)]
    d = design_values(c, sets, rules, low=-10, high=high)
    cool = design_values(c, sets, rules, low=-10, high=-10)
    for used, most, cold in zip(parts(d), parts(best_values(c, d, rules)), parts(cool), strict=True):
        assert 0 < used.value <= most.value * (1 + 1e-12)
        assert used.value <= cold.value * (1 + 1e-12)


def test_a_lasting_load_takes_its_share_of_every_strength(card: Make, rules: Rules) -> None:
    """8 % for each decade from 0.01 h (rules.toml): 1000 h are five decades, so 0.6 is left."""
    short = design_values(card(**BASE), [], rules, low=0, high=23)
    long = design_values(card(**BASE), [], rules, low=0, high=23, hours=1000)
    assert [v.value for v in parts(long)] == pytest.approx([0.6 * v.value for v in parts(short)], rel=1e-12)
    assert "lasting load" in [s.name for s in short.untaken]
    assert "lasting load" in [s.kind for s in long.in_layer.steps]
    assert "lasting load" not in [s.name for s in long.untaken]


def test_weathering_is_taken_only_in_the_sun_and_with_a_figure(card: Make, rules: Rules) -> None:
    c = card(**BASE, weathering_factor=(0.8, 0.7, 0.9))
    sun = design_values(c, [], rules, low=0, high=23, exposure=("sunlight",))
    assert sun.in_layer.value == pytest.approx(0.7 * 40)
    assert design_values(c, [], rules, low=0, high=23).in_layer.value == pytest.approx(40)
    bare = design_values(card(**BASE), [], rules, low=0, high=23, exposure=("sunlight",))
    why = next(s.source for s in bare.untaken if s.name == "weathering")
    assert why.startswith("sunlight is stated and the card has no")


def test_coupons_pulled_along_their_beads_are_not_the_weakest_direction(
    card: Make, coupons: Coupons, rules: Rules
) -> None:
    along = coupons("in layer", 50, 52, 48, beads="along")
    x = design_values(card(**BASE), [along], rules, low=0, high=23).in_layer
    across = design_values(card(**BASE), [replace(along, beads="across")], rules, low=0, high=23).in_layer
    assert x.value == pytest.approx(0.79 * across.value)


def test_blows_lower_the_tensions_to_notched_cold_coupons(card: Make, coupons: Coupons, rules: Rules) -> None:
    slow = [coupons("in layer", 50, 52, 48), coupons("between layers", 20, 22, 21)]
    cold = {"impact": True, "temperature": -20.0}
    hit = [coupons("in layer", 20, 22, 21, name="c", **cold), coupons("between layers", 9, 10, 8, name="d", **cold)]
    quiet = design_values(card(**BASE), [*slow, *hit], rules, low=-10, high=23)
    blows = design_values(card(**BASE), [*slow, *hit], rules, low=-10, high=23, impact=True)
    assert (quiet.impact, blows.impact) == (False, True)
    assert quiet.in_layer.start == pytest.approx(50)
    assert blows.in_layer.value < 20 < quiet.in_layer.value
    assert blows.between.steps[-1].kind == "impact"
    warm = [replace(s, temperature=20.0) for s in hit]  # not cold enough: no evidence
    left = design_values(card(**BASE), [*slow, *warm], rules, low=-10, high=23, impact=True)
    assert (left.impact, left.in_layer.value) == (False, pytest.approx(quiet.in_layer.value))
    assert "blows in the cold" in [s.name for s in left.untaken]


def test_strengths_that_are_not_lognormal_get_no_more_than_the_distribution_free_limit(
    card: Make, coupons: Coupons, rules: Rules
) -> None:
    values = [50.0, 50.4, 49.7, 50.2, 49.9, 50.1, 50.3, 49.8, 50.0, 50.2, 49.9, 50.1, 31.0, 30.6, 31.3, 30.9]
    x = design_values(card(**BASE), [coupons("in layer", *values)], rules, low=0, high=23).in_layer
    assert "not lognormal" in x.steps[0].name


def test_an_outlier_is_named_and_kept(card: Make, coupons: Coupons, rules: Rules) -> None:
    values = [107.68, 108.96, 116.12, 80.23, 106.15, 104.67, 104.23]  # CMH-17-1G 8.3.11.1.1: 80.23 is an outlier
    x = design_values(card(**BASE), [coupons("in layer", *values)], rules, low=0, high=23).in_layer
    assert "80.23 MPa is an outlier" in x.steps[0].name
    assert (x.n, x.start) == (7, pytest.approx(104.006, abs=1e-3))


def test_batches_that_scatter_differently_are_told_apart(card: Make, coupons: Coupons, rules: Rules) -> None:
    tight = coupons("in layer", *[50 + 0.02 * i for i in range(-12, 13)], name="A")
    wide = coupons("in layer", *[50 + 1.5 * i for i in range(-12, 13)], name="B")
    x = design_values(card(**BASE), [tight, wide], rules, low=0, high=23).in_layer
    assert "k-sample Anderson-Darling" in x.steps[0].name
    assert x.n == 25
