"""Beads along and across from text to verdict: a pulled bar, whose stress is force over area while axes agree."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from beam import write

from printworthy import flow, workspace
from printworthy.answers import OUTCOME
from printworthy.dossier import beads
from printworthy.results import PartAssessment
from printworthy.workspace import WorkspaceProblems
from printworthy.workspace.cache import Cache

STRESS = 1.5 * 2.0 * 500.0 / (12.0 * 8.0)  # with both factors of rules.toml
FLAT = 'build_direction = "+z"\n'


def assess(root: Path, extra: str, material: str = "beads-example") -> PartAssessment:
    job = workspace.read(write(root, material=material, extra=extra))
    done = flow.assess(job, Cache(root / ".cache"), lambda *_: None, workers=1)[0]
    assert [r.line for r in done.refusals] == []
    return done.parts[0]


def test_the_raster_is_chosen_along_the_pull(tmp_path: Path) -> None:
    part = assess(tmp_path, FLAT + '[raster]\nangle = "choose"')
    option, search = part.option, part.search
    assert option.design.along is not None
    assert option.result.direction == (0, 0, 1)
    assert option.result.along == pytest.approx((1, 0, 0), abs=1e-9)
    assert option.result.utilisation == pytest.approx(STRESS / option.design.along.value, rel=1e-6)
    assert any("lay its beads along (1, 0, 0)" in line for line in part.verdict.conditions)
    assert search is not None
    assert search.reached
    curve = search.raster
    assert curve is not None
    assert curve.chosen
    assert curve.error <= search.target
    across = STRESS / option.design.in_layer.value
    assert search.chosen == pytest.approx((0, 0, 1))  # the lowest of those that are strong enough
    assert dict(zip(curve.angles, curve.utilisation, strict=True))[90.0] == pytest.approx(across, rel=0.01)
    text = OUTCOME.dump_json(part).decode()
    assert json.loads(text)["search"]["raster"]["angle"] == curve.angle
    assert OUTCOME.validate_json(text) == part
    assert "Utilisation over the raster angle" in beads.picture(curve, option.result.factor).caption


def test_a_stated_raster_is_kept(tmp_path: Path) -> None:
    part = assess(tmp_path, FLAT + '[raster]\nangle = "90 deg"')
    result, design = part.option.result, part.option.design
    assert result.raster == pytest.approx(90)
    assert result.utilisation == pytest.approx(STRESS / design.in_layer.value, rel=1e-6)
    assert part.search is not None
    assert part.search.raster is not None
    assert not part.search.raster.chosen
    assert min(part.search.utilisation) == pytest.approx(result.utilisation, rel=0.02)  # X2, whichever way the layers


def test_a_lay_up_lies_between_and_says_that_its_constants_are_a_mean(tmp_path: Path) -> None:
    """0/90 pulled along its first layers: E = (E1 + E2) / 2 nearly, so the layer along bears E1 / E of the mean."""
    part = assess(tmp_path, FLAT + '[raster]\nangle = "0 deg"\nlayers = ["0 deg", "90 deg"]')
    result, design = part.option.result, part.option.design
    assert design.along is not None
    mean = STRESS / design.along.value
    assert 1.2 * mean < result.utilisation < STRESS / design.in_layer.value
    assert result.utilisation == pytest.approx(mean * 8000 / 5750, rel=0.03)  # Poisson ratios leave some per cent
    curve = part.search.raster if part.search is not None else None
    assert any("a mean over its thickness" in line for line in beads.cautions(result, curve))


def test_an_alternative_gets_its_own_raster(tmp_path: Path) -> None:
    extra = FLAT + 'alternatives = ["beads-example"]\n[raster]\nangle = "choose"'
    part = assess(tmp_path, extra, "petg")
    plain = [o.result for o in part.options if o.result.material == "petg"]
    other = [o.result for o in part.options if o.result.material == "beads-example"]
    assert {r.raster for r in plain} == {None}
    assert all(r.raster is not None for r in other)
    flat = next(r for r in other if r.direction == (0, 0, 1))
    assert abs(flat.along[0]) > 0.99  # type: ignore[index]


@pytest.mark.parametrize(
    ("material", "extra", "words"),
    [
        ("beads-example", "", "no [raster] says how they lie"),
        ("petg", '[raster]\nangle = "choose"', "[raster] would change nothing"),
        ("beads-example", '[raster]\nangle = "30 mm"', 'angle = "choose"'),
        ("beads-example", '[raster]\nangle = "0 deg"\nlayers = ["20 deg", "200 deg"]', "all layers lie alike"),
        ("beads-example", '[raster]\nangle = "0 deg"\nlayers = ["20 deg"]', "turned by itself"),
    ],
)
def test_what_a_raster_may_not_say(tmp_path: Path, material: str, extra: str, words: str) -> None:
    with pytest.raises(WorkspaceProblems) as wrong:
        workspace.read(write(tmp_path, material=material, extra=FLAT + extra))
    (line,) = [str(problem) for problem in wrong.value.problems]
    assert words in line
    assert "bar.toml:" in line
