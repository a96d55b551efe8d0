"""The solver's roads agree; what is reported about a solved part is what was asked."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import numpy as np
import pytest

from printworthy.errors import CardError
from printworthy.inputs import Load, Support
from printworthy.strength import Prepared, metal_utilisation, model, skin_utilisation, solve, system, utilisation
from specimens import Specimen, card, design_values, isotropic_card, plane, solid, specimen

DIRECTION = (1.0, 2.0, -0.5)
PRINT = card(8000.0, 3000.0, 0.35, 0.40, 1100.0)
DESIGN = design_values(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=70.0)


@cache
def arm() -> Specimen:
    """A bar of 40 x 10 x 8 mm held at x = 0: case 1 bends it, case 2 pulls it."""
    with TemporaryDirectory() as folder:
        body = solid(occ.Box((0, 0, 0), (40, 10, 8)), Path(folder), 4.0)
    faces = {"root": plane((0, 0, 0), (-1, 0, 0)), "end": plane((40, 0, 0), (1, 0, 0))}
    loads = [Load("force", "end", (0.0, 0.0, -50.0))], [Load("pressure", "end", value=-2.0)]
    return specimen(body, PRINT, faces, [Support("root", "fixed")], *loads)


def ready() -> Prepared:
    return Prepared(arm().model.space, arm().model.sampler)


def test_two_levels_give_what_a_factor_gives(monkeypatch: pytest.MonkeyPatch) -> None:
    expected = arm().solve(DIRECTION).displacements
    monkeypatch.setattr(system, "MOST_FACTORED", 0)
    solution = solve(model(ready(), arm().model.part, PRINT), DIRECTION)
    assert solution.iterations > arm().solve(DIRECTION).iterations
    assert solution.displacements == pytest.approx(expected, abs=1e-6 * np.abs(expected).max())


def test_the_factor_of_one_direction_gives_what_the_mean_gives() -> None:
    expected = arm().solve(DIRECTION)
    alone = solve(model(ready(), arm().model.part, PRINT, only=DIRECTION), DIRECTION)
    assert alone.iterations < expected.iterations
    assert alone.displacements == pytest.approx(expected.displacements, abs=1e-7 * np.abs(expected.displacements).max())


def test_the_clamp_is_named_where_it_governs() -> None:
    bent = utilisation(arm().model, DIRECTION, DESIGN, 1.5).cases[0]
    assert bent.at_support
    assert bent.near_face == "root"
    assert bent.point[0] < 4.0
    assert bent.reaction == pytest.approx((0, 0, 50), abs=1e-5)
    assert bent.utilisation == max(bent.by_mode.values()) == bent.by_mode[bent.mode]


def test_the_case_that_governs_is_the_larger() -> None:
    result = utilisation(arm().model, DIRECTION, DESIGN, 1.0)
    assert result.utilisation == max(c.utilisation for c in result.cases)
    assert result.direction == DIRECTION


def test_skin_never_exceeds_the_whole() -> None:
    skin = skin_utilisation(arm().model, DIRECTION, DESIGN, 1.5)
    whole = utilisation(arm().model, DIRECTION, DESIGN, 1.5).utilisation
    assert len(skin) == len(arm().model.space.solid.points)
    assert 0.5 * whole < skin.max() <= whole
    inside = np.setdiff1d(np.arange(len(skin)), arm().model.sampler.skin)
    assert not skin[inside].any()


def test_movement_of_a_limited_face_is_that_of_its_fastest_point() -> None:
    part = arm().model.part
    faces = {**part.faces, "end": replace(part.faces["end"], deflection_limit=0.5)}
    m = model(ready(), replace(part, faces=faces), PRINT)
    bend, pull = utilisation(m, DIRECTION, DESIGN, 1.5).deflections
    assert (bend.face, bend.limit) == ("end", 0.5)
    assert bend.movement == pytest.approx(utilisation(m, DIRECTION, DESIGN, 1.0).cases[0].max_displacement, rel=1e-9)
    assert pull.movement < bend.movement


def test_a_metal_bar_between_smooth_planes_yields_at_its_yield(tmp_path: Path) -> None:
    body = solid(occ.Box((0, 0, 0), (20, 8, 8)), tmp_path, 4.0)
    faces = {"x": plane((0, 0, 0), (-1, 0, 0)), "y": plane((0, 0, 0), (0, -1, 0)), "z": plane((0, 0, 0), (0, 0, -1)),
             "end": plane((20, 0, 0), (1, 0, 0))}  # fmt: skip
    supports = [Support(n, "sliding") for n in ("x", "y", "z")]
    bar = specimen(body, isotropic_card(70e3, 0.33), faces, supports, [Load("pressure", "end", value=-100.0)])
    ((case, used),) = metal_utilisation(bar.model, 250.0, 1.5).items()
    assert used == pytest.approx(1.5 * 100 / 250, rel=1e-6)
    assert case == "case 1"


def test_a_card_that_misses_constants_is_refused_by_name() -> None:
    values = {n: v for n, v in PRINT.values.items() if n not in ("shear_modulus_through", "poisson_through")}
    with pytest.raises(CardError, match="has no poisson_through, shear_modulus_through"):
        model(ready(), arm().model.part, replace(PRINT, values=values))


def test_a_face_may_carry_no_limit() -> None:
    found = utilisation(arm().model, DIRECTION, DESIGN, 1.0).deflections
    assert {d.face for d in found} == {"end"}  # loaded: a proof test watches how far it moves
    assert all(d.limit is None for d in found)
