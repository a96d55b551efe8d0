"""Mesh bracket against Howland's strip, the power of a re-entrant corner, and sequences of known limit.

R. C. J. Howland, Philosophical Transactions of the Royal Society A 229 (1930) 49-86, table from memory. M. L. Williams,
Journal of Applied Mechanics 19 (1952) 526-528: stress at a re-entrant corner goes as r^(x - 1), x the smallest root of
sin(x a) = -x sin(a) with a the angle of the material.
"""

from __future__ import annotations

import numpy as np
import pytest
from notches import CARD, UNIT, first_rung, holed, ready, shoulder
from scipy.optimize import brentq

from printworthy.shape import Surface
from printworthy.strength.criteria import Strengths
from printworthy.strength.facets import facet_length
from printworthy.strength.refine import bracket, marked, refined, refined_near
from printworthy.strength.seat import edge_lengths, local_size, through_wall, wall_words
from printworthy.strength.sequence import Judged, judged
from printworthy.strength.smoothing import smoothed
from printworthy.strength.space import face_area, space
from specimens import Specimen

HOWLAND = {0.3: 3.36, 0.5: 4.32}  # stress at the hole over gross stress
GROSS_SIZE = {0.3: 1.0, 0.5: 0.6}
UP = (0, 0, 1)


def corner_power(angle: float) -> float:
    """Power of the stress singularity at a corner whose material fills `angle` [rad]. Williams 1952."""
    return 1 - brentq(lambda x: np.sin(x * angle) + x * np.sin(angle), 0.51, 0.99)


@pytest.fixture(scope="module", params=HOWLAND)
def strip(request: pytest.FixtureRequest) -> tuple[float, Specimen]:
    half = 1 / request.param
    return request.param, holed(3 * half, half, 0.5, GROSS_SIZE[request.param])


def test_bracket_holds_the_published_peak(strip: tuple[float, Specimen]) -> None:
    ratio, specimen = strip
    found = bracket(specimen.model, CARD, UNIT, UP, 1.0)
    assert found.converging
    assert found.high is not None
    assert found.low <= 1.01 * HOWLAND[ratio]
    assert 0.99 * HOWLAND[ratio] <= found.high
    assert found.high - found.low < 0.06 * found.fine  # and it is narrow enough to be of use
    assert found.limit == pytest.approx(HOWLAND[ratio], rel=0.01)
    assert abs(found.coarse / HOWLAND[ratio] - 1) > 0.02  # the first mesh alone would not have done
    assert found.points[-1][:2] == pytest.approx((0, 1), abs=0.15)


def test_factor_and_load_scale_the_bracket() -> None:
    specimen = holed(6.0, 2.0, 0.5, 0.6)
    once = bracket(specimen.model, CARD, UNIT, UP, 1.0)
    twice = bracket(specimen.model, CARD, UNIT, UP, 2.0)
    assert twice.values == pytest.approx([2 * v for v in once.values], rel=1e-6)
    assert twice.low == pytest.approx(2 * once.low, rel=1e-6)


def test_re_entrant_corner_is_singular_with_its_own_power() -> None:
    # Computed on meshes down to a 26th of the ligament, so terms beside the leading one still show.
    specimen = shoulder(0.5, 1.0)
    found = bracket(specimen.model, CARD, UNIT, UP, 1.0)
    assert found.singular
    assert not found.converging
    assert found.high is None
    assert "singular" in found.words
    power = judged(found.values, found.inner, found.sizes).power
    assert corner_power(1.5 * np.pi) == pytest.approx(0.4555, abs=1e-4)
    assert power == pytest.approx(corner_power(1.5 * np.pi), abs=0.04)


def test_faceted_hole_is_not_refined_below_its_facets() -> None:
    chord = 2 * np.sin(np.pi / 16)
    specimen = holed(20.0, 20.0, 0.4, 4.0, 16)
    surface = specimen.model.space.solid.surface
    found = bracket(specimen.model, CARD, UNIT, UP, 1.0, surface)
    assert found.facet_length == pytest.approx(chord, rel=1e-6)
    assert min(found.sizes) >= 0.5 * chord
    assert not found.converging
    assert "facets of 0.39 mm" in found.words
    free = bracket(specimen.model, CARD, UNIT, UP, 1.0)
    assert free.fine > 1.2 * found.fine  # the raw peak would have gone on growing
    assert not free.converging


