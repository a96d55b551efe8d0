"""Other figures of the vehicle: loads that grow are scaled and judged, loads that turn are not guessed at."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from printworthy.inputs import Load, LoadCase, Part
from printworthy.results import Check, PartAssessment
from printworthy.ride.change import changes
from printworthy.verdict import changed

DOWN = (0.0, 0.0, -100.0)


def case(force: tuple[float, float, float], pull: float = 9810.0, name: str = "standing") -> LoadCase:
    return LoadCase(name, (Load("force", "top", force), Load("gravity", vector=(0.0, 0.0, -pull))), "steady", "test")


def test_a_load_twice_as_large_is_a_multiple() -> None:
    (found,) = changes((case(DOWN),), (case((0.0, 0.0, -200.0), 19620.0),), 0.1)
    assert (found.before, found.after) == (100.0, 200.0)
    assert found.scale == pytest.approx(2.0)
    assert found.rest == pytest.approx(0.0, abs=1e-12)


def test_a_weight_that_does_not_grow_with_the_load_is_a_rest() -> None:
    # 100 N and 1 N of own weight on another face of the load vector: new (200, 1), best multiple of (100, 1)
    (found,) = changes((case(DOWN),), (case((0.0, 0.0, -200.0)),), 1.0 / 9.81)
    old, new = np.array([100.0, 1.0]), np.array([200.0, 1.0])
    scale = new @ old / (old @ old)
    assert found.scale == pytest.approx(scale)
    assert found.rest == pytest.approx(np.linalg.norm(new - scale * old) / np.linalg.norm(new))


def test_a_load_that_turns_by_three_degrees_leaves_its_sine() -> None:
    angle = np.radians(3.0)
    turned = (100 * np.sin(angle), 0.0, -100 * np.cos(angle))
    (found,) = changes((case(DOWN, 0.0),), (case(turned, 0.0),), 0.0)
    assert found.rest == pytest.approx(np.sin(angle))
    assert [c.rest for c in changes((case(DOWN),), (case(DOWN, name="other"),), 0.1)] == [1.0, 1.0]


def assessed(make: SimpleNamespace, part: Part, u: float, job: SimpleNamespace) -> PartAssessment:
    """An assessment of one option with utilisation `u` in its one case; only what is asked of it is made."""
    result, design = make.result(replace(make.case(u), case="standing", max_displacement=1.0)), make.design()
    checks = (
        Check("buckling", 1.5, 6.0, "", 0.25, "", ""),
        Check("movements small enough for a linear answer", 1.0, 4.0, "mm", 0.25, "", ""),
        Check("bolt", 1.0, 2.0, "N", 0.5, "", ""),
    )
    option = SimpleNamespace(
        result=result, design=design, checks=checks, bracket=None, distance=None, life=None, weight=None, heat=(),
        mass=0.0,
    )  # fmt: skip
    return SimpleNamespace(option=option, verdict=SimpleNamespace(word="print with conditions"), mesh=make.mesh())  # type: ignore[return-value]


@pytest.fixture
def job(make: SimpleNamespace, rules: object) -> SimpleNamespace:
    return SimpleNamespace(cards={"stuff": make.card()}, vehicle=make.vehicle(), rules=rules, fatigue=())


def test_the_same_loads_change_nothing(make: SimpleNamespace, job: SimpleNamespace) -> None:
    part = make.part(cases=(case(DOWN),))
    found = changed(part, part, assessed(make, part, 0.5, job), job)  # type: ignore[arg-type]
    assert (found.how, found.used, found.word) == ("unchanged", (0.5, 0.5), ("print with conditions",) * 2)


def test_loads_that_turn_leave_the_verdict_open(make: SimpleNamespace, job: SimpleNamespace) -> None:
    part = make.part(cases=(case(DOWN, 0.0),))
    turned = replace(part, cases=(case((10.0, 0.0, -100.0), 0.0),))
    found = changed(part, turned, assessed(make, part, 0.5, job), job)  # type: ignore[arg-type]
    assert found.used == (0.5, None)
    assert found.word == ("print with conditions", "")
    assert "assess again" in found.how
    reversed_ = replace(part, cases=(case((0.0, 0.0, 100.0), 0.0),))
    assert changed(part, reversed_, assessed(make, part, 0.5, job), job).word[1] == ""  # type: ignore[arg-type]


def test_a_part_that_was_never_assessed_has_loads_only(make: SimpleNamespace, job: SimpleNamespace) -> None:
    part = make.part(cases=(case(DOWN, 0.0),))
    found = changed(part, part, None, job)  # type: ignore[arg-type]
    assert (found.word, found.governing) == (("", ""), "standing")


def test_loads_that_grow_are_scaled_and_judged(
    make: SimpleNamespace, job: SimpleNamespace, monkeypatch: pytest.MonkeyPatch
) -> None:
    part = make.part(cases=(case(DOWN, 0.0),))
    grown = replace(part, cases=(case((0.0, 0.0, -150.0), 0.0),))
    seen = {}

    def judged(*given: object, **more: object) -> SimpleNamespace:
        seen["result"], seen["checks"] = given[5], given[6]
        return SimpleNamespace(word="do not print")

    monkeypatch.setattr("printworthy.verdict.vary.decide", judged)
    monkeypatch.setattr("printworthy.verdict.vary.replace", lambda record, **more: (
        SimpleNamespace(**{**vars(record), **more}) if isinstance(record, SimpleNamespace) else replace(record, **more)
    ))  # fmt: skip
    found = changed(part, grown, assessed(make, part, 0.8, job), job)  # type: ignore[arg-type]
    assert found.used == (0.8, pytest.approx(1.2))
    assert found.word == ("print with conditions", "do not print")
    (solved,) = seen["result"].cases
    assert solved.max_displacement == pytest.approx(1.5)
    buckling, small, bolt = seen["checks"]
    assert buckling.utilisation == pytest.approx(0.375)
    assert buckling.capacity == pytest.approx(4.0)
    assert small.demand == pytest.approx(1.5)
    assert bolt.utilisation == 0.5
