"""Every kind of file gives the same body; every kind of damage gives one clear line.

Volumes are closed forms: a box, and a prism over a regular polygon (n/2 r^2 sin(2 pi / n))."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import numpy as np
import pytest
from shape_makers import box, obj, plate_with_hole, ply, polygon_area, source, stl, stl_text

from printworthy.errors import GeometryError, UnitNeeded
from printworthy.inputs import Geometry
from printworthy.shape import look, read

WRITERS = {
    "a.stl": stl,
    "b.stl": stl_text,
    "c.obj": obj,
    "d.ply": ply,
    "e.ply": lambda p, s: ply(p, s, "binary_little_endian"),
    "f.ply": lambda p, s: ply(p, s, "binary_big_endian"),
}


@pytest.mark.parametrize("name", WRITERS)
def test_all_kinds_hold_the_same_plate(tmp_path: Path, name: str) -> None:
    report = source(WRITERS[name](tmp_path / name, plate_with_hole())).report
    assert report.volume == pytest.approx(40 * 30 * 8 - 8 * polygon_area(48, 6), rel=1e-6)
    assert np.subtract(report.high, report.low) == pytest.approx([40, 30, 8], rel=1e-6)
    assert (report.bodies[0].number, len(report.bodies), report.found, report.mended) == (1, 1, (), ())
    assert report.unit_source == "stated"


@pytest.mark.parametrize(("unit", "side"), [("mm", 20), ("cm", 200), ("m", 20000 / 20), ("inch", 508), ("in", 508)])
def test_units_scale_lengths(tmp_path: Path, unit: str, side: float) -> None:
    size = (20, 30, 10) if unit != "m" else (1, 1.5, 0.5)
    report = source(stl(tmp_path / "a.stl", box(*size)), unit).report
    assert report.high[0] - report.low[0] == pytest.approx(side, rel=1e-6)


def test_without_a_unit_the_question_shows_three_sizes(tmp_path: Path) -> None:
    with pytest.raises(UnitNeeded) as caught:
        source(stl(tmp_path / "a.stl", box()), None)
    line = str(caught.value)
    assert "20 x 30 x 10 mm if mm" in line
    assert "508 x 762 x 254 mm if inch" in line
    assert "20 x 30 x 10 m if m" in line
    assert "\n" not in line


@pytest.mark.parametrize(
    ("unit", "words"), [("furlong", "not a length unit"), ("", "not a length unit"), ("mm, not inch", "cannot declare")]
)
def test_wrong_units_are_refused(tmp_path: Path, unit: str, words: str) -> None:
    with pytest.raises(GeometryError, match=words):
        source(stl(tmp_path / "a.stl", box()), unit)


@pytest.mark.parametrize(("unit", "words"), [("um", "too small"), ("m", "too large")])
def test_a_size_no_part_has_is_refused_with_the_other_readings(tmp_path: Path, unit: str, words: str) -> None:
    with pytest.raises(GeometryError, match=words) as caught:
        source(stl(tmp_path / "a.stl", box()), unit)
    assert "20 x 30 x 10 mm if mm" in str(caught.value)


def test_an_odd_size_is_remarked(tmp_path: Path) -> None:
    assert any("unusual" in f for f in source(stl(tmp_path / "a.stl", box(2, 3, 1))).report.found)


TEXT = (
    "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 9 0 0\nvertex 0 9 0\nendloop\nendfacet\nendsolid\n"
)
PLY = "ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\nelement face 1\n"
PLY += "property list uchar int vertex_indices\nend_header\n0 0 0\n9 0 0\n0 9 0\n"
DAMAGED = {
    "empty.stl": (b"  \n", "the file is empty"),
    "short.stl": (b"\1\2\3", "too few for an STL"),
    "cut.stl": (
        b"x" * 80 + (7).to_bytes(4, "little") + b"\0" * 100,
        "header says 7 triangles, the file has room for 2",
    ),
    "word.stl": (TEXT.replace("endloop", "endlop").encode(), "word.stl:7: 'endlop' is not an STL word"),
    "four.stl": (
        TEXT.replace("vertex 9 0 0", "vertex 9 0 0\nvertex 9 9 0").encode(),
        "four.stl:8: a facet with 4 corners",
    ),
    "number.stl": (TEXT.replace("9 0 0", "9 0 zero").encode(), "number.stl:5: expected three numbers"),
    "nan.stl": (TEXT.replace("9 0 0", "9 0 nan").encode(), "triangle 1 has a corner that is not a number"),
    "none.stl": (b"solid a\nendsolid\n", "no triangles"),
    "far.stl": (TEXT.replace("9 0 0", "1e30 0 0").encode(), "no length"),
    "point.obj": (b"v 0 0\nf 1 2 3\n", "point.obj:1: expected three numbers"),
    "missing.obj": (b"v 0 0 0\nv 9 0 0\nv 0 9 0\nf 1 2 9\n", "triangle 1 names a corner that the file does not hold"),
    "zero.obj": (b"v 0 0 0\nv 9 0 0\nv 0 9 0\nf 0 1 2\n", "point number 0 does not exist"),
    "letters.obj": (b"v 0 0 0\nf a b c\n", "'a' is not a point number"),
    "lone.obj": (b"v 0 0 0\nv 1 1 1\nf 1 2\n", "a face with 2 corners"),
    "head.ply": (b"ply\nelement vertex 3\n", "no PLY header"),
    "form.ply": (PLY.replace("ascii", "cuneiform").encode(), "form.ply:2: 'format cuneiform 1.0'"),
    "less.ply": ((PLY.replace("vertex 3", "vertex 5") + "3 0 1 2\n").encode(), "in element|holds"),
    "corner.ply": ((PLY + "3 0 1 7\n").encode(), "names a corner"),
    "fewer.ply": ((PLY + "3 0 1\n").encode(), "a face with too few corners"),
    "noz.ply": ((PLY.replace("float z", "float w") + "3 0 1 2\n").encode(), "no x, y, z"),
    "zip.3mf": (b"PK\3\4" + b"\0" * 40, "not a 3MF package"),
    "cut.step": (b"ISO-10303-21;\nHEADER;\nrubbish", "the CAD kernel cannot read it"),
    "other.stl": (b"ISO-10303-21;\nHEADER;", "the name says STL, the content is STEP"),
    "other.step": (TEXT.encode(), "the name says STEP, the content is STL"),
    "part.iges": (b"x", "'.iges' are not read"),
    "part": (b"x", "'no ending' are not read"),
}


@pytest.mark.parametrize("name", DAMAGED)
def test_damage_is_one_line_with_the_place(tmp_path: Path, name: str) -> None:
    data, words = DAMAGED[name]
    (tmp_path / name).write_bytes(data)
    with pytest.raises(GeometryError) as caught:
        look(tmp_path / name, None if name.endswith(("step", "3mf")) else "mm")
    line = str(caught.value)
    assert re.search(words, line)
    assert name in line
    assert "\n" not in line


def test_no_file_and_a_folder(tmp_path: Path) -> None:
    (tmp_path / "folder.stl").mkdir()
    for name, words in (("none.stl", "no such file"), ("folder.stl", "this is a folder")):
        with pytest.raises(GeometryError, match=words):
            look(tmp_path / name, "mm")


def test_a_package_that_unpacks_to_an_absurd_size_is_refused_unread(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "a.3mf", "w", zipfile.ZIP_DEFLATED) as package:
        package.writestr("3D/3dmodel.model", b" " * 60_000_000)
    with pytest.raises(GeometryError, match="unpacks to 60 MB"):
        look(tmp_path / "a.3mf")


def test_faces_with_four_corners_are_split(tmp_path: Path) -> None:
    text = "".join(f"v {x} {y} {z}\n" for x in (0, 9) for y in (0, 9) for z in (0, 9))
    text += "f 1 2 4 3\nf 5 7 8 6\nf 1 5 6 2\nf 3 4 8 7\nf 1 3 7 5\nf -7 -3 -1 -5\n"
    (tmp_path / "a.obj").write_text(text)
    report = source(tmp_path / "a.obj").report
    assert report.volume == pytest.approx(729, rel=1e-12)
    assert report.found == ("6 faces with more than three corners were split into triangles",)


def test_stored_normals_against_the_corners_are_remarked(tmp_path: Path) -> None:
    path = stl_text(tmp_path / "a.stl", box())
    path.write_text(path.read_text().replace("facet normal 0 0 0", "facet normal 1 1 1"))
    assert read(Geometry(path, "mm")).report.found == (
        "6 stored normals against the order of the corners; the order is used",
    )
