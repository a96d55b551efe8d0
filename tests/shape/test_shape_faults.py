"""What is wrong with triangles: found, mended where that is harmless, refused where it is not."""

from __future__ import annotations

from pathlib import Path

import manifold3d as m3
import numpy as np
import pytest
from shape_makers import Soup, box, moved, obj, plate_with_hole, soup, source, stl, together, turned

from printworthy.errors import BodyNeeded, GeometryError
from printworthy.shape.bodies import wrapped_volume
from printworthy.shape.topology import crossings, edges, flips
from printworthy.shape.triangles import weld


def without(part: Soup, *numbers: int) -> Soup:
    return part[0], np.delete(part[1], numbers, axis=0)


def test_an_inward_body_is_turned_and_its_volume_is_positive(tmp_path: Path) -> None:
    report = source(stl(tmp_path / "a.stl", turned(box()))).report
    assert report.volume == pytest.approx(6000, rel=1e-6)
    assert report.mended == ("12 triangles turned outwards",)


def test_triangles_against_their_neighbours_are_turned(tmp_path: Path) -> None:
    points, triangles = plate_with_hole()
    mixed = triangles.copy()
    mixed[5:25] = mixed[5:25, ::-1]
    report = source(stl(tmp_path / "a.stl", (points, mixed))).report
    assert report.volume == pytest.approx(source(stl(tmp_path / "b.stl", (points, triangles))).report.volume, rel=1e-12)
    assert report.mended == ("20 triangles turned to agree with their neighbours",)


def test_empty_and_double_triangles_are_dropped_and_listed(tmp_path: Path) -> None:
    points, triangles = box()
    extra = [triangles[0], [0, 0, 1], triangles[3], triangles[3][::-1]]  # a copy, a collapsed one, a pair back to back
    report = source(obj(tmp_path / "a.obj", (points, np.vstack([triangles, extra])))).report
    assert report.triangles == 12
    assert report.volume == pytest.approx(6000, rel=1e-12)
    assert len(report.mended) == len(report.found) == 3


def test_a_needle_is_left_in_because_it_holds_its_neighbours_together(tmp_path: Path) -> None:
    points, triangles = box()
    a, b, c = triangles[0]
    middle = len(points)  # on the edge a-b: the triangle is parted there, its neighbour is not
    points = np.vstack([points, 0.5 * (points[a] + points[b])])
    parted = [[a, middle, c], [middle, b, c], [a, b, middle]]
    report = source(obj(tmp_path / "a.obj", (points, np.vstack([triangles[1:], parted])))).report
    assert report.volume == pytest.approx(6000, rel=1e-12)
    assert report.found == ("1 triangle with three corners on a line (left in, they hold their neighbours together)",)
    assert report.mended == ()


def test_a_missing_triangle_is_refused_with_and_without_mending(tmp_path: Path) -> None:
    path = stl(tmp_path / "a.stl", without(box(), 4))
    with pytest.raises(GeometryError, match=r"not closed: 3 open edges in 1 piece. Repair it where it was drawn$"):
        source(path)
    with pytest.raises(GeometryError, match=r"cannot honestly close.*invent a part of the shape"):
        source(path, mend=True)


def cracked(width: float) -> Soup:
    """A box whose top is torn along an edge by `width` [mm]."""
    points, triangles = box()
    edge = edges(points, triangles).pairs[0]
    shared = np.intersect1d(*triangles[edge])[0]
    points = np.vstack([points, points[shared] + [0, 0, width]])
    torn = triangles.copy()
    torn[edge[0]][torn[edge[0]] == shared] = len(points) - 1
    torn[edge[0]] = np.where(triangles[edge[0]] == shared, len(points) - 1, triangles[edge[0]])
    return points, torn


def test_a_hairline_crack_is_closed_on_request_and_its_size_is_told(tmp_path: Path) -> None:
    path = obj(tmp_path / "a.obj", cracked(1e-3))
    with pytest.raises(GeometryError, match=r"4 open edges.*permit mend = true"):
        source(path)
    report = source(path, mend=True).report
    assert report.volume == pytest.approx(6000, rel=1e-3)
    assert any("1 hole closed" in m and "volume changes by less than" in m for m in report.mended)


def test_a_wide_crack_is_not(tmp_path: Path) -> None:
    with pytest.raises(GeometryError, match="cannot honestly close"):
        source(obj(tmp_path / "a.obj", cracked(1.0)), mend=True)


def test_a_sheet_has_no_volume(tmp_path: Path) -> None:
    points, triangles = np.array([[0.0, 0, 0], [20, 0, 0], [0, 20, 0]]), np.array([[0, 1, 2], [2, 1, 0]])
    with pytest.raises(GeometryError, match="sheet without thickness"):
        source(obj(tmp_path / "a.obj", (points, triangles)))


