"""From parts and cards to beds, schedule, spares: one line for what cannot be; unknown stays unknown."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from bodies import Triangles, block, bracket

from printworthy.inputs import (
    PRINTER_VALUES,
    PROCESS_VALUES,
    Bought,
    Consolidation,
    Demand,
    Geometry,
    Part,
    PartMaking,
    PoolPrinter,
    Prices,
    RideSpan,
    Workshop,
)
from printworthy.making import Made, made, printed, settings
from printworthy.making.consolidation import merged
from printworthy.results import Life, Making
from printworthy.workspace.cards import read_cards
from printworthy.workspace.rules import read_rules
from printworthy.workspace.workshop import _cards, _prices

NOWHERE = Path("/nonexistent")


@cache
def shop() -> Workshop:
    problems: list = []
    cards = read_cards()
    densities = {n: c.values["density"] for n, c in cards.items() if "density" in c.values}
    shop = Workshop(
        _cards(NOWHERE, "printers", PRINTER_VALUES, problems), _cards(NOWHERE, "processes", PROCESS_VALUES, problems),
        _prices(NOWHERE, cards, problems), densities, (PoolPrinter("p", "closed-machine", (250.0, 210.0, 210.0)),),
    )  # fmt: skip
    assert problems == []
    return shop


def part(name: str, **making: object) -> Part:
    assert read_rules()
    how = PartMaking(**making)  # type: ignore[arg-type]
    return Part(name, name, Geometry(NOWHERE), "cover", "pa-cf", {}, (), (), making=how)


def thing(name: str, body: Triangles, word: str = "print", **making: object) -> Made:
    how = settings(shop().printers["closed-machine"], 0.2, 45.0)
    return Made(part(name, **making), read_cards()["pa-cf"], printed(body, (0, 0, 1), how), word)  # type: ignore[arg-type]


def plan(things: list[Made], **changes: object) -> Making:
    return made(things, replace(shop(), **changes), invented=True)  # type: ignore[arg-type]


def test_a_set_is_laid_on_beds_scheduled_and_costed() -> None:
    demand = Demand(
        vehicles=2, fleet=30, years=6, absence=4 * 365.25 * 86400, kit_mass=30, printer_mass=15, printer_works=0.95
    )
    things = [
        thing("a", block(60, 40, 20), quantity=2, failure_rate=0.1, failure_source="x"),
        thing("b", bracket(22, 40, 20), failure_rate=0.05, failure_source="x"),
        thing("metal", block(20, 20, 20), "do not print", failure_rate=0.1, failure_source="x"),
    ]
    found = plan(things, demand=demand)
    assert sorted(p.part for b in found.beds for p in b.pieces) == ["a"] * 4 + ["b"] * 2
    assert found.schedule is not None
    assert {s.task for s in found.schedule.slots} >= {"dry pa-cf", "bed 1", "finish bed 1"}
    by_name = {p.part: p for p in found.parts}
    a = by_name["a"]
    assert a.mass == pytest.approx(48_000 * 1.2e-6)
    assert a.cost.total is not None
    assert a.cost.total.low < a.cost.total.value < a.cost.total.high
    assert a.bed == 4
    assert found.filament["pa-cf"] == pytest.approx(
        4 * 0.0576 + 2 * (by_name["b"].mass + by_name["b"].support_mass)  # type: ignore[operator]
    )
    assert found.filament_cost == pytest.approx(75.0)  # less than a spool is a spool
    assert len(a.courses) == 5
    assert all(c.piece and c.break_even and c.change for c in a.courses if c.process == "pressure-die-casting")
    assert found.spares is not None
    assert [p.part for p in found.spares.plans] == ["a", "b"]
    assert found.spares.plans[0].mean == pytest.approx(0.1 * 2 * 30 * 6)
    assert found.spares.chosen is not None
    assert found.spares.chosen.mass <= 30
    assert "do not print, so no printed spares are planned: metal" in found.spares.words


def test_a_part_too_large_says_by_how_much_and_which_way_it_would_fit() -> None:
    tall = plan([thing("post", block(10, 10, 240))])
    (line,) = tall.refusals
    assert "30.0 mm too large for p" in line
    assert "extra_directions" in line
    assert tall.parts[0].cost.total is None
    assert tall.beds == ()
    huge = plan([thing("wall", block(280, 260, 20))])
    assert "whichever way it is turned, diagonals included" in huge.refusals[0]


def test_a_bar_longer_than_every_side_fits_across_the_diagonal() -> None:
    found = plan([thing("bar", block(300, 8, 8))])
    assert found.refusals == ()
    assert found.parts[0].printer == "p"


def test_a_part_that_leaves_no_clearance_is_told_and_the_others_are_planned() -> None:
    # 248 + 3 mm of clearance are more than 250; the plan goes on without it
    found = plan([thing("plate", block(248, 208, 5)), thing("small", block(20, 20, 20))])
    (line,) = found.refusals
    assert line.startswith("plate: it fits p as it is built only without the 3 mm kept free")
    assert [p.part for b in found.beds for p in b.pieces] == ["small"]


def test_a_material_nobody_runs() -> None:
    pool = (PoolPrinter("p", "closed-machine", (250.0, 210.0, 210.0), 1, ("pla",)),)
    assert "no printer of the pool runs pa-cf" in plan([thing("a", block(20, 20, 20))], pool=pool).refusals[0]


def test_a_missing_price_makes_the_cost_unknown_not_zero() -> None:
    bare = plan([thing("a", block(20, 20, 20))], prices=Prices(shop().prices.values, {}))
    assert bare.parts[0].cost.total is None
    assert bare.filament_cost is None
    assert bare.refusals == ("a: cost not known: price of the material missing",)
    assert all(c.break_even is None for c in bare.parts[0].courses)


def test_bought_pieces_go_with_their_mass_and_price() -> None:
    one = plan([thing("tray", block(80, 60, 10))]).parts[0]
    bought = (Bought("floor", "x", 0.3, 14.0), Bought("side", "x", 0.2, 10.0))
    stated = Consolidation("tray", "tray", (), fasteners=10, fastener_mass=0.004, fastener_price=0.25, assembly=1800.0,
                           bought=bought)  # fmt: skip
    found = merged(stated, {"tray": one}, shop().prices)
    labour = shop().prices.values["labour"].value  # by the hour
    assert found.pieces == (12, 1)
    assert found.mass[0] == pytest.approx(0.3 + 0.2 + 0.04)
    assert found.cost[0] == pytest.approx(14 + 10 + 2.5 + labour / 2)
    unpriced = merged(replace(stated, bought=(Bought("floor", "x"),)), {"tray": one}, shop().prices)
    assert unpriced.cost[0] is None
    assert unpriced.missing[:2] == ("mass of floor", "price of floor")


def test_zero_demand_is_said() -> None:
    found = plan([thing("a", block(20, 20, 20), quantity=0, failure_rate=0.0, failure_source="x")],
                 demand=Demand(fleet=5, years=2))  # fmt: skip
    assert found.beds == ()
    assert found.schedule is None
    assert found.refusals == ("a: quantity 0, so none is planned",)
    assert found.spares is not None
    assert "no demand" in found.spares.plans[0].words


def test_a_due_date_that_cannot_be_kept_names_the_bottleneck() -> None:
    found = plan([thing("a", block(100, 100, 60), due=3600.0)])
    assert found.schedule is not None
    assert "not kept" in found.schedule.words
    assert "bottleneck is" in found.schedule.words


def test_several_parts_in_one() -> None:
    found = plan([thing("left", block(30, 30, 5)), thing("right", block(30, 30, 5)), thing("both", block(60, 30, 5))])
    parts = {p.part: p for p in found.parts}
    stated = Consolidation("one piece", "both", ("left", "right"), 4, 0, 0.006, 0.5, None, 1200.0)
    result = merged(stated, parts, shop().prices)
    assert result.pieces == (6, 1)
    assert result.mass[0] == pytest.approx(result.mass[1] + 0.024)  # type: ignore[operator]
    one = parts["left"].cost.total
    assert one is not None
    assert result.cost[0] == pytest.approx(2 * one.value + 2.0 + 40 / 3)
    unknown = merged(replace(stated, fastener_mass=None, parts=("left", "gone")), parts, shop().prices)
    assert unknown.mass[0] is None
    assert set(unknown.missing) == {"gone as a printed part", "mass of a fastener"}


@pytest.mark.parametrize(
    ("stated", "per", "rate", "words"),
    [
        (None, "h", 300 / 600, "retired after 600 h at 300 h a year"),  # by hand: ride of a year over the life
        (0.1, "h", 0.5, "the larger is taken"),
        (0.9, "h", 0.9, "the larger is taken"),
        (0.1, "km", 0.1, "cannot be compared"),
        (None, "km", None, "cannot be compared"),
    ],
)
def test_spares_by_the_fatigue_life(stated: float | None, per: str, rate: float | None, words: str) -> None:
    life = Life(per, None, 600.0, 5000.0, True, (), (), (), (), True)  # type: ignore[arg-type]
    one = replace(thing("a", block(20, 20, 20), failure_rate=stated, failure_source="x"), life=life)
    demand = Demand(fleet=4, years=6.0, ride_a_year=RideSpan(300.0, "h"))
    found = plan([one], demand=demand).spares
    assert found is not None
    assert [p.rate for p in found.plans] == ([] if rate is None else [pytest.approx(4 * rate)])
    assert any(words in w for w in found.words)


def test_without_a_life_or_a_rate_spares_are_not_known() -> None:
    found = plan([thing("a", block(20, 20, 20))], demand=Demand(fleet=4, years=6.0)).spares
    assert found is not None
    assert found.plans == ()
    assert "there is no fatigue life" in found.words[0]
