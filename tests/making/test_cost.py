"""Cost and calendar: what is missing stays unknown, intervals hold the value, and the trade's example of a lever."""

from __future__ import annotations

import numpy as np
import pytest

from printworthy.inputs import MakingCard, Quantity, Quote
from printworthy.making import alternatives, cost

HOURS = {
    "material_price": (60, 40, 90), "price": (4000, 3000, 6000), "life": (5, 3, 7), "hours_a_year": (3000, 1500, 5000),
    "maintenance": (0.1, 0.05, 0.15), "failure_rate": (0.005, 0.001, 0.02), "changeover": (0.2, 0.1, 0.3),
    "time_factor": (1, 0.9, 1.2), "labour": (40, 30, 60), "energy": (0.3, 0.2, 0.4), "set_up": (0.1, 0.05, 0.2),
    "support_removal": (0.002, 0.001, 0.004), "support_removal_each": (0.05, 0.02, 0.1), "finishing": (0.0, 0, 0.0001),
    "inspection": (0.05, 0.02, 0.1), "coupons": (0.0, 0.0, 5.0),
}  # fmt: skip


def q(value: float, low: float | None = None, high: float | None = None) -> Quantity:
    return Quantity(value, "", "invented", "invented", low, high)


def quantities() -> dict[str, Quantity]:
    return {name: q(*numbers) for name, numbers in HOURS.items()}


def items(x):  # type: ignore[no-untyped-def]
    return cost.piece_items(x, mass=0.2, supports=0.02, bed_hours=10, pieces=2, kwh=2, area=300, support_volume=60)


def test_a_cost_has_an_interval_and_a_tornado() -> None:
    found = cost.cost(quantities(), items)
    assert found.total is not None
    assert found.total.low < found.total.value < found.total.high
    assert sum(v for _, v in found.items) == pytest.approx(found.total.value)
    widths = [abs(s.high - s.low) for s in found.swings]
    assert widths == sorted(widths, reverse=True)
    labour = next(s for s in found.swings if s.name == "price of labour")
    by_hand = items({name: v[0] for name, v in HOURS.items()} | {"labour": 30.0})
    assert labour.low == pytest.approx(sum(by_hand.values()))


@pytest.mark.parametrize("name", HOURS)
def test_a_missing_price_makes_the_cost_unknown_and_is_named(name: str) -> None:
    known = quantities()
    del known[name]
    found = cost.cost(known, items)
    assert found.total is None
    assert found.missing == (cost.NEEDED[name],)


def test_the_interval_is_that_of_the_draws() -> None:
    # One input alone, triangular from 0 over 1 to 2: 5 % lie below sqrt(0.1).
    assert cost.spread(1.0, cost.drawn({"a": q(1, 0, 2)}, 200_000)["a"]).low == pytest.approx(np.sqrt(0.1), rel=0.02)
    assert set(cost.drawn({"a": q(3)})["a"]) == {3.0}


def test_the_trades_lever() -> None:
    # Common practice, no source: a lever prints in 40 min, 250 in a week; a casting takes eight weeks to the first,
    # then a thousand a week.
    week = 7 * 86400.0
    per_week = week / (40 * 60)
    assert per_week == pytest.approx(252)
    when = alternatives.overtaken(8 * week, week / 1000, 40 * 60)
    assert when is not None
    assert when / week == pytest.approx(8 / (1 - 0.252))
    times = np.array([0.0, week, 8 * week, 9 * week, when])
    cast = alternatives.delivered(times, 8 * week, week / 1000)
    assert cast.tolist()[:4] == [0, 0, 1, 1001]
    assert cast[4] == pytest.approx(when / 2400, abs=1.5)
    assert alternatives.overtaken(8 * week, week / 100, 40 * 60) is None


CARD = MakingCard(
    "die",
    "Pressure die casting",
    {
        "tooling": q(10_000, 6000, 20_000), "tooling_by_shadow": q(50), "tooling_change": q(0.4), "yield": q(0.8),
        "lead_time": q(8 * 7 * 86400), "lead_time_change": q(3 * 7 * 86400), "pieces": q(52_000), "piece": q(2.0),
        "minimum_order": q(100),
    },
    "al",
)  # fmt: skip
PART = alternatives.Workpiece(50.0, (10.0, 4.0, 2.0))


def test_a_process_is_figured_from_its_card() -> None:
    found = alternatives.course(CARD, PART, q(2.7), q(5.0, 4, 6), printed=15.0, print_every=2400.0)
    piece, tooling = 2.0 + 0.135 / 0.8 * 5.0, 10_000 + 50 * 40
    assert found.piece is not None
    assert found.tooling is not None
    assert found.piece.value == pytest.approx(piece)
    assert found.tooling.value == pytest.approx(tooling)
    assert found.tooling.low < tooling < found.tooling.high
    assert found.mass == pytest.approx(0.135)
    assert found.break_even == pytest.approx(tooling / (15 - piece))
    assert found.change == pytest.approx(0.4 * tooling)
    changed = alternatives.course(CARD, PART, q(2.7), q(5.0), printed=15.0, print_every=2400.0, changes=5)
    assert changed.break_even == pytest.approx(3 * tooling / (15 - piece))  # dies are paid again
    assert alternatives.course(CARD, PART, q(2.7), q(5.0), printed=2.0, print_every=1.0).break_even is None


def test_machining_pays_for_what_it_removes() -> None:
    values = {**CARD.values, "billet": q(1.0), "removal": q(500.0), "machine_hour": q(60.0), "piece": q(0.0)}
    found = alternatives.course(MakingCard("mill", "Milling", values, "al"), PART, q(2.7), q(5.0), 15.0, 2400.0)
    assert found.piece is not None
    assert found.piece.value == pytest.approx(80 * 2.7e-3 * 5 + 30_000 / 500 / 3600 * 60)


def test_an_offer_stands_in_place_of_the_card_and_the_unknown_is_named() -> None:
    offer = Quote("die", "letter of 3 March", tooling=7000.0, piece=3.5, minimum_order=500)
    found = alternatives.course(CARD, PART, None, None, 15.0, 2400.0, offer)
    assert found.break_even == pytest.approx(7000 / 11.5)
    assert found.minimum_order == 500
    assert found.missing == ("density of al",)
    bare = alternatives.course(CARD, PART, q(2.7), None, 15.0, 2400.0)
    assert bare.piece is None
    assert bare.break_even is None
    assert bare.missing == ("price of al",)
    assert "not known" in bare.words
