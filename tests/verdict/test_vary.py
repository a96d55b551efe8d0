"""Other figures of the vehicle: loads that grow are scaled and judged, loads that turn are not guessed at."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from printworthy.inputs import Job, Load, LoadCase, Rules
from printworthy.results import Check, MeshBracket, Mode, Option, PartAssessment, Verdict
from printworthy.ride.change import changes
from printworthy.verdict import changed
from printworthy.verdict.vary import scaled

DOWN = (0.0, 0.0, -100.0)
BETWEEN: Mode = "between layers, tension with shear"


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


def assessed(make: SimpleNamespace, u: float) -> PartAssessment:
    """An assessment of one option, pulled apart between its layers to utilisation `u` in its one case."""
    index = u / 1.5  # the factor on load of the result
    stress = (0.0, 0.0, 10.0 * index, 0.0, 0.0, 0.0)  # design strength 10 MPa
    solved = replace(make.case(u, stress=stress, by_mode={BETWEEN: u}), case="standing", max_displacement=1.0)
    checks = (
        Check("buckling", 1.5, 6.0, "", 0.25, "", ""),
        Check("movements small enough for a linear answer", 1.0, 4.0, "mm", 0.25, "", ""),
        Check("bolt", 1.0, 2.0, "N", 0.5, "", ""),
    )
    result = make.result(solved)
    word = Verdict("print with conditions", "stuff", result.direction, (), ())
    option = Option(result, make.design(), checks, word, 0.0)
    return PartAssessment(
        "peg", "Peg", "peg", "may injure", None, make.mesh(), (option,), 0, None, (), (), {}, "", 0.0, False,  # type: ignore[arg-type]
    )  # fmt: skip


@pytest.fixture
def job(make: SimpleNamespace, rules: Rules) -> Job:
    return Job(Path(), make.vehicle(), (), {"stuff": make.card()}, (), rules)


def test_the_same_loads_change_nothing(make: SimpleNamespace, job: Job) -> None:
    part = make.part(cases=(case(DOWN),))
    found = changed(part, part, assessed(make, 0.5), job)
    assert (found.how, found.used, found.word) == ("unchanged", (0.5, 0.5), ("print with conditions",) * 2)


def test_loads_that_turn_leave_the_verdict_open(make: SimpleNamespace, job: Job) -> None:
    part = make.part(cases=(case(DOWN, 0.0),))
    turned = replace(part, cases=(case((10.0, 0.0, -100.0), 0.0),))
    found = changed(part, turned, assessed(make, 0.5), job)
    assert found.used == (0.5, None)
    assert found.word == ("print with conditions", "")
    assert "assess again" in found.how
    reversed_ = replace(part, cases=(case((0.0, 0.0, 100.0), 0.0),))
    assert changed(part, reversed_, assessed(make, 0.5), job).word[1] == ""


def test_a_part_that_was_never_assessed_has_loads_only(make: SimpleNamespace, job: Job) -> None:
    part = make.part(cases=(case(DOWN, 0.0),))
    found = changed(part, part, None, job)
    assert (found.word, found.governing) == (("", ""), "standing")


@pytest.mark.parametrize(("times", "expected"), [(1.5, "not decided"), (8.0, "do not print")])
def test_loads_that_grow_are_scaled_and_judged(make: SimpleNamespace, job: Job, times: float, expected: str) -> None:
    # opened to 0.5: 1.5 times that holds, and what a peg must show is missing; 8 times are 4.0, more than the best
    # strength, 3 times the design one, can bear even with the mesh error taken off
    part = make.part(cases=(case(DOWN, 0.0),))
    grown = replace(part, cases=(case((0.0, 0.0, -100.0 * times), 0.0),))
    known = assessed(make, 0.5)
    found = changed(part, grown, known, job)
    assert found.used == (0.5, pytest.approx(0.5 * times))
    assert found.word == ("print with conditions", expected)
    option = scaled(known, grown, job, {"standing": times})
    (solved,) = option.result.cases
    assert solved.max_displacement == pytest.approx(times)
    assert solved.stress[2] == pytest.approx(times * 10.0 / 3)
    buckling, small, bolt = option.checks
    assert buckling.utilisation == pytest.approx(0.25 * times)
    assert buckling.capacity == pytest.approx(6.0 / times)
    assert small.demand == pytest.approx(times)
    assert bolt.utilisation == 0.5


def test_a_bracket_grows_with_its_case(make: SimpleNamespace, job: Job) -> None:
    bracket = MeshBracket(
        "standing", (0.0, 0.0, 1.0), BETWEEN, (0.4, 0.5), (0.4, 0.5), (2.0, 1.0), ((0.0, 0.0, 0.0),) * 2, (1, 2),
        (3, 6), 0.45, 0.55, 0.52, True, False, None, 0.0, 0.0, "",
    )  # fmt: skip
    known = assessed(make, 0.5)
    known = replace(known, options=(replace(known.option, bracket=bracket),))
    part = make.part(cases=(case(DOWN, 0.0),))
    found = scaled(known, part, job, {"standing": 2.0}).bracket
    assert found is not None
    assert (found.low, found.high, found.limit, found.values) == (0.9, 1.1, 1.04, (0.8, 1.0))
