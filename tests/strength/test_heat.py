"""Hot states of a part: exchanges, both ends of what is stated, relief point by point. Expected: closed forms."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import netgen.occ as occ
import numpy as np
import pytest

from printworthy import strength
from printworthy.evidence import design_values, relief, temperature_factor
from printworthy.inputs import Fill, Geometry, HeatBody, HeatPath, HeatState, Held, Part, Vehicle
from printworthy.ride.heat import STEFAN_BOLTZMANN
from printworthy.strength.conduction import Conductivity, Conductor, Flow
from printworthy.strength.exchange import Exchange, still_air, sunlight
from printworthy.strength.heat import Heater, infill_share
from printworthy.workspace.cards import read_cards
from printworthy.workspace.rules import read_rules
from specimens import plane, shape_faces, solid

CARD = read_cards()["pa-cf"]
UP = (0.0, 0.0, 1.0)


@pytest.fixture(scope="module")
def block(tmp_path_factory: pytest.TempPathFactory) -> Conductor:
    body = solid(occ.Box(occ.Pnt(0, 0, 0), occ.Pnt(20, 10, 10)), tmp_path_factory.mktemp("block"), 5.0)
    _, facets = shape_faces(body, {"left": plane((0, 0, 0), (-1, 0, 0))})
    return strength.conductor(strength.prepared(body, facets))


def heater(block: Conductor, path: HeatPath, **changes: object) -> Heater:
    sound = HeatState("hot", (path,), (10.0, 10.0), 0.9, "test")
    state = replace(sound, **changes)  # type: ignore[arg-type]
    part = Part("p", "P", Geometry(Path("p.step")), "cover", "pa-cf", {}, (), (), heat=(state,))
    body = HeatBody("disc", "disc", Held(200.0), "test", 0.8)
    found = strength.heater(block, part, Vehicle("v", "V", -10.0, 40.0, heat_bodies=(body,)), CARD, 40.0)
    assert found is not None
    return found


@pytest.mark.parametrize(
    "path",
    [
        HeatPath("left", "disc", contact=(500.0, 500.0)),
        HeatPath("left", "disc", gap=3.0),
        HeatPath("left", "disc", view=0.5),
    ],
)
def test_a_part_lies_between_air_and_source_and_heat_adds_up(block: Conductor, path: HeatPath) -> None:
    result = strength.warmth(heater(block, path), UP).results[0]
    assert 40.0 < result.coolest <= result.hottest < 200.0
    assert result.balance < 1e-4
    assert result.near_face == "left"


def test_a_shield_and_a_wider_gap_cool(block: Conductor) -> None:
    def hottest(path: HeatPath) -> float:
        return strength.warmth(heater(block, path), UP).hottest

    near = hottest(HeatPath("left", "disc", gap=2.0))
    assert hottest(HeatPath("left", "disc", gap=6.0)) < near
    assert hottest(HeatPath("left", "disc", gap=2.0, shields=1, shield_emissivity=0.1)) < near


def test_both_ends_of_a_range_are_carried(block: Conductor) -> None:
    result = strength.warmth(heater(block, HeatPath("left", "disc", contact=(20.0, 500.0))), UP).results[0]
    assert result.hottest - result.coolest > 20


def test_a_short_exposure_is_cooler_than_the_steady_state_and_tends_to_it(block: Conductor) -> None:
    path = HeatPath("left", "disc", contact=(500.0, 500.0))

    def hottest(duration: float | None) -> float:
        return strength.warmth(heater(block, path, duration=duration), UP).hottest

    steady = hottest(None)
    assert hottest(5.0) < steady - 5
    assert hottest(20_000.0) == pytest.approx(steady, abs=0.5)


def test_a_card_without_conductivity_gives_no_temperature(block: Conductor) -> None:
    values = {n: q for n, q in CARD.values.items() if n != "conductivity_through"}
    h = heater(block, HeatPath("left", "disc", gap=3.0))
    assert strength.heater(block, h.part, h.vehicle, replace(CARD, values=values), 40.0) is None


def test_still_air_conducts_and_then_turns_over() -> None:
    # 2 mm at 350 K mean: Rayleigh far below 1708, so k / d = 0.0300 / 0.002 (Incropera table A.4, from memory)
    assert still_air(2.0, 87.0, 67.0) == pytest.approx(15.0, rel=0.03)
    assert still_air(20.0, 150.0, 40.0) > 1.5 * still_air(2.0, 150.0, 40.0) / 10


def test_the_slope_of_an_exchange_is_that_of_its_flux() -> None:
    e = Exchange(np.arange(1), 12.0, 0.7, lambda _: 150.0)
    t, d = np.array([60.0]), 1e-3
    change = (e.flux(t - d, 0.0)[0] - e.flux(t + d, 0.0)[0]) / (2 * d)
    assert e.flux(t, 0.0)[1] == pytest.approx(change, rel=1e-6)
    assert e.flux(t, 0.0)[0] == pytest.approx(12 * 90 + 0.7 * STEFAN_BOLTZMANN * (423.15**4 - 333.15**4))


def test_sun_falls_on_what_faces_it() -> None:
    state = HeatState("sun", (), (10.0, 10.0), 0.9, "test", sun=1000.0, sun_from=(0.0, 0.0, 2.0), absorptance=0.8)
    assert sunlight(state, np.array([[0, 0, 1], [0, 0, -1], [1, 0, 0]], float)) == pytest.approx([800.0, 0.0, 0.0])


def test_relief_is_the_heat_step_at_each_points_own_temperature() -> None:
    rules = read_rules()
    hot = design_values(CARD, (), rules, low=-10.0, high=100.0)
    gain = relief(CARD, hot, 100.0, np.array([100.0, 60.0, 23.0, 0.0]))
    for t, g in zip((100.0, 60.0, 23.0, 0.0), gain["between"], strict=True):
        assert hot.between.value * g == pytest.approx(design_values(CARD, (), rules, low=-10.0, high=t).between.value)
    assert gain["in_layer"][1] == pytest.approx(
        temperature_factor(CARD, 60.0).factor / temperature_factor(CARD, 100.0).factor
    )


def test_infill_conducts_between_the_bounds_of_any_mix() -> None:
    """80 % polymer of 0.25 W/(m K), 20 % air of 0.026: 0.2052 side by side, 0.09181 in series (derived). The air here
    is a little colder, hence the tolerance."""
    assert 0.25 * infill_share(0.8, (0.25,), least=False) == pytest.approx(0.2052, rel=0.01)
    assert 0.25 * infill_share(0.8, (0.25,), least=True) == pytest.approx(0.09181, rel=0.06)


def test_a_rod_with_infill_conducts_as_wall_and_core_side_by_side(tmp_path: Path) -> None:
    """Ends at 0 and 100 degC: the ends of the rod are wall, so the gradient away from them is taken; sum of k A."""
    body = strength.prepared(solid(occ.Box((0, 0, 0), (60, 12, 12)), tmp_path, 2.0), {})
    fill, k = Fill(2.0, 0.2), Conductivity(0.3, 0.2, infill=0.1)
    c = strength.conductor(body, fill)
    x = c.ready.solid.corners.mean(axis=1)[:, 0]
    ends = [
        Exchange(c.points_of(np.flatnonzero(np.isclose(x, at))), 1e7, 0.0, lambda _, t=t: t)
        for at, t in ((0.0, 0.0), (60.0, 100.0))
    ]
    t = Flow(c, ends, np.zeros(len(c.area)), 20.0).steady(k, np.array([0.0, 0.0, 1.0]))
    points = c.ready.solid.points
    middle = np.abs(points[:, 0] - 30) < 12
    slope = np.polyfit(points[middle, 0], t[: len(points)][middle], 1)[0]
    across = k.weights(c)[np.abs(c.ready.sampler.points[: len(c.weights), 0] - 30) < 12].sum()
    assert 0.3 * slope * across / 24 == pytest.approx(passed(c, ends[1], t), rel=0.02)
    assert across / 24 == pytest.approx(144 - 0.9 * 64, rel=0.03)


def passed(c: Conductor, end: Exchange, t: np.ndarray) -> float:
    """Heat [mW] through an end."""
    flux = end.flux((c.surface @ t)[end.where], 0.0)[0]
    return float(1e-3 * flux @ c.area[end.where])
