"""What is wrong with a file lies where it was put. Boxes are written here; counts and lengths are closed forms."""

from __future__ import annotations

import math
from pathlib import Path

import netgen.occ as occ
import numpy as np
import pytest

from printworthy.errors import UnitNeeded
from printworthy.inputs import Geometry
from printworthy.shape import survey

QUADS = [(0, 3, 2, 1), (4, 5, 6, 7), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7)]


def box(size: tuple[float, float, float], at: tuple[float, float, float] = (0, 0, 0)) -> np.ndarray:
    """Twelve triangles (12, 3, 3) of a box."""
    corners = np.array([(x, y, z) for z in (0, 1) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1))]) * size + np.array(at)
    return corners[[t for a, b, c, d in QUADS for t in ((a, b, c), (a, c, d))]].astype(float)


def write(path: Path, triangles: np.ndarray) -> Geometry:
    lines = [f"v {x} {y} {z}" for x, y, z in triangles.reshape(-1, 3)]
    lines += [f"f {3 * k + 1} {3 * k + 2} {3 * k + 3}" for k in range(len(triangles))]
    path.write_text("\n".join(lines))
    return Geometry(path, "mm", None, False)


def test_a_side_left_out_is_a_ring_of_open_edges(tmp_path: Path) -> None:
    whole, torn = box((20, 10, 5)), box((20, 10, 5), (0, 30, 0))[:-2]  # without its side x = 0
    found = survey(write(tmp_path / "a.obj", np.concatenate([whole, torn])))
    (open_,) = found.findings
    assert (open_.kind, len(open_.lines), len(open_.spots), open_.more) == ("open", 4, 1, 0)
    assert found.surface.points[open_.lines][..., 0] == pytest.approx(0.0)
    assert open_.spots[0].words.startswith(f"4 open edges, {math.hypot(10, 5):.3g} mm across")
    of_torn = int(found.body[found.surface.corners[:, 0, 1] >= 30][0])
    assert found.torn[of_torn - 1] == 4
    assert sum(found.torn) == 4
    assert np.bincount(found.body)[1:].tolist() in ([12, 10], [10, 12])


def test_boxes_through_each_other_cross_where_they_meet(tmp_path: Path) -> None:
    bar, other = box((40, 10, 10)), box((6, 30, 6), (7, -10, 2))
    found = survey(write(tmp_path / "a.obj", np.concatenate([bar, other])))
    (crossing,) = found.findings
    assert crossing.kind == "crossing"
    near = found.surface.corners[crossing.triangles]
    # each crosses with the four long sides of the thin bar and with the two sides of the thick one that it passes
    assert (np.abs(near[..., 1]).min(axis=1) <= 20).all()
    assert set(found.body[crossing.triangles]) == {1, 2}
    assert len(crossing.triangles) <= 8 + 4
    assert len(found.bodies) == 2
    assert len(survey(Geometry(tmp_path / "a.obj", "mm", None, True)).bodies) == 1


def test_a_turned_triangle_and_a_body_inside_out_are_named(tmp_path: Path) -> None:
    turned = box((20, 10, 5))
    turned[3] = turned[3][::-1]
    (one,) = survey(write(tmp_path / "a.obj", turned)).findings
    assert (one.kind, one.triangles.tolist()) == ("turned", [3])
    (all_,) = survey(write(tmp_path / "b.obj", box((20, 10, 5))[:, ::-1])).findings
    assert (all_.kind, len(all_.triangles)) == ("inward", 12)


def test_a_sheet_and_a_sound_box(tmp_path: Path) -> None:
    assert survey(write(tmp_path / "a.obj", box((20, 10, 5)))).findings == ()
    sheet = box((20, 10, 5))[:2]
    (found,) = survey(write(tmp_path / "b.obj", np.concatenate([sheet, sheet[:, ::-1]]))).findings
    assert found.kind == "sheet"


def test_every_solid_of_a_step_file_is_there_and_a_unit_is_still_needed(tmp_path: Path) -> None:
    occ.Glue([occ.Box((0, 0, 0), (20, 10, 5)), occ.Box((0, 30, 0), (10, 40, 5))]).WriteStep(str(tmp_path / "a.step"))
    found = survey(Geometry(tmp_path / "a.step", None, None, False))
    assert [b.volume for b in found.bodies] == pytest.approx([1000.0, 500.0])
    for number, length in ((1, 20.0), (2, 10.0)):
        assert np.ptp(found.surface.corners[found.body == number][..., 0]) == pytest.approx(length)
    write(tmp_path / "b.obj", box((1, 1, 1)))
    with pytest.raises(UnitNeeded):
        survey(Geometry(tmp_path / "b.obj", None, None, False))
