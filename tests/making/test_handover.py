"""The 3MF that is handed over is read back by the reader of the tool: unit, way up, settings."""

from __future__ import annotations

from pathlib import Path

import lib3mf
import numpy as np
import pytest
from bodies import bracket

from printworthy.inputs import Geometry
from printworthy.making.handover import SPACE, on_bed, oriented_3mf, sheet
from printworthy.making.printing import Settings, printed
from printworthy.making.sections import upright
from printworthy.results import DirectionResult
from printworthy.shape import read

HOW = Settings(0.2, 45.0, 0.45, 120.0, 180.0, 100.0, 300.0, 5000.0, 8.0, 15.0, 0.4, 0.3, 6.0, 0.15)


def test_the_part_stands_as_it_is_to_be_built(tmp_path: Path) -> None:
    body, up = bracket(22, 40, 20), (1.0, 0.0, 0.0)
    made = printed(body, up, HOW)
    path = tmp_path / "arm.3mf"
    oriented_3mf(body, path, "arm", "pa-cf", made)
    back = read(Geometry(path)).report
    sizes = np.ptp(body.corners.reshape(-1, 3), axis=0)
    assert back.unit == "mm"
    assert back.high[2] == pytest.approx(sizes[0], abs=1e-4)  # x stands up
    assert back.low == pytest.approx((0, 0, 0), abs=1e-5)
    assert back.volume == pytest.approx(made.solid_volume, rel=5e-3)
    model = lib3mf.get_wrapper().CreateModel()
    model.QueryReader("3mf").ReadFromFile(str(path))
    group = model.GetMetaDataGroup()
    found = {}
    for k in range(group.GetMetaDataCount()):
        entry = group.GetMetaData(k)
        if entry.GetNameSpace() == SPACE:
            found[entry.GetKey() if hasattr(entry, "GetKey") else entry.GetName()] = entry.GetValue()
    values = {name.rsplit(":", 1)[-1]: value for name, value in found.items()}
    assert values["build_direction"] == "1 0 0"
    assert values["layer_height_mm"] == "0.2"
    assert "material: pa-cf" in sheet("arm", "pa-cf", made)


@pytest.mark.parametrize("up", [(0.0, 0.0, 1.0), (0.0, 0.0, -1.0), (0.6, 0.0, 0.8), (0.0, -1.0, 0.0)])
def test_beads_keep_their_line_of_the_part_on_the_bed(up: tuple[float, float, float]) -> None:
    """The angle on the bed, turned back by the reader's own rotation, is the line in the part."""
    along = np.cross((0.0, 1.0, 0.0) if up[1] == 0 else (1.0, 0.0, 0.0), up)
    result = DirectionResult("m", up, 1.0, (), (), "", 0.0, tuple(along))
    (angle,) = on_bed(result, (0.0,))
    on = (np.cos(np.radians(angle)), np.sin(np.radians(angle)), 0.0)
    assert abs(upright(up).T @ on @ along) == pytest.approx(1.0)
    assert on_bed(DirectionResult("m", up, 1.0, (), (), ""), (0.0,)) == ()


def test_layers_turn_one_way_whichever_way_up() -> None:
    """Two layers, 0 and 30 deg: seen from the same side of the part they make the same angle, either way up."""
    for up in ((0.0, 0.0, 1.0), (0.0, 0.0, -1.0)):
        first, second = on_bed(DirectionResult("m", up, 1.0, (), (), "", 0.0, (1.0, 0.0, 0.0)), (0.0, 30.0))
        lines = [upright(up).T @ (np.cos(np.radians(a)), np.sin(np.radians(a)), 0.0) for a in (first, second)]
        turn = np.degrees(np.arctan2(np.cross(lines[0], lines[1])[2], lines[0] @ lines[1])) % 180.0
        assert turn == pytest.approx(30.0)
