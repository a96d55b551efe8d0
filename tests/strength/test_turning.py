"""What is kept of a map against exact solutions of the same part, by the engine's own solver and criteria."""

from __future__ import annotations

import netgen.occ as occ
import numpy as np
import pytest

from printworthy.inputs import Load, Support
from printworthy.strength import Settings, Turning, direction_map, relieved, skin_utilisation, solve, utilisation
from printworthy.strength.criteria import FIELDS, MODES, Strengths, by_mode
from printworthy.strength.margin import layer_stress
from printworthy.strength.turning import turning
from specimens import card, design_values, plane, solid, specimen

DESIGN = design_values(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=70.0)
FACTOR = 1.5


@pytest.fixture(scope="module")
def bracket(tmp_path_factory: pytest.TempPathFactory):
    body = occ.Box((0, 0, 0), (30, 10, 25)) - occ.Box((10, -1, -1), (31, 11, 17))
    meshed = solid(body, tmp_path_factory.mktemp("bracket"), 5.0)
    faces = {"foot": plane((0, 0, 0), (0, 0, -1)), "end": plane((30, 0, 25), (1, 0, 0))}
    loads = [Load("force", "end", (30.0, -20.0, -80.0))], [Load("force", "end", (0.0, 0.5, 0.0))]
    made = specimen(meshed, card(8000.0, 3000.0, 0.35, 0.40, 1100.0), faces, [Support("foot", "fixed")], *loads)
    found = direction_map(made.model, DESIGN, Settings(directions=200, random_checks=5), lambda *_: None)
    return made.model, Turning.of(turning(found, FACTOR).arrays())


@pytest.mark.parametrize("n", [(0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.36, -0.48, 0.8)])
def test_a_kept_model_answers_as_an_exact_solution_does(bracket, n) -> None:
    model, kept = bracket
    exact = utilisation(model, n, DESIGN, FACTOR)
    turned = kept.at(n)
    case, mode = turned.governing
    assert turned.used.max() == pytest.approx(exact.utilisation, rel=0.01)
    assert MODES[mode] == exact.governing.mode
    assert turned.spot(case, mode) == pytest.approx(exact.governing.point, abs=5.0)
    skin = skin_utilisation(model, n, DESIGN, FACTOR)[model.sampler.skin]
    assert np.abs(turned.field() - skin).max() < 0.02 * skin.max()
    # the map widens its basis for cases near the governing one alone; the others keep their first fields
    stress = layer_stress(model, solve(model, n), 1)[len(model.sampler.weights) :]
    weak = FACTOR * by_mode(stress, Strengths.of(DESIGN)).max(axis=1)
    assert np.abs(turned.field(case=1) - weak).max() < 0.08 * weak.max()
    separate = np.max([turned.field(mode=m) for m in range(len(MODES))], axis=0)
    assert separate == pytest.approx(turned.field(), rel=1e-6, abs=1e-9)
    moved = solve(model, n).displacements[0].reshape(3, -1)[:, model.sampler.skin].T
    assert np.abs(turned.movement(0) - moved).max() < 0.01 * np.abs(moved).max()


def test_a_map_of_a_warm_part_takes_each_point_as_warm_as_it_is(bracket) -> None:
    """The foot, where it breaks when it is even, is cool and twice as strong; the end as hot as the design values."""
    model, even = bracket
    gain = 1 + 1 - model.sampler.points[:, 2] / 25.0
    found = direction_map(
        relieved(model, dict.fromkeys(FIELDS, gain)), DESIGN, Settings(directions=200, random_checks=5), lambda *_: None
    )
    kept = turning(found, FACTOR)
    for n in ((0.0, 0.0, 1.0), (0.36, -0.48, 0.8)):
        exact = utilisation(model, n, DESIGN, FACTOR, dict.fromkeys(FIELDS, gain))
        assert kept.at(n).used.max() == pytest.approx(exact.utilisation, rel=0.01)
        assert kept.at(n).field().max() == pytest.approx(
            skin_utilisation(model, n, DESIGN, FACTOR, dict.fromkeys(FIELDS, gain)).max(), rel=0.02
        )
        assert exact.utilisation < 0.9 * even.at(n).used.max()
    uneven = {name: gain if i % 2 else gain * 1.2 for i, name in enumerate(FIELDS)}
    assert relieved(model, uneven).sampler.worked == pytest.approx(model.sampler.worked / gain)
    assert relieved(model, None) is model