@pytest.mark.parametrize("size", [0.4, 0.5, 0.6])
def test_hole_of_flats_in_a_triangle_file_is_meshed_round(size: float) -> None:
    half = 1 / 0.3
    specimen = holed(3 * half, half, 1.0, size, 16, turn=0.0, stl=True)
    solid = specimen.model.space.solid
    assert not solid.report.curved
    found = bracket(specimen.model, CARD, UNIT, UP, 1.0, solid.surface)
    assert found.converging
    assert found.facet_length is None
    assert found.high is not None
    assert found.low <= 1.01 * HOWLAND[0.3]
    assert 0.99 * HOWLAND[0.3] <= found.high
    made = smoothed(solid, specimen.model.space.faces)
    assert made is not None
    on_hole = np.unique(made[0].facets[made[0].patches == 6])
    assert np.hypot(*made[0].points[on_hole, :2].T) == pytest.approx(1.0, abs=1e-6)
    assert made[0].volume == pytest.approx(3 * half**2 - np.pi / 4, abs=2e-3)  # a quarter of a round hole, not of flats


def ring(facets: int) -> Surface:
    """A tube of height 1 between regular prisms inscribed in the radii 1 and 3, corners at half a step from +x."""
    angle = 2 * np.pi * (np.arange(facets) + 0.5) / facets
    flat = np.column_stack([np.cos(angle), np.sin(angle), 0 * angle])
    up = np.array([0, 0, 1.0])
    points = np.concatenate([flat, flat + up, 3 * flat, 3 * flat + up])
    low_in, high_in, low_out, high_out = (np.arange(facets) + k * facets for k in range(4))

    def band(a: np.ndarray, b: np.ndarray) -> list[np.ndarray]:
        return [np.column_stack([a, np.roll(a, -1), b]), np.column_stack([np.roll(a, -1), np.roll(b, -1), b])]

    bands = band(high_in, low_in) + band(low_out, high_out) + band(low_in, low_out) + band(high_out, high_in)
    triangles = np.concatenate(bands)
    nothing = np.zeros(len(triangles), dtype=np.int64)
    made = Surface(points, triangles, nothing, nothing - 1)
    assert made.volume == pytest.approx(4 * facets * np.sin(2 * np.pi / facets), rel=1e-12)  # 8/2 n sin(2 pi/n)
    return made


@pytest.mark.parametrize("facets", [12, 16, 48])
def test_facet_length_is_the_chord(facets: int) -> None:
    edge = (np.cos(np.pi / facets), np.sin(np.pi / facets), 0.5)
    assert facet_length(ring(facets), edge, 0.01) == pytest.approx(2 * np.sin(np.pi / facets), rel=1e-9)


def test_no_facets_on_flats_at_true_corners_and_outside_rounds() -> None:
    assert facet_length(ring(16), (2, 0, 1), 0.5) is None  # a flat
    outside = 3 * np.array([np.cos(np.pi / 16), np.sin(np.pi / 16), 0]) + [0, 0, 0.5]
    assert facet_length(ring(16), outside, 0.1) is None  # convex: no singularity
    assert facet_length(ring(6), (np.cos(np.pi / 6), 0.5, 0.5), 0.1) is None  # a hexagon is meant


def test_refined_is_a_new_solid_on_the_true_surface() -> None:
    specimen = holed(6.0, 2.0, 0.5, 0.6)
    old = specimen.model.space.solid
    before = old.mesh.ne, old.mesh.nv, old.points.copy()
    new, faces = refined(old, specimen.model.space.faces, np.ones(len(old.tets), dtype=bool))
    assert (old.mesh.ne, old.mesh.nv) == before[:2]
    np.testing.assert_array_equal(old.points, before[2])
    assert len(new.tets) > 4 * len(old.tets)
    assert new.mesh.ne == len(new.tets) == new.report.elements
    on_hole = np.unique(new.facets[np.isin(new.patches, old.patches[hole_facets(old)])])
    assert len(on_hole) > 10
    assert np.hypot(*new.points[on_hole, :2].T) == pytest.approx(1.0, abs=1e-9)
    exact = 6 * 2 * 0.5 - np.pi / 4 * 0.5
    assert new.volume == pytest.approx(exact, rel=2e-6)
    assert abs(old.volume - exact) > 5 * abs(new.volume - exact)
    one, two = space(old, specimen.model.space.faces), space(new, faces)
    for name in faces:
        assert face_area(two, name) == pytest.approx(face_area(one, name), rel=1e-4)
    assert face_area(two, "far") == pytest.approx(2 * 0.5, rel=1e-12)


