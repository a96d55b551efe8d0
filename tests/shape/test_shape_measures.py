"""Rays, distances, winding, thickness, quality and curving against closed forms."""

from __future__ import annotations

import itertools

import manifold3d as m3
import numpy as np
import pytest
from shape_makers import box, soup

from printworthy.shape.bodies import winding
from printworthy.shape.boxes import first_hits, nearest, to_triangle
from printworthy.shape.curving import LEAST, MIDDLES, distortion, straighten_folded
from printworthy.shape.patches import grow
from printworthy.shape.quality import mean_ratio, volumes
from printworthy.shape.source import Surface
from printworthy.shape.thickness import element_size, spread, walls

REGULAR = np.array([[1.0, 1, 1], [1, -1, -1], [-1, 1, -1], [-1, -1, 1]])


def surface(part: tuple[np.ndarray, np.ndarray]) -> Surface:
    return Surface(*part, np.zeros(len(part[1]), int), np.full(len(part[1]), -1))


def test_thickness_of_a_plate_and_of_a_tube() -> None:
    assert walls(surface(box(80, 60, 3))).thin == pytest.approx(3, rel=1e-9)
    tube = m3.Manifold.cylinder(60, 20, 20, 180) - m3.Manifold.cylinder(60, 17.5, 17.5, 180)
    found = walls(surface(soup(tube)))
    assert found.thin == pytest.approx(2.5, abs=0.02)  # facets of 180: sag 0.003 mm
    assert np.median(found.thickness) == pytest.approx(2.5, abs=0.02)


def test_thickness_sees_the_thin_web_of_a_thick_part() -> None:
    web = m3.Manifold.cube([40, 40, 40]) + m3.Manifold.cube([80, 40, 4]).translate([40, 0, 0])
    assert walls(surface(soup(web))).thin == pytest.approx(4, rel=1e-6)


def test_points_are_spread_evenly_by_area() -> None:
    points, triangle = spread(surface(box(80, 20, 2)).corners, 8000, np.random.default_rng(811))
    top = (np.abs(points[:, 2] - 2) < 1e-9).mean()
    assert top == pytest.approx(1600 / (2 * (1600 + 160 + 40)), abs=0.002)
    assert triangle.max() == 11


def test_element_size_is_half_the_wall_within_the_bounds() -> None:
    assert element_size(4.0, 60_000) == pytest.approx(element_size(3.9, 60_000) * 4.0 / 3.9, rel=0.03)
    assert element_size(0.1, 1e6) == element_size(0.2, 1e6) > 1  # a large part with a thin skin stays bounded
    assert element_size(100, 1e6) == element_size(200, 1e6) < 50  # a block is not meshed with two elements


def test_rays_leave_a_sphere_at_its_far_side() -> None:
    points, triangles = soup(m3.Manifold.sphere(10, 128))
    origin = np.random.default_rng(813).uniform(-4, 4, (200, 3))
    ray = np.random.default_rng(814).normal(size=(200, 3))
    ray /= np.linalg.norm(ray, axis=1, keepdims=True)
    b = (origin * ray).sum(axis=1)
    exact = -b + np.sqrt(b**2 - (origin**2).sum(axis=1) + 100)
    assert first_hits(points[triangles], origin, ray) == pytest.approx(exact, abs=0.02)


def test_distance_to_triangles_against_brute_force() -> None:
    rng = np.random.default_rng(815)
    corners, points = rng.normal(size=(300, 3, 3)), rng.normal(size=(40, 3)) * 2
    exact = np.array([to_triangle(np.broadcast_to(p, (300, 3)), corners).min() for p in points])
    q, _, distance = nearest(corners, points, np.full(40, 9.0))
    best = np.full(40, np.inf)
    np.minimum.at(best, q, distance)
    assert best == pytest.approx(exact, abs=1e-12)
    flat = np.array([[[0.0, 0, 0], [4, 0, 0], [0, 4, 0]]])
    for point, away in (([1, 1, 3], 3), ([1, -2, 0], 2), ([4, 4, 0], np.sqrt(8)), ([-3, -4, 0], 5)):
        assert to_triangle(np.array([point], float), flat)[0] == pytest.approx(away, rel=1e-12)


def test_winding_is_one_inside_and_zero_outside() -> None:
    points, triangles = box()
    assert winding(points[triangles], np.array([[1.0, 1, 1], [19, 29, 9], [-1, 5, 5], [50, 50, 50]])) == pytest.approx(
        [1, 1, 0, 0], abs=1e-9
    )


def test_mean_ratio_is_one_for_a_regular_tetrahedron_and_falls_with_flatness() -> None:
    """A corner of a cube: 12 (3/6)^(2/3) / (3 + 3 * 2) = 0.840 (Liu and Joe 1994, closed form)."""
    assert mean_ratio(REGULAR[None])[0] == pytest.approx(1, rel=1e-12)
    cube_corner = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    assert mean_ratio(cube_corner[None])[0] == pytest.approx(12 * 0.5 ** (2 / 3) / 9, rel=1e-12)
    assert volumes(cube_corner[None])[0] == pytest.approx(1 / 6, rel=1e-12)
    flat = cube_corner * [1, 1, 1e-6]
    assert mean_ratio(flat[None])[0] < 1e-3


def test_a_folded_element_is_straightened_and_its_neighbour_follows() -> None:
    middles = np.array([0.5 * (REGULAR[i] + REGULAR[j]) for i, j in MIDDLES])
    nodes = np.vstack([REGULAR, middles])
    assert distortion(nodes[None])[0] == pytest.approx(1, rel=1e-12)
    nodes[4] += 1.5 * (REGULAR[2] - nodes[4])  # pushed through the element
    tets = np.arange(10)[None]
    assert distortion(nodes[tets])[0] < 0
    assert straighten_folded(nodes, tets) == 1
    assert distortion(nodes[tets])[0] == pytest.approx(1, rel=1e-12)
    assert LEAST < 1


@pytest.mark.parametrize(("body", "count"), [
    (m3.Manifold.cube([9, 9, 9]), 6),
    (m3.Manifold.cylinder(30, 10, 10, 64), 3),
    (m3.Manifold.cylinder(30, 10, 10, 6), 8),  # a hexagon bar is six flats
    (m3.Manifold.sphere(10, 64), 1),
    (m3.Manifold.cube([40, 40, 8]) - m3.Manifold.cylinder(20, 5, 5, 48).translate([20, 20, -5]), 7),
    (m3.Manifold.cylinder(30, 20, 20, 90) - m3.Manifold.cylinder(60, 15, 15, 90).translate([0, 0, -9]), 4),
])  # fmt: skip
def test_patches_are_the_faces_a_person_counts(body: m3.Manifold, count: int) -> None:
    points, triangles = soup(body)
    assert grow(points, triangles).max() + 1 == count


def test_a_fillet_that_runs_smoothly_into_flats_is_its_own_patch() -> None:
    sides = 12
    angle = np.linspace(0, np.pi / 2, sides + 1)
    outline = [(0, 0), (40, 0), *((35 + 5 * np.cos(a), 25 + 5 * np.sin(a)) for a in angle), (0, 30)]
    points, triangles = soup(m3.Manifold.extrude(m3.CrossSection([outline]), 10))
    label = grow(points, triangles)
    assert label.max() + 1 == 7  # two ends, four flats, one fillet
    normal_x = [np.cross(*(points[t[1:]] - points[t[0]]))[0] != 0 for t in triangles]
    assert len(set(itertools.compress(label, normal_x))) == 3  # left flat, right flat, fillet
