"""Meshes and faces of one part as STEP and as STL: a 40 x 30 x 8 mm plate with a 12 mm hole at (20, 15).

Volumes and areas are closed forms; the divergence theorem ties the skin of every mesh to its inside."""

from __future__ import annotations

from pathlib import Path

import netgen.occ as occ
import ngsolve
import numpy as np
import pytest
from shape_makers import plate_with_hole, polygon_area, source, stl

from printworthy.errors import Cancelled, GeometryError, NotComputed, SelectorError
from printworthy.inputs import (
    BoxSelector,
    CylinderSelector,
    Face,
    NearestSelector,
    PatchSelector,
    PlaneSelector,
    Selector,
)
from printworthy.shape import Solid, child, mesh, select, tetra
from printworthy.shape.build import from_tets, skin
from printworthy.shape.source import areas

EXACT = 40 * 30 * 8 - 8 * np.pi * 36
HOLE = 2 * np.pi * 6 * 8


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("plate")


@pytest.fixture(scope="module")
def cad(folder: Path) -> Solid:
    body = occ.Box((0, 0, 0), (40, 30, 8)) - occ.Cylinder((20, 15, -5), occ.Z, 6, 20)
    body.WriteStep(str(folder / "plate.step"))
    return mesh(source(folder / "plate.step", None), cache=folder / "kept")


@pytest.fixture(scope="module")
def triangles(folder: Path) -> Solid:
    return mesh(source(stl(folder / "plate.stl", plate_with_hole())), cache=folder / "kept", element_size=4.0)


@pytest.fixture(params=["cad", "triangles"])
def solid(request: pytest.FixtureRequest) -> Solid:
    found: Solid = request.getfixturevalue(request.param)
    return found


def flux(solid: Solid) -> float:
    """Volume from the skin: a third of the flux of the position through it."""
    normal, at = ngsolve.specialcf.normal(3), ngsolve.CF((ngsolve.x, ngsolve.y, ngsolve.z))
    return float(ngsolve.Integrate(normal * at, solid.mesh, ngsolve.BND, order=8)) / 3


def area(solid: Solid, selector: Selector, **more: int) -> float:
    return float(areas(solid.corners[select(solid, Face("f", selector, **more))]).sum())


def test_curved_elements_fill_the_cad_part(cad: Solid) -> None:
    assert cad.report.curved
    assert cad.volume == pytest.approx(EXACT, rel=2e-4)
    assert cad.report.volume_error == pytest.approx(0, abs=2e-4)
    assert float(ngsolve.Integrate(1, cad.mesh)) == pytest.approx(cad.volume, rel=1e-12)


def test_straight_elements_fill_the_triangles(triangles: Solid) -> None:
    assert not triangles.report.curved
    assert triangles.volume == pytest.approx(40 * 30 * 8 - 8 * polygon_area(48, 6), rel=3e-3)


def test_skin_and_inside_agree(solid: Solid) -> None:
    assert flux(solid) == pytest.approx(solid.volume, rel=1e-9)


def test_arrays_are_in_the_order_of_the_mesh(solid: Solid) -> None:
    assert [tuple(v.nr for v in e.vertices) for e in solid.mesh.Elements(ngsolve.BND)] == [
        tuple(f) for f in solid.facets.tolist()
    ]
    assert np.array([p.point for p in solid.mesh.vertices]) == pytest.approx(solid.points, abs=1e-12)
    assert len(solid.tets) == solid.mesh.ne
    assert solid.report.unknowns == ngsolve.VectorH1(solid.mesh, order=2).ndof


def test_figures_of_the_mesh(solid: Solid) -> None:
    report = solid.report
    assert report.thickness == pytest.approx(8, rel=0.02)
    assert 1 < report.across < 6
    assert 0.05 < report.worst_quality < report.mean_quality < 1
    assert report.elements == len(solid.tets)


@pytest.mark.parametrize(("selector", "exact", "rel"), [
    (PlaneSelector((0, 0, 8), (0, 0, 1)), 1200 - np.pi * 36, 0.02),
    (PlaneSelector((0, 9, 3), (-1, 0, 0)), 240, 0.02),
    (CylinderSelector((20, 15, 0), (0, 0, 1), 6), HOLE, 0.03),
    (CylinderSelector((20, 15, 99), (0, 0, -2), 6, low=89, high=120), HOLE, 0.03),
    (NearestSelector((20, 15, 4)), HOLE, 0.03),
    (PatchSelector((26, 15, 4)), HOLE, 0.03),
    (BoxSelector((-1, -1, -1), (0.5, 31, 9)), 240, 0.02),
])  # fmt: skip
def test_selectors_find_the_same_faces_on_both(solid: Solid, selector: Selector, exact: float, rel: float) -> None:
    assert area(solid, selector, patches=1) == pytest.approx(exact, rel=rel)


def test_a_cylinder_cut_short_has_half_the_wall(solid: Solid) -> None:
    cut = area(solid, CylinderSelector((20, 15, 0), (0, 0, 1), 6, low=0, high=4))
    assert cut == pytest.approx(HOLE / 2, rel=0.35)  # as ragged as a facet is high