def hole_facets(solid: object) -> np.ndarray:
    return np.flatnonzero(np.abs(np.hypot(*np.moveaxis(solid.corners, 2, 0)[:2]) - 1).max(axis=1) < 1e-9)


def test_marks_surround_the_peak_and_refining_near_reaches_its_size() -> None:
    specimen = holed(6.0, 2.0, 0.5, 0.6)
    at = first_rung(specimen)
    marks = marked(at, Strengths.of(UNIT))
    solid = specimen.model.space.solid
    around = (np.linalg.norm(solid.points[solid.tets] - at.point, axis=2) < 1e-9).any(axis=1)
    assert marks[around].all()
    assert not marks.all()
    near = refined_near(ready(specimen), [at.point], 0.3, 0.05).solid
    assert local_size(near, at.point) <= 0.05
    far = np.linalg.norm(near.points[near.tets].mean(axis=1) - (6, 0, 0.25), axis=1) < 0.5
    assert edge_lengths(near)[far].min() > 0.2


@pytest.mark.parametrize("power", [0.3255, 0.4555, 0.5])
def test_growing_power_is_called_singular(power: float) -> None:
    sizes = [2.0**-k for k in range(4)]
    values = [0.5 + h**-power for h in sizes]  # the constant must not hide it
    found = judged(values, values, sizes)
    assert found.singular
    assert found.high is None
    assert found.power == pytest.approx(power, rel=1e-9)


def test_growth_beyond_any_corner_is_not_called_one() -> None:
    sizes = [2.0**-k for k in range(4)]
    values = [h**-2 for h in sizes]  # under a point load in three dimensions
    found = judged(values, values, sizes)
    assert not found.converging
    assert not found.singular
    assert "point load" in found.words


@pytest.mark.parametrize("order", [1, 2, 3])
@pytest.mark.parametrize("start", [-0.8, -0.2, 0.3])
def test_contracting_sequence_holds_its_limit(order: int, start: float) -> None:
    sizes = [2.0**-k for k in range(4)]
    values = [3 + start * h**order for h in sizes]
    inner = [3 - 0.5 * h for h in sizes]
    found = judged(values, inner, sizes)
    assert found.converging
    assert found.high is not None
    assert found.low <= 3 <= found.high
    assert found.limit == pytest.approx(3, rel=1e-9)


def test_disagreement_of_skin_and_inside_widens_the_band() -> None:
    # A skin value that settles 2 % too high: the inside, which comes from below, tells.
    sizes = [1.0, 0.5, 0.25]
    found = judged([2.9, 3.05, 3.06], [2.6, 2.8, 2.9], sizes)
    assert found.converging
    assert found.low <= 3.0


def test_one_and_two_meshes_say_little() -> None:
    assert judged([1.0], [1.0], [1.0]) == Judged(
        1.0, None, None, False, False, "one mesh alone says nothing about its error"
    )
    assert not judged([1.0, 1.2], [0.9, 1.1], [1.0, 0.5]).converging
    small = judged([1.0, 1.01], [0.99, 1.005], [1.0, 0.5])
    assert small.converging
    assert small.high is not None
    assert small.high - small.low >= 0.06  # three times the only change, either way
    assert small.limit is None


def test_jumping_sequence_is_neither() -> None:
    found = judged([1.0, 1.2, 0.9], [1.0, 1.2, 0.9], [1.0, 0.5, 0.25])
    assert not found.converging
    assert not found.singular


def test_thin_wall_is_told() -> None:
    specimen = holed(6.0, 2.0, 0.5, 0.6)
    wall, across = through_wall(specimen.model.space.solid, (3.0, 2.0, 0.5))
    assert wall == pytest.approx(0.5, rel=0.02)
    assert across < 2
    assert "only" in wall_words(wall, across)
    assert wall_words(2.0, 2.0) == ""
    assert wall_words(0.0, 0.0) == ""
