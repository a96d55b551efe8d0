"""Component tests held against a part: scaled by load, judged once and over their cycles."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from printworthy.dossier.yardsticks import answer
from printworthy.errors import Place
from printworthy.inputs import Cycle, Duty, FatigueSet, Job, Joints, LoadCase, Machine, Mass, Rules, Wheel
from printworthy.results import Yardstick
from printworthy.verdict import Mesh, yardsticks

AMPLITUDES = np.repeat([2.0, 3.0, 4.0], 6)
SPREAD = np.tile([-0.3, -0.2, -0.1, 0.1, 0.2, 0.3], 3)
LIVES = 10 ** (11 - 8 * np.log10(AMPLITUDES) + SPREAD)
TIRED = FatigueSet(
    "up", "stuff", "between layers", -1.0, tuple(AMPLITUDES), tuple(LIVES), (False,) * 18, 23.0, "", "drawn", False,
    Place(Path("t.csv"), 2),
)  # fmt: skip
MACHINE = Machine(
    1400.0, 26.0, 40.0, 0.8, Wheel(300.0, 1.0), Wheel(300.0, 1.0), (Mass("all", 198.0, (679.797980, 0.0, 623.0)),),
    None, Joints(),
)  # fmt: skip
BENT, TIRING = "fork, bent, static", "fork, bending fatigue, both ways"


def held(make: SimpleNamespace, rules: Rules, stress: float, *sets: FatigueSet) -> dict[str, Yardstick]:
    """A bar that the city load of both tests pulls apart between its layers with `stress` [MPa]."""
    design = make.design((make.coupons("between layers", 18),))
    index = stress / design.between.value
    fatigue = Duty("h", (Cycle.swing(1.0, -1.0, 100_000),), "test")
    part = make.part(cases=(LoadCase(BENT, (), "steady", ""), LoadCase(TIRING, (), "steady", "", duty=fatigue)))
    cases = tuple(replace(make.case(index), case=name) for name in (BENT, TIRING))
    result = replace(make.result(cases[0]), cases=cases, factor=1.0)
    job = Job(Path(), make.vehicle(machine=MACHINE), (part,), {"stuff": make.card()}, (), rules, sets)
    return {y.test: y for y in yardsticks(part, job, design, result, Mesh(make.mesh()))}


def test_loads_of_other_bicycles_scale_the_city_load(make: SimpleNamespace, rules: Rules) -> None:
    # ISO 4210-6 as listed: static bending 1000, 1000, 1500, 1200 N
    levels = held(make, rules, 2.0)[BENT].levels
    assert [(level.kinds, level.load) for level in levels] == [
        (("city", "young adult"), 1000), (("mountain",), 1500), (("racing",), 1200),
    ]  # fmt: skip
    assert levels[1].used / levels[0].used == pytest.approx(1.5)
    assert levels[0].times is None


def test_a_fatigue_test_is_judged_by_the_line(make: SimpleNamespace, rules: Rules) -> None:
    # 450 N make an amplitude of 1 MPa: 10^11 cycles on the middle line; 650 N take (650 / 450)^8 of that life
    y = held(make, rules, 1.0, TIRED)[TIRING]
    city, mountain = y.levels[0], y.levels[1]
    assert city.times is not None
    assert mountain.times is not None
    assert 1 < city.times < 1e6
    assert city.times / mountain.times == pytest.approx((650 / 450) ** 8, rel=0.5)  # the low line bends at its end
    assert answer(y, city).startswith("borne, ")


@pytest.mark.parametrize(
    ("stress", "sets", "told"),
    [
        (1.0, (), "borne once; fatigue not decided"),
        (6.0, (TIRED,), "tires "),
        (200.0, (TIRED,), "not borne once"),
    ],
)
def test_what_is_told(
    make: SimpleNamespace, rules: Rules, stress: float, sets: tuple[FatigueSet, ...], told: str
) -> None:
    y = held(make, rules, stress, *sets)[TIRING]
    assert answer(y, y.levels[0]).startswith(told)
    assert bool(y.missing) == (not sets)


def test_a_wheel_is_asked_for_its_own_load(make: SimpleNamespace, rules: Rules) -> None:
    # 200 kg on 1.4 m, centre of mass 0.68 m ahead of the rear contact: 952.646 N in front; M = 0.7 x 0.7 x F R
    name = "wheel, rotating bending, 45 deg"
    design = make.design((make.coupons("between layers", 18),))
    part = make.part(cases=(LoadCase(name, (), "steady", "", duty=Duty("h", (Cycle.swing(1.0, -1.0, 1e5),), "test")),))
    result = make.result(replace(make.case(0.5), case=name))
    job = Job(Path(), make.vehicle(machine=MACHINE), (part,), {"stuff": make.card()}, (), rules, ())
    (y,) = yardsticks(part, job, design, result, Mesh(make.mesh()))
    (level,) = y.levels
    assert level.kinds == ("two-wheelers of this load",)
    assert level.load == pytest.approx(0.49 * 952.646 * 0.3, rel=1e-6)
    assert (y.unit, level.times) == ("N m", None)