@pytest.mark.parametrize(("selector", "words"), [
    (CylinderSelector((20, 15, 0), (0, 0, 1), 7), r"nearest radius about this axis is (6|5\.99\d*) mm, 7 mm stated"),
    (CylinderSelector((20, 15, 0), (0, 0, 1), 6, low=20, high=30), "along the axis, not within low and high"),
    (CylinderSelector((3, 3, 0), (1, 1, 0.2), 6), "no surface is round about this axis"),
    (PlaneSelector((0, 0, 7), (0, 0, 1)), r"lie \+1 mm off along the normal"),
    (PlaneSelector((0, 0, 8), (0, 0.5, 1)), "no facet faces this way"),
    (PatchSelector((20, 15, 20)), r"surface nearest to \(20, 15, 20\) mm is 13.* mm away"),
    (BoxSelector((50, 50, 50), (60, 60, 60)), "no facet lies wholly in the box; the nearest one has its middle at"),
])  # fmt: skip
def test_a_miss_says_what_lies_near(solid: Solid, selector: Selector, words: str) -> None:
    with pytest.raises(SelectorError, match=words):
        select(solid, Face("f", selector))


def test_another_number_of_patches_is_an_error(solid: Solid) -> None:
    with pytest.raises(SelectorError, match="matches 7 smooth patches, 2 stated"):
        select(solid, Face("f", BoxSelector((-1, -1, -1), (41, 31, 9)), patches=2))


def test_a_stated_tolerance_widens(solid: Solid) -> None:
    near = CylinderSelector((20, 15, 0), (0, 0, 1), 6.4)
    with pytest.raises(SelectorError):
        select(solid, Face("f", near))
    wide = CylinderSelector((20, 15, 0), (0, 0, 1), 6.4, tolerance=0.5)
    assert area(solid, wide) == pytest.approx(HOLE, rel=0.03)


def test_a_kept_mesh_is_used_again(folder: Path, triangles: Solid, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(child, "run", lambda *a, **k: pytest.fail("the mesher was run again"))
    again = mesh(source(folder / "plate.stl"), cache=folder / "kept", element_size=4.0)
    assert (again.points == triangles.points).all()


def test_a_person_may_stop_it_and_the_mesher_ends(folder: Path, cad: Solid) -> None:
    def stop(stage: str, share: float) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        mesh(source(folder / "plate.step", None), progress=stop)


def test_a_mesher_that_fails_twice_is_one_line(folder: Path, triangles: Solid, monkeypatch: pytest.MonkeyPatch) -> None:
    answers = iter(
        ["it did not end within 240 s of processor time", "it was stopped by signal 11: a crash, or too little memory"]
    )
    monkeypatch.setattr(child, "run", lambda *a, **k: next(answers))
    with pytest.raises(
        NotComputed,
        match=r"failed twice: at 3 mm it did not end .* at 4.5 mm it was stopped by signal 11.*element_size",
    ):
        tetra.tetrahedra(triangles.surface, tetra.Wish(3.0, 0.1, 20), "plate.stl")


@pytest.mark.parametrize(("code", "words"), [
    ("import os, signal; os.kill(os.getpid(), signal.SIGSEGV)", "stopped by signal 11"),
    ("import sys; sys.exit('no tetrahedra today')", "no tetrahedra today"),
    ("pass", "ended with code 0"),
])  # fmt: skip
def test_a_child_that_crashes_is_told_in_words(tmp_path: Path, code: str, words: str) -> None:
    script = tmp_path / "child.py"
    script.write_text(code)
    answer = child.run(str(script), {}, {}, limit=60, stage="test")
    assert isinstance(answer, str)
    assert words in answer


def test_a_child_is_ended_and_the_next_one_begins_clean(tmp_path: Path) -> None:
    slow, mark, plain = (tmp_path / name for name in ("slow.py", "mark.py", "plain.py"))
    slow.write_text("import time; time.sleep(600)")
    mark.write_text("import builtins, numpy; builtins.left = 1; numpy.savez('answer.npz', at=numpy.ones(2))")
    plain.write_text("import builtins, sys; sys.exit(f'left {hasattr(builtins, \"left\")}, {sys.argv[1:]}')")

    def stop(stage: str, share: float) -> None:
        if share > 0:
            raise Cancelled("enough")

    with pytest.raises(Cancelled):
        child.run(str(slow), {}, {}, limit=60, stage="test", progress=stop)
    (nursery,) = child._idle
    assert child.run(str(slow), {}, {}, limit=0.05, stage="test") == "it did not end within 0 s"
    found = child.run(str(mark), {}, {}, limit=60, stage="test")
    assert not isinstance(found, str)
    assert found["at"].tolist() == [1.0, 1.0]
    assert child.run(str(plain), {}, {}, limit=60, stage="test") == "left False, ['question.npz', 'answer.npz', '60']"
    assert child._idle == [nursery]
    nursery.process.kill()
    nursery.process.wait()
    assert "left False" in child.run(str(plain), {}, {}, limit=60, stage="test")


def test_a_nursery_that_is_killed_meanwhile_is_told(tmp_path: Path) -> None:
    script = tmp_path / "child.py"
    script.write_text("import os, signal, time; os.kill(os.getppid(), signal.SIGKILL); time.sleep(0.5)")
    assert "stopped by signal 9" in child.run(str(script), {}, {}, limit=60, stage="test")


def test_pieces_that_only_touch_along_an_edge_are_no_solid() -> None:
    points = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1], [0, -1, 0], [0, 0, -1]])
    tets = np.array([[0, 1, 2, 3], [0, 1, 4, 5]])  # they share the edge 0-1
    with pytest.raises(GeometryError, match="falls into 2 pieces"):
        from_tets(points, tets, "two.stl", 1.0, 0.01)


def test_skin_faces_outwards() -> None:
    points = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    corners = points[skin(np.array([[0, 1, 2, 3]]))]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    assert (np.einsum("ij,ij->i", normal, corners.mean(axis=1) - 0.25) > 0).all()
