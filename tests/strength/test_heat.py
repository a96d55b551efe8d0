"""Hot states of a part: exchanges, both ends of what is stated, relief point by point. Expected: closed forms."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import netgen.occ as occ
import numpy as np
import pytest

from printworthy import strength
from printworthy.evidence import design_values, relief, temperature_factor
from printworthy.inputs import Geometry, HeatBody, HeatPath, HeatState, Held, Part, Vehicle
from printworthy.ride.heat import STEFAN_BOLTZMANN
from printworthy.strength.conduction import Conductor
from printworthy.strength.exchange import Exchange, still_air, sunlight
from printworthy.strength.heat import Heater
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
