"""Claims held against coupons. References: intervals of t and chi-square by tables (NIST/SEMATECH e-Handbook 1.3.6.7.2
and 1.3.6.7.4: t(0.95; 4) = 2.132, chi2(0.05; 4) = 0.711, chi2(0.95; 4) = 9.488), bars by hand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from printworthy.errors import Place
from printworthy.evidence import Compared, coupon_claims, studies
from printworthy.evidence.claims import bar_ratios, mean_interval, scatter_interval
from printworthy.inputs import CouponSet
from printworthy.workspace.cards import read_cards
from printworthy.workspace.rules import read_rules

CARDS, RULES = read_cards(), read_rules()


def answers(values: tuple[float, ...], **stated: float) -> list[str]:
    found = CouponSet("s", "pa-cf", "in layer", values, 23.0, "dry", "own", False, Place(Path("t.csv"), 1))
    return [c.answer for c in coupon_claims(studies([found], RULES), CARDS, RULES, Compared(**stated))]


def test_intervals_by_tables() -> None:
    low, high = mean_interval([98, 99, 100, 101, 102])  # s = sqrt(2.5)
    assert (high - low) / 2 == pytest.approx(2.132 * math.sqrt(2.5 / 5), rel=2e-4)
    values = [math.exp(x) for x in (-0.02, -0.01, 0, 0.01, 0.02)]  # s of ln x = sqrt(2.5) / 100
    low, high = scatter_interval(values)
    assert low == pytest.approx(math.sqrt(2.5e-4 * 4 / 9.488), rel=1e-3)
    assert high == pytest.approx(math.sqrt(2.5e-4 * 4 / 0.711), rel=1e-3)


def test_a_bar_by_hand() -> None:
    # half the mass of half the density: the same section, so pull and moment go as the strengths
    assert bar_ratios(0.5, 0.4, 0.5) == pytest.approx((0.4, 0.4))
    # four times the section: four times the pull, eight times the section modulus of a similar section
    assert bar_ratios(2.0, 0.4, 0.5) == pytest.approx((1.6, 3.2))


def test_nothing_stated_is_not_decided_and_the_bar_is() -> None:
    assert answers((70, 71, 72, 73, 74)) == ["not decided", "not decided", "does not hold"]


@pytest.mark.parametrize(("moulded", "answer"), [(80.0, "holds"), (90.0, "does not hold"), (84.5, "not decided")])
def test_share_of_moulded(moulded: float, answer: str) -> None:
    assert answers((70, 71, 72, 73, 74), moulded=moulded)[0] == answer  # mean 72, 70.5 to 73.5


@pytest.mark.parametrize(("scatter", "answer"), [(0.06, "holds"), (0.01, "does not hold"), (0.03, "not decided")])
def test_scatter(scatter: float, answer: str) -> None:
    assert answers((70, 71, 72, 73, 74), cast_scatter=scatter)[1] == answer  # 2.2 %, 1.4 to 5.2 %


def test_stated_peak_loads_decide() -> None:
    stated = {"mass": 0.034, "metal_mass": 0.059, "metal_peak": 3000.0}
    assert answers((70, 71, 72, 73, 74), peak=3100.0, **stated)[2] == "holds"
    assert answers((70, 71, 72, 73, 74), peak=2900.0, **stated)[2] == "does not hold"
