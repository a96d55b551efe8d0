"""STEP and 3MF: declared units, several bodies, transforms. Volumes are closed forms."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import lib3mf
import netgen.occ as occ
import numpy as np
import pytest
from lib3mf import Lib3MF
from shape_makers import Soup, box, source

from printworthy.errors import BodyNeeded, GeometryError
from printworthy.inputs import CylinderSelector, Face
from printworthy.shape import build, mesh, select
from printworthy.shape.cad import declared_unit


def step(path: Path, *bodies: occ.TopoDS_Shape) -> Path:
    (bodies[0] if len(bodies) == 1 else occ.Compound(list(bodies))).WriteStep(str(path))
    return path


def block(x: float = 20, y: float = 30, z: float = 10) -> occ.TopoDS_Shape:
    return occ.Box((0, 0, 0), (x, y, z))


def in_inches(path: Path) -> Path:
    """Declare inches in a file written in millimetres, its numbers untouched (ISO 10303-41 conversion_based_unit)."""
    text = path.read_text()
    head, tail = text.split("( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) );", 1)
    number = head.rsplit("#", 1)[1].split("=")[0].strip()
    new = (
        "( CONVERSION_BASED_UNIT('INCH',#90002) LENGTH_UNIT() NAMED_UNIT(#90001) );\n"
        "#90001 = DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.);\n"
        "#90002 = LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#90003);\n"
        "#90003 = ( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) );"
    )
    assert number.isdigit()
    path.write_text(head + new + tail)
    return path


def test_a_cylinder_has_its_volume_and_three_patches(tmp_path: Path) -> None:
    path = step(tmp_path / "a.step", occ.Cylinder((0, 0, 0), occ.Z, 10, 30))
    found = source(path, None)
    assert found.report.volume == pytest.approx(np.pi * 100 * 30, rel=1e-9)
    assert found.report.area == pytest.approx(2 * np.pi * 100 + 2 * np.pi * 10 * 30, rel=1e-9)
    assert (found.report.unit, found.report.unit_source) == ("mm", "declared in the file")
    assert found.surface.patches.max() + 1 == 3
    assert np.subtract(found.report.high, found.report.low) == pytest.approx(
        [20, 20, 30], abs=1e-6
    )  # exact, round as it is


def test_halves_of_one_cylinder_are_one_patch(tmp_path: Path) -> None:
    # A wall drawn as two half circles is two CAD faces.
    path = occ.WorkPlane().MoveTo(-8, 0).Arc(8, 180).Arc(8, 180).Face()
    body = occ.Box((-30, -30, 0), (30, 30, 15)) - path.Extrude(15)
    surface = source(step(tmp_path / "a.step", body), None).surface
    assert surface.faces.max() + 1 == 8
    assert surface.patches.max() + 1 == 7


def test_declared_inches_are_converted_and_may_be_overruled_by_naming_both(tmp_path: Path) -> None:
    path = in_inches(step(tmp_path / "a.step", block(2, 3, 1)))
    assert declared_unit(path.read_text()) == "inch"
    report = source(path, None).report
    assert (report.unit, report.volume) == ("inch", pytest.approx(6 * 25.4**3, rel=1e-9))
    assert source(path, "inch").report.unit_source == "declared in the file and stated"
    with pytest.raises(GeometryError, match=r'unit = "mm, not inch"'):
        source(path, "mm")
    with pytest.raises(GeometryError, match="declares inch"):
        source(path, "mm, not m")
    overruled = source(path, "mm, not inch").report
    assert overruled.volume == pytest.approx(6, rel=1e-6)
    assert overruled.unit_source == "stated against the file, which declares inch"


def test_solids_are_bodies_by_falling_volume(tmp_path: Path) -> None:
    path = step(tmp_path / "a.step", block(5, 5, 5), block().Move(occ.Vec(50, 0, 0)))
    with pytest.raises(BodyNeeded, match=r"2 bodies.*1 .*\(6000 mm3.*2 .*\(125 mm3"):
        source(path, None)
    assert source(path, None, body=2).report.volume == pytest.approx(125, rel=1e-9)


def test_surfaces_without_a_solid(tmp_path: Path) -> None:
    path = step(tmp_path / "a.step", occ.Compound(list(block().faces)[:4]))
    with pytest.raises(GeometryError, match="no solid in the file, only 4 loose faces"):
        source(path, None)


def package(
    path: Path, parts: list[tuple[Soup, list[np.ndarray]]], unit: Lib3MF.ModelUnit = Lib3MF.ModelUnit.MilliMeter
) -> Path:
    """3MF with each mesh used through components of one object, moved by 4 x 3 row-vector matrices."""
    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    model.SetUnit(unit)
    group = model.AddComponentsObject()
    for (points, triangles), moves in parts:
        mesh = model.AddMeshObject()
        for p in points:
            mesh.AddVertex(Lib3MF.Position((Lib3MF.ctypes.c_float * 3)(*p)))
        for t in triangles:
            mesh.AddTriangle(Lib3MF.Triangle((Lib3MF.ctypes.c_uint32 * 3)(*(int(i) for i in t))))
        for m in moves:
            transform = wrapper.GetIdentityTransform()
            for i in range(4):
                for j in range(3):
                    transform.Fields[i][j] = float(m[i, j])
            group.AddComponent(mesh, transform)
    model.AddBuildItem(group, wrapper.GetTranslationTransform(0.0, 0.0, 7.0))
    model.QueryWriter("3mf").WriteToFile(str(path))
    return path


def test_components_are_moved_turned_and_mirrored(tmp_path: Path) -> None:
    turn = np.vstack([[[0, 1, 0], [-1, 0, 0], [0, 0, 1]], [[100, 0, 0]]])  # x becomes y
    mirror = np.vstack([np.diag([-1, 1, 1]), [[0, 0, 0]]])
    path = package(tmp_path / "a.3mf", [(box(), [turn, mirror])])
    with pytest.raises(BodyNeeded, match="2 bodies"):
        source(path, None)
    reports = [source(path, None, body=k).report for k in (1, 2)]
    lows = sorted(r.low for r in reports)
    assert lows[0] == pytest.approx((-20, 0, 7), abs=1e-5)
    assert lows[1] == pytest.approx((70, 0, 7), abs=1e-5)
    assert [r.volume for r in reports] == pytest.approx([6000, 6000], rel=1e-6)
    assert all(r.mended == () for r in reports)  # the mirror left nothing inside out


def test_3mf_declares_its_unit(tmp_path: Path) -> None:
    path = package(tmp_path / "a.3mf", [(box(2, 3, 1), [np.eye(4)[:, :3]])], Lib3MF.ModelUnit.Inch)
    report = source(path, None).report
    assert (report.unit, report.volume) == ("inch", pytest.approx(6 * 25.4**3, rel=1e-6))
    with pytest.raises(GeometryError, match="declares inch"):
        source(path, "mm")


@pytest.mark.parametrize(("height", "radius"), [(10, 3.25), (14, 5.0)])
def test_a_hole_of_few_elements_is_chosen_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, height: float, radius: float
) -> None:
    hole = occ.Cylinder(occ.Pnt(0, 0, -1), occ.Z, radius, height + 2)
    part = source(step(tmp_path / "a.step", occ.Box((-20, -20, 0), (20, 20, height)) - hole), None)
    as_asked = build._cad_mesh
    coarse = {"curvature": 0.5625, "grading": 0.7}  # what a part with much detail is meshed with at last
    monkeypatch.setattr(build, "_cad_mesh", lambda s, sizes, *rest: as_asked(s, replace(sizes, **coarse), *rest))
    solid = mesh(part, element_size=30)
    found = select(solid, Face("hole", CylinderSelector((0, 0, 0), (0, 0, 1), radius)))
    on_wall = (np.abs(np.hypot(solid.corners[..., 0], solid.corners[..., 1]) - radius) < 1e-6).all(axis=1)
    assert found.tolist() == np.flatnonzero(on_wall).tolist()
