"""Pareto set against its definition; the rule of choice on directions whose figures are stated by hand."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from bodies import BED, LAYER, block
from hypothesis import given, settings
from hypothesis import strategies as st

from printworthy.errors import InputError
from printworthy.making import DirectionFigures, Rule, choose, differences, lay_figures, pareto

RULE = Rule(utilisation_error=0.05, least_slope=0.1)
tables = st.integers(1, 3).flatmap(
    lambda k: st.lists(st.lists(st.integers(0, 4), min_size=k, max_size=k), min_size=1, max_size=25)
)


def stated(**columns: list[float]) -> DirectionFigures:
    """Figures of as many directions as a column has rows; what is not stated is harmless and equal."""
    count = len(next(iter(columns.values())))
    base = lay_figures(
        block(20, 20, 20), np.tile([[0.0, 0, 1]], (count, 1)), overhang_angle=45, layer_height=LAYER, bed=BED,
        faces={"seat": np.array([0])},
    )  # fmt: skip
    return replace(base, **{name: np.array(values) for name, values in columns.items()})


def test_the_rows_nothing_beats() -> None:
    table = np.array([[1.0, 5], [2, 3], [2, 4], [4, 1], [5, 1], [2, 3]])
    assert pareto(table, (True, True)).tolist() == [0, 1, 3, 5]
    assert pareto(table, (False, True)).tolist() == [4]
    assert pareto(table, (True, False)).tolist() == [0]


@given(tables, st.lists(st.booleans(), min_size=3, max_size=3))
@settings(max_examples=200)
def test_the_set_is_the_definition(rows: list[list[int]], senses: list[bool]) -> None:
    table = np.array(rows, dtype=float)
    senses = senses[: table.shape[1]]
    signed = table * np.where(senses, 1, -1)
    beaten = {
        i
        for i, j in product(range(len(rows)), repeat=2)
        if (signed[j] <= signed[i]).all() and (signed[j] < signed[i]).any()
    }
    assert pareto(table, senses).tolist() == sorted(set(range(len(rows))) - beaten)


def test_figures_that_are_missing_cannot_be_compared() -> None:
    with pytest.raises(InputError, match="not finite"):
        pareto(np.array([[1.0, np.nan]]), (True, True))
    with pytest.raises(InputError, match="1 senses"):
        pareto(np.array([[1.0, 2.0]]), (True,))


def test_the_least_support_of_those_strong_enough() -> None:
    f = stated(support_volume=[10.0, 50, 30, 40])
    choice = choose(f, np.array([1.2, 0.5, 0.9, 0.4]), RULE)
    assert (choice.index, choice.strong, choice.buildable, choice.both, choice.met) == (2, 3, 4, 3, True)
    assert "3 of 4 directions are strong enough" in choice.words
    assert "least support is 30 mm3" in choice.words


def test_the_error_of_the_utilisation_counts() -> None:
    f = stated(support_volume=[10.0, 50])
    assert choose(f, np.array([0.96, 0.5]), RULE).index == 1  # 0.96 x 1.05 > 1
    assert choose(f, np.array([0.95, 0.5]), RULE).index == 0


def test_support_that_is_the_same_within_its_resolution_leaves_height_to_decide() -> None:
    f = stated(support_volume=[100.0, 103, 120], support_error=[2.0, 2, 2], height=[40.0, 30, 5])
    choice = choose(f, np.full(3, 0.5), RULE)
    assert choice.index == 1
    assert "2 directions are as good within the resolution" in choice.words


def test_equal_support_and_height_leave_utilisation_to_decide() -> None:
    assert choose(stated(support_volume=[7.0, 7, 7]), np.array([0.5, 0.3, 0.4]), RULE).index == 1


def test_none_strong_enough_gives_the_least_utilised_and_says_so() -> None:
    choice = choose(stated(support_volume=[1.0, 2, 3]), np.array([1.5, 1.2, 1.3]), RULE)
    assert (choice.index, choice.met) == (1, False)
    assert "no direction that fits and stands is below 1" in choice.words


def test_a_direction_that_falls_over_or_does_not_fit_is_not_picked() -> None:
    f = stated(support_volume=[1.0, 2, 3, 4], tip_slope_supported=[0.05, 1, 1, 1], over_bed=[-1.0, 5, -1, -1])
    assert choose(f, np.array([0.1, 0.1, 0.1, 0.1]), RULE).index == 2
    assert choose(replace(f, over_height=np.array([-1.0, -1, 3, -1])), np.full(4, 0.1), RULE).index == 3


def test_nothing_that_can_be_built_is_said_plainly() -> None:
    choice = choose(stated(over_bed=[5.0, 6]), np.array([0.9, 0.4]), RULE)
    assert (choice.index, choice.met, choice.buildable) == (1, False, 0)
    assert "no direction fits the build space and stands" in choice.words


def test_the_rule_is_stated_with_its_numbers() -> None:
    words = choose(stated(height=[1.0]), np.array([0.5]), Rule(0.02, limit=0.9, least_slope=0.15)).rule
    assert "error of 2 %" in words
    assert "below 0.9" in words
    assert "0.15" in words


def test_missing_utilisation_is_refused() -> None:
    for wrong in (np.array([0.5]), np.array([0.5, np.nan])):
        with pytest.raises(InputError, match="2 build directions need as many"):
            choose(stated(height=[1.0, 2]), wrong, RULE)
    with pytest.raises(InputError, match="negative"):
        Rule(utilisation_error=-0.1)


def test_what_another_pick_costs() -> None:
    f = stated(support_volume=[10.0, 70], height=[40.0, 25], overhang_on=[[0.0], [12]])
    rows = {d.name: d for d in differences(f, np.array([0.8, 0.4]), 0, 1)}
    assert rows["support volume"].change == pytest.approx(60)
    assert rows["printed height"].change == pytest.approx(-15)
    assert rows["utilisation"].change == pytest.approx(-0.4)
    assert (rows["overhang on seat"].change, rows["overhang on seat"].unit) == (12, "mm2")