def test_a_one_sided_surface_is_refused(tmp_path: Path) -> None:
    # The band of Moebius with five triangles.
    angle = 2 * np.pi * np.arange(5) / 5
    points = 20 * np.column_stack([np.cos(angle), np.sin(angle), 0.3 * np.sin(2 * angle)])
    triangles = np.array([[k, (k + 1) % 5, (k + 2) % 5] for k in range(5)])
    assert flips(5, edges(points, triangles)) is None
    with pytest.raises(GeometryError, match="one-sided"):
        source(obj(tmp_path / "a.obj", (points, triangles)), body=1)


def test_two_bodies_are_asked_about_with_their_sizes(tmp_path: Path) -> None:
    path = stl(tmp_path / "a.stl", together(box(10, 10, 10), moved(box(), (50, 0, 0))))
    with pytest.raises(BodyNeeded, match=r"2 bodies.*1 \(6000 mm3, 20 x 30 x 10 mm\), 2 \(1000 mm3, 10 x 10 x 10 mm\)"):
        source(path)
    assert source(path, body=2).report.volume == pytest.approx(1000, rel=1e-6)
    with pytest.raises(GeometryError, match="body 3 is stated, the file has 2"):
        source(path, body=3)


def test_a_hollow_is_no_body(tmp_path: Path) -> None:
    hollow = together(box(), moved(turned(box(4, 4, 4)), (5, 5, 3)))
    for name, part in (("a.stl", hollow), ("b.stl", turned(hollow))):
        report = source(stl(tmp_path / name, part)).report
        assert (len(report.bodies), report.volume) == (1, pytest.approx(6000 - 64, rel=1e-6))
        assert any("1 closed hollow inside" in f for f in report.found)


def test_a_loose_ball_in_a_hollow_and_a_body_in_a_body_are_bodies(tmp_path: Path) -> None:
    rattle = together(box(), moved(turned(box(6, 6, 6)), (5, 5, 2)), moved(box(2, 2, 2), (7, 7, 4)))
    with pytest.raises(BodyNeeded, match="2 bodies"):
        source(stl(tmp_path / "a.stl", rattle))
    nested = stl(tmp_path / "b.stl", together(box(), moved(box(4, 4, 4), (5, 5, 3))))
    assert any("lies inside another" in f for f in source(nested, body=2).report.found)


def test_bodies_that_touch_along_an_edge_stay_apart(tmp_path: Path) -> None:
    path = stl(tmp_path / "a.stl", together(box(10, 10, 10), moved(box(10, 10, 10), (10, 10, 0))))
    with pytest.raises(BodyNeeded, match="2 bodies"):
        source(path)
    assert source(path, body=1).report.volume == pytest.approx(1000, rel=1e-6)


def test_overlapping_bodies_are_joined_on_request_and_overlaps_count_once(tmp_path: Path) -> None:
    # 20 x 30 x 10 and a 10 x 10 x 30 post sunk into it: 6000 + 3000 - 10 x 10 x 7.
    path = stl(tmp_path / "a.stl", together(box(), moved(box(10, 10, 30), (5, 7, 3))))
    with pytest.raises(BodyNeeded, match="overlapping ones by mend = true"):
        source(path)
    report = source(path, mend=True).report
    assert len(report.bodies) == 1
    assert report.volume == pytest.approx(8300, rel=5e-3)  # lines 1/256 of the box apart
    assert any("counts overlaps once: the volume changes by -7" in m for m in report.mended)


def test_crossings_are_counted_not_touches() -> None:
    points, triangles = together(box(10, 10, 10), moved(box(10, 10, 10), (10, 0, 0)))  # they touch along a face
    assert len(crossings(points, triangles, 1e-6)) == 0
    points, triangles = together(box(10, 10, 10), moved(box(4, 4, 20), (3, 3, -5)))  # a post through two faces
    pairs = crossings(points, triangles, 1e-6)
    assert set((pairs // 12).ravel()) == {0, 1}
    assert (pairs[:, 0] // 12 != pairs[:, 1] // 12).all()


def test_wrapped_volume_of_a_sphere_and_of_its_double() -> None:
    points, triangles = soup(m3.Manifold.sphere(10, 96))
    exact = m3.Manifold.sphere(10, 96).volume()
    assert wrapped_volume(points[triangles]) == pytest.approx(exact, rel=2e-3)
    assert wrapped_volume(np.concatenate([points[triangles]] * 2)) == pytest.approx(exact, rel=2e-3)


def test_points_equal_within_the_files_digits_are_one() -> None:
    points, triangles = box()
    scattered = points[triangles].reshape(-1, 3)
    noise = np.random.default_rng(917).uniform(-1, 1, scattered.shape) * 1e-6  # of 30 mm: 3e-8
    welded, index = weld(scattered + noise, np.arange(36).reshape(-1, 3))
    assert len(welded) == 8
    assert edges(welded, index).closed
    apart, _ = weld(np.vstack([points, points]), np.vstack([triangles, triangles + 8]), np.repeat([0, 1], 12))
    assert len(apart) == 16
