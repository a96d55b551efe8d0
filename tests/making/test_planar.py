"""Hull, least rectangle and fit on the bed against brute force and closed forms."""

from __future__ import annotations

from math import cos, pi, radians, sin, sqrt

import numpy as np
import pytest
from bodies import LAYER, block
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull
from scipy.spatial.transform import Rotation

from printworthy.making import lay_figures
from printworthy.making.planar import calipers, hull, inside_by

UP = np.array([[0.0, 0.0, 1.0]])
points = st.lists(st.tuples(st.integers(-50, 50), st.integers(-50, 50)), min_size=3, max_size=40)


@given(points)
@settings(max_examples=60)
def test_the_hull_is_the_one_another_library_finds(given_points: list[tuple[int, int]]) -> None:
    p = np.array(given_points, dtype=float)
    if np.linalg.matrix_rank(p - p[0]) < 2:
        return
    ours = p[hull(p[:, 0].copy(), p[:, 1].copy())]
    theirs = p[ConvexHull(p).vertices]  # counter-clockwise too
    start = int(np.argmin(np.abs(theirs - ours[0]).sum(axis=1)))
    np.testing.assert_array_equal(ours, np.roll(theirs, -start, axis=0))


@given(points, st.integers(5, 120), st.integers(5, 120))
@settings(max_examples=60)
def test_rectangle_and_fit_against_turning_in_small_steps(given_points: list[tuple[int, int]], w: int, d: int) -> None:
    p = np.array(given_points, dtype=float)
    if np.linalg.matrix_rank(p - p[0]) < 2:
        return
    q = p[ConvexHull(p).vertices]
    best, over = calipers(q[:, 0].copy(), q[:, 1].copy(), float(w), float(d))
    t = np.linspace(0, pi, 7201)
    a = np.ptp(q[:, :1] * np.cos(t) + q[:, 1:] * np.sin(t), axis=0)
    b = np.ptp(q[:, 1:] * np.cos(t) - q[:, :1] * np.sin(t), axis=0)
    ours = np.ptp(q @ [cos(best), sin(best)]) * np.ptp(q @ [-sin(best), cos(best)])
    # a step of pi/7200 moves a width by at most half a step times the diameter
    slack = np.ptp(q, axis=0).sum() * pi / 14400
    assert ours <= (a * b).min() + 1e-9
    assert ours >= (a * b).min() - slack * (a + b).max()
    assert over <= np.maximum(a - w, b - d).min() + 1e-9
    assert over >= np.maximum(a - w, b - d).min() - slack


@pytest.mark.parametrize(("length", "fits"), [(270.0, True), (276.0, False)])
def test_a_long_bar_fits_across_the_corner_of_the_bed(length: float, fits: bool) -> None:
    # On a square bed of side w a bar of length L and width t fits at 45 deg if (L + t)/sqrt(2) <= w: L <= 272.84.
    f = lay_figures(block(length, 10, 5), UP, overhang_angle=45, layer_height=LAYER, bed=(200.0, 200.0, 100.0))
    assert f.over_bed[0] == pytest.approx((length + 10) / sqrt(2) - 200, abs=1e-9)
    assert bool(f.fits[0]) == fits
    assert f.rectangle[0] == pytest.approx([length, 10], rel=1e-9)


@pytest.mark.parametrize("turned", [0.0, 17.0, 90.0, 133.0])
def test_how_the_part_lies_in_its_file_does_not_matter(turned: float) -> None:
    body = block(180, 90, 30).turned(Rotation.from_euler("z", turned, degrees=True))
    for bed in ((100.0, 200.0, 100.0), (200.0, 100.0, 100.0)):
        f = lay_figures(body, UP, overhang_angle=45, layer_height=LAYER, bed=bed)
        assert f.over_bed[0] == pytest.approx(-10, abs=1e-6)
        assert f.rectangle[0] == pytest.approx([180, 90], rel=1e-9)


def test_a_part_too_large_says_by_how_much() -> None:
    f = lay_figures(block(260, 120, 230), UP, overhang_angle=45, layer_height=LAYER, bed=(100.0, 100.0, 200.0))
    # a bed much smaller than the part: lying straight exceeds by 160, across the corner by (260 + 120)/sqrt(2) - 100
    assert f.over_bed[0] == pytest.approx(160, abs=1e-9)
    assert f.over_height[0] == pytest.approx(30)


@pytest.mark.parametrize(
    ("x", "y", "expected"),
    [
        ([-2.0, 3, 3, -2], [-1.0, -1, 5, 5], 1.0),  # inside a rectangle: to its nearest side
        ([1.0, 3, 3, 1], [1.0, 1, 5, 5], -sqrt(2)),  # outside: to its corner
        ([1.0, 3, 3, 1], [-1.0, -1, 5, 5], -1.0),  # outside: to its side
        ([-1.0, 1], [2.0, 2], -2.0),  # a line has no inside
        ([3.0], [4.0], -5.0),  # nor has a point
    ],
)
def test_the_distance_from_the_edge_of_the_foot(x: list[float], y: list[float], expected: float) -> None:
    assert inside_by(np.array(x), np.array(y)) == pytest.approx(expected, rel=1e-12)


def test_corners_that_are_one_up_to_rounding_do_not_move_the_edge_of_the_foot() -> None:
    # A regular polygon's sides are r cos(pi/k) from its middle. Facets that share an edge each find where it crosses
    # the first layer, the last bits of one not those of the other.
    k, r = 24, 30.0
    t = 2 * pi * np.arange(k) / k
    x, y = np.tile(r * np.cos(t), 2), np.tile(r * np.sin(t), 2)
    rounding = np.random.default_rng(5).integers(-4, 5, size=(200, 2, 2 * k)) * np.spacing(r) / 4
    found = [inside_by(x + dx, y + dy) for dx, dy in rounding]
    np.testing.assert_allclose(found, r * cos(pi / k), rtol=1e-12)


def test_a_triangle_s_least_rectangle_has_twice_its_area() -> None:
    # True of every triangle whose longest side is the base. (Closed form.)
    angle = radians(20)
    p = np.array([[0.0, 0], [9, 0], [4, 3]]) @ [[cos(angle), sin(angle)], [-sin(angle), cos(angle)]]
    best, _ = calipers(p[:, 0].copy(), p[:, 1].copy(), 1.0, 1.0)
    sides = np.ptp(p @ [[cos(best), -sin(best)], [sin(best), cos(best)]], axis=0)
    assert sides.prod() == pytest.approx(27, rel=1e-9)
