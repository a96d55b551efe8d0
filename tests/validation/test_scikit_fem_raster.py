"""The map over build direction and raster angle of an orthotropic print, against another finite-element program.

T. Gustafsson and G. D. McBain, scikit-fem, Journal of Open Source Software 5 (2020) 2369, with SciPy's direct solver.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from compare import Source, compare
from scikit import bed_matrix, inside, on_face, on_skin, stiffness_matrix
from scipy.sparse.linalg import splu
from test_scikit_fem_map import BED, CASES, DESIGN, FORCE, SETTINGS, STRENGTHS, UNSEEN, basis, bracket

from printworthy.errors import NotComputed
from printworthy.inputs import LoadCase
from printworthy.strength import DirectionMap, Prepared, best_raster, direction_map, model
from printworthy.strength.elastic import layer_frame, orthotropic, rotated
from printworthy.strength.reduced import raster_matters, stiffness_modes
from specimens import card

BEADS = orthotropic((8000.0, 4000.0, 2500.0), (0.36, 0.4, 0.38), (900.0, 1100.0, 1600.0))  # invented
SOURCE = Source(
    "Gustafsson and McBain 2020, scikit-fem, map of direction and raster",
    "same mesh, 8000/4000/2500 MPa along, across and between the beads",
    "another program",
)
RASTERS = np.radians([17.0, 58.0, 91.0, 133.0, 166.0])


@cache
def mapped() -> DirectionMap:
    m = bracket()
    part = replace(m.part, cases=(LoadCase("force", CASES["force"], "steady", "test"),))
    any_card = card(8000.0, 2500.0, 0.36, 0.4, 1100.0, density=1.2)
    pattern = model(Prepared(m.space, m.sampler), part, any_card, factored=m)
    return direction_map(replace(pattern, stiffness=BEADS), DESIGN, SETTINGS, lambda stage, share: None)


def exact(direction: np.ndarray, raster: float) -> float:
    """Governing utilisation by the other program."""
    b, frame = basis(), layer_frame(direction, raster)
    c = rotated(BEADS, frame.T)
    k = stiffness_matrix(b, c) + bed_matrix(b, lambda x: np.isclose(x[0], 0.0), *BED)
    loose = np.setdiff1d(np.arange(b.N), b.get_dofs(lambda x: np.isclose(x[2], 0.0)).all())
    even = np.array(FORCE)[:, None, None] / (10 * 8)
    end = on_face(b, lambda x: np.isclose(x[0], 30.0), lambda x: even + 0 * x)
    u = np.zeros(b.N)
    u[loose] = splu(k[loose][:, loose].tocsc()).solve(end[loose])
    return max(float(where(b, u, c, frame, STRENGTHS, np.zeros(6)).max()) for where in (inside, on_skin))


def test_an_orthotropic_stiffness_has_nineteen_modes() -> None:
    assert len(mapped().basis.modes) == len(stiffness_modes(BEADS)) == 19
    assert raster_matters(BEADS)
    assert not raster_matters(bracket().stiffness)


def test_map_at_unseen_directions_and_rasters() -> None:
    assert mapped().reached
    assert len({round(c.raster, 6) for c in mapped().checks}) > 5
    here = mapped().at(UNSEEN, RASTERS)[0].max(axis=(1, 2))
    for i, (n, raster) in enumerate(zip(UNSEEN, RASTERS, strict=True)):
        direction = ", ".join(f"{x:.2f}" for x in n / np.linalg.norm(n))
        quantity = f"built along ({direction}), raster {np.degrees(raster):.0f} deg: governing utilisation [-]"
        compare(here[i], exact(n, raster), rel=SETTINGS.target, source=SOURCE, quantity=quantity)


def test_best_raster_is_the_best_of_exact_solutions() -> None:
    found = best_raster(mapped(), UNSEEN[1])
    assert found.worst > 1.02 * found.utilisation
    frame = layer_frame(UNSEEN[1], np.radians(found.angle))
    assert found.along == pytest.approx(tuple(frame[0]))
    others = [exact(UNSEEN[1], a) for a in np.radians(np.arange(0, 180, 20))]
    assert exact(UNSEEN[1], np.radians(found.angle)) < min(others) * (1 + SETTINGS.target)
    assert max(others) <= found.worst * (1 + SETTINGS.target)


def test_raster_of_a_print_that_is_the_same_all_round_is_refused() -> None:
    m = bracket()
    part = replace(m.part, cases=(LoadCase("force", CASES["force"], "steady", "test"),))
    alone = model(Prepared(m.space, m.sampler), part, card(8000.0, 3000.0, 0.35, 0.40, 1100.0), factored=m)
    same = replace(mapped(), basis=replace(mapped().basis, model=alone))
    with pytest.raises(NotComputed, match="same all round"):
        best_raster(same, UNSEEN[0])
