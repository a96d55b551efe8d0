"""The map of a card with nine constants and strengths along and across, one way or laid 0/90, against another program.

T. Gustafsson and G. D. McBain, scikit-fem, Journal of Open Source Software 5 (2020) 2369, with SciPy's direct solver.
Build directions and raster angles are random and not seen by the map; the criteria are handed over.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from compare import Source, compare
from scikit import bed_matrix, inside, on_face, on_skin, stiffness_matrix
from scipy.sparse.linalg import splu
from test_scikit_fem_map import BED, CASES, DESIGN, FORCE, SETTINGS, basis, bracket

from printworthy.inputs import NINE, LoadCase, MaterialCard, Quantity, Raster
from printworthy.results import DesignValues
from printworthy.strength import DirectionMap, Prepared, Turning, direction_map, model, shares_of
from printworthy.strength.criteria import Strengths
from printworthy.strength.elastic import layer_frame, rotated
from printworthy.strength.hot import fields
from printworthy.strength.lay import raster_of, upward
from printworthy.strength.reduced import frames_of
from printworthy.strength.turning import turning

SOURCE = Source(
    "Gustafsson and McBain 2020, scikit-fem, card with nine constants",
    "same mesh, 9000/3500/2500 MPa, strengths 95 along and 45 MPa across, random direction and raster",
    "another program",
)
LAYERS = {"one way": (0.0,), "0/90": (0.0, 90.0)}
VALUES = dict(zip(NINE, (9000.0, 3500.0, 2500.0, 0.38, 0.40, 0.42, 800.0, 1000.0, 1500.0), strict=True))
CARD = MaterialCard(
    "beads", "beads", "printed polymer",
    {n: Quantity(v, "", "test", "invented") for n, v in {**VALUES, "density": 1.2}.items()},
)  # fmt: skip
DRAW = np.random.default_rng(88127)
UNSEEN, RASTERS = upward(DRAW.normal(size=(4, 3))), np.pi * DRAW.random(4)


def design(layers: str) -> DesignValues:
    x = replace(DESIGN.in_layer, value=45.0)
    along = replace(DESIGN.in_layer, value=95.0)
    part = replace(bracket().part, raster=Raster(None, LAYERS[layers]))
    return replace(
        DESIGN, in_layer=x, along=along, compression_along=replace(along, value=85.0), shares=shares_of(CARD, part)
    )


@cache
def mapped(layers: str) -> DirectionMap:
    m = bracket()
    cases = (LoadCase("force", CASES["force"], "steady", "test"),)
    part = replace(m.part, cases=cases, raster=Raster(None, LAYERS[layers]))
    alone = model(Prepared(m.space, m.sampler), part, CARD, factored=m)
    return direction_map(alone, design(layers), SETTINGS, lambda stage, share: None)


def exact(layers: str, direction: Any, raster: float) -> float:
    """Governing utilisation by the other program."""
    b, frame = basis(), layer_frame(direction, raster)
    c = rotated(mapped(layers).basis.model.stiffness, frame.T)
    k = stiffness_matrix(b, c) + bed_matrix(b, lambda x: np.isclose(x[0], 0.0), *BED)
    loose = np.setdiff1d(np.arange(b.N), b.get_dofs(lambda x: np.isclose(x[2], 0.0)).all())
    even = np.array(FORCE)[:, None, None] / (10 * 8)
    end = on_face(b, lambda x: np.isclose(x[0], 30.0), lambda x: even + 0 * x)
    u = np.zeros(b.N)
    u[loose] = splu(k[loose][:, loose].tocsc()).solve(end[loose])
    f = Strengths.of(design(layers))
    return max(float(where(b, u, c, frame, f, np.zeros(6)).max()) for where in (inside, on_skin))


@pytest.mark.parametrize("layers", LAYERS)
def test_map_at_unseen_directions_and_rasters(layers: str) -> None:
    found = mapped(layers)
    assert found.reached
    here = found.at(UNSEEN, RASTERS)[0].max(axis=(1, 2))
    for i, (n, raster) in enumerate(zip(UNSEEN, RASTERS, strict=True)):
        direction = ", ".join(f"{x:.2f}" for x in n / np.linalg.norm(n))
        quantity = f"{layers}, built along ({direction}), raster {np.degrees(raster):.0f} deg: utilisation [-]"
        compare(here[i], exact(layers, n, raster), rel=SETTINGS.target, source=SOURCE, quantity=quantity)


@pytest.mark.parametrize("layers", LAYERS)
def test_what_is_kept_of_the_map_answers_as_the_map(layers: str) -> None:
    """The page's model: the same utilisation at its raster, either way up, from its arrays again."""
    found = mapped(layers)
    kept = Turning.of(turning(found, 2.0).arrays())
    for n in UNSEEN:
        turned = kept.at(n)
        assert turned.beads is not None
        raster = raster_of(n, turned.beads)
        best = 2.0 * found.at(n[None], np.array([raster]))[0].max()
        assert turned.used.max() == pytest.approx(best, rel=1e-9)
        assert kept.at(-n).used.max() == pytest.approx(best, rel=1e-9)
        angles = np.arange(0.0, 180.0, 15.0)
        assert kept.over(n, angles).max() <= 2.0 * found.at(np.tile(n, (180, 1)), np.radians(np.arange(180.0)))[0].max()
        whole = next(fields(found.basis, frames_of(n[None], np.array([raster])), found.strengths))
        skin = 2.0 * whole[len(found.basis.model.sampler.weights) :]
        assert turned.field() == pytest.approx(skin, abs=0.01 * best)  # kept in half precision
