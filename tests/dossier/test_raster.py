"""The rasteriser against closed forms: projected areas, depth order, linear fields; its PNG read by another program."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
import trimesh
from PIL import Image

from printworthy.dossier import camera, paint
from printworthy.dossier.raster import View, png, rasterise
from printworthy.results import SurfaceField


def view(toward: tuple[float, float, float], scale: float = 20.0, size: int = 400) -> View:
    return View(camera.axes(np.array(toward), np.array([0.0, 0.0, 1.0])), np.zeros(3), scale, size, size)


def seen_area(points: np.ndarray, triangles: np.ndarray, eye: View) -> float:
    """Area [mm2] of the picture of a body."""
    pixels = rasterise(eye.project(points), triangles, eye.width, eye.height)
    return float((pixels.triangle >= 0).sum()) / eye.scale**2


@pytest.mark.parametrize(
    ("toward", "area"),
    [
        ((1.0, 0.0, 0.0), 16.0),  # one face
        ((1.0, 1.0, 0.0), 16.0 * np.sqrt(2)),  # two faces at 45 degrees
        ((1.0, 1.0, 1.0), 16.0 * np.sqrt(3)),  # the regular hexagon
        ((3.0, 2.0, 1.0), 16.0 * 6 / np.sqrt(14)),  # Cauchy: half the sum of area times |n . v|
    ],
)
def test_a_cube_covers_its_shadow(toward: tuple[float, float, float], area: float) -> None:
    cube = trimesh.creation.box((4.0, 4.0, 4.0))
    # 400 px on a 4 mm cube at 20 px/mm: the outline, about 320 px long, is right to half a pixel
    assert seen_area(cube.vertices, cube.faces, view(toward)) == pytest.approx(area, rel=0.01)


@pytest.mark.parametrize("toward", [(1.0, 0.0, 0.0), (0.3, -0.5, 0.7)])
def test_a_sphere_covers_a_disc(toward: tuple[float, float, float]) -> None:
    ball = trimesh.creation.icosphere(subdivisions=5, radius=8.0)  # 20480 triangles: sagitta 2e-4 of the radius
    assert seen_area(ball.vertices, ball.faces, view(toward)) == pytest.approx(np.pi * 64.0, rel=3e-3)


def test_the_nearer_of_two_squares_is_seen_whatever_their_order() -> None:
    square = np.array([[-2.0, -2, 0], [2, -2, 0], [2, 2, 0], [-2, 2, 0]])
    points = np.vstack([square, square / 2 + [0, 0, 1.0]])
    for far, near in (((0, 1, 2, 3), (4, 5, 6, 7)), ((4, 5, 6, 7), (0, 1, 2, 3))):
        faces = np.array([[q[0], q[1], q[2]] for q in (far, near)] + [[q[0], q[2], q[3]] for q in (far, near)])
        eye = View(np.eye(3), np.zeros(3), 20.0, 100, 100)
        pixels = rasterise(eye.project(points), faces, 100, 100)
        on_top = np.isin(faces[np.maximum(pixels.triangle, 0)], [4, 5, 6, 7]).all(axis=-1) & (pixels.triangle >= 0)
        assert on_top.sum() / 400 == pytest.approx(4.0, rel=0.02)  # the small near square, whole
        assert (pixels.triangle >= 0).sum() / 400 == pytest.approx(16.0, rel=0.02)


def test_a_linear_field_is_exact_at_every_pixel() -> None:
    points = np.array([[-2.0, -2, 0], [2, -2, 1], [2, 2, -1], [-2, 2, 0.5]])
    faces = np.array([[0, 1, 2], [0, 2, 3]])
    eye = View(np.eye(3), np.zeros(3), 20.0, 120, 120)
    pixels = rasterise(eye.project(points), faces, 120, 120)
    got = pixels.blend((3 * points[:, 0] - points[:, 1] + 5)[faces])
    y, x = np.nonzero(pixels.triangle >= 0)
    wanted = 3 * (x + 0.5 - 60) / 20 - (60 - y - 0.5) / 20 + 5
    np.testing.assert_allclose(got[y, x], wanted, atol=1e-9)


def test_large_and_tiny_triangles_tile_without_gaps_or_doubles() -> None:
    rng = np.random.default_rng(7041)
    plate = trimesh.creation.box((4.0, 4.0, 0.1)).subdivide_to_size(0.9)
    points = plate.vertices.copy()
    points[:, :2] += rng.uniform(-1e-4, 1e-4, points[:, :2].shape)
    whole = rasterise(view((0, 0, 1.0)).project(points), plate.faces, 400, 400)
    inside = whole.triangle[163:237, 163:237]  # well inside the 80 px square
    assert (inside >= 0).all()


def test_another_program_reads_the_png() -> None:
    rng = np.random.default_rng(90210)
    pixels = rng.integers(0, 256, (37, 53, 4), dtype=np.uint8)
    with Image.open(io.BytesIO(png(pixels))) as picture:
        picture.load()
        np.testing.assert_array_equal(np.asarray(picture), pixels)


def test_skins_are_known_to_be_closed_or_not() -> None:
    cube = trimesh.creation.box((1.0, 1.0, 1.0))
    assert paint.is_oriented(cube.faces, len(cube.vertices))
    turned = cube.faces.copy()
    turned[3] = turned[3, ::-1]
    assert not paint.is_oriented(turned, len(cube.vertices))
    assert not paint.is_oriented(cube.faces[1:], len(cube.vertices))


def test_an_inside_out_skin_is_turned_outwards() -> None:
    ball = trimesh.creation.icosphere(subdivisions=2)
    field = SurfaceField(ball.vertices, ball.faces[:, ::-1], np.zeros(len(ball.vertices)), {})
    scene = paint.scene(field)
    assert scene.closed
    outward = np.einsum("ij,ij->i", scene.facet, ball.triangles_center)
    assert (outward > 0).all()


def test_dropping_back_faces_changes_no_pixel() -> None:
    ring = trimesh.creation.annulus(4.0, 7.0, 5.0)
    scene = paint.scene(SurfaceField(ring.vertices, ring.faces, np.zeros(len(ring.vertices)), {}))
    eye = view((0.4, 0.5, 0.6), scale=18.0)
    fast, slow = paint.see(scene, eye), paint.see(replace(scene, closed=False), eye)
    # facets seen edge-on may win a pixel on an outline; nowhere else
    assert (fast.triangle != slow.triangle).mean() < 1e-3


def test_sight_is_blocked_by_a_wall_and_free_beside_it() -> None:
    wall = trimesh.creation.box((0.1, 4.0, 4.0))
    wall.apply_translation([5.0, 0, 0])
    towards = np.array([[1.0, 0, 0], [-1.0, 0, 0], [0, 0, 1.0], [1.0, 0.6, 0]])
    free = camera.free_sight(wall.vertices, wall.faces, np.zeros(3), towards)
    assert free.tolist() == [False, True, True, True]  # the fourth passes at y = 3, the wall ends at y = 2


def test_the_view_shows_a_spot_inside_a_cup() -> None:
    """A spot on the inner floor of an open cup can only be seen through its mouth, here downwards."""
    cup = trimesh.creation.revolve(np.array([[0, 0], [6, 0], [6, -14], [5, -14], [5, -1], [0, -1]], dtype=float))
    spot = int(np.argmin(np.linalg.norm(cup.vertices - [0, 0, -1.0], axis=1)))
    for faces in (cup.faces, cup.faces[:, ::-1]):
        chosen = camera.choose(cup.vertices, faces, spot, [], camera.UP, (25.0, 50.0, -20.0, -75.0))
        assert chosen[2] == pytest.approx(-np.sin(np.deg2rad(75)))


def test_fit_leaves_the_margin_on_every_side() -> None:
    rng = np.random.default_rng(5155)
    points = rng.normal(size=(200, 3)) * [30.0, 5.0, 80.0] + [400.0, -70.0, 9.0]
    eye = camera.fit(points, camera.axes(np.array([1.0, 2.0, 0.5]), camera.UP), 1440, 1000, 168)
    screen = eye.project(points)[:, :2]
    low, high = screen.min(axis=0), screen.max(axis=0)
    assert (low >= 168 - 1e-6).all()
    assert (high <= np.array([1440, 1000]) - 168 + 1e-6).all()
    assert np.allclose((low + high) / 2, [720, 500])
