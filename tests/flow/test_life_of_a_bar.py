"""From an S-N file and a duty to the life of a bar whose stress is known: force over area."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from beam import write

from printworthy import flow, workspace
from printworthy.results import PartAssessment
from printworthy.workspace.cache import Cache

AREA = 12.0 * 8.0
SPECIAL = 2.0  # process factor without inspection: rules.toml
TESTS = "set,material,direction,amplitude,unit,ratio,cycles,run_out,temperature,source,invented\n"
DUTY = '[case.duty]\nper = "h"\ncycles = 60\nsource = "invented"\n[[case.load]]'


def assessed(
    root: Path, *, direction: str = "between layers", wanted: str = "20 h", newton: int = 96
) -> PartAssessment:
    write(root, extra=f'build_direction = "+x"\ndesign_life = "{wanted}"', force=f"{newton}, 0, 0 N")
    part = root / "parts/bar.toml"
    part.write_text(part.read_text().replace("[[case.load]]", DUTY, 1))
    rows = TESTS
    for amplitude in (2.0, 3.0, 4.0):
        for scatter in (-0.2, -0.1, 0.1, 0.2):
            cycles = 10 ** (7 - 8 * np.log10(amplitude / 2) + scatter)
            rows += f"up,petg,{direction},{amplitude},MPa,0,{cycles:.0f},no,30,invented,yes\n"
    (root / "evidence").mkdir(exist_ok=True)
    (root / "evidence/tired.csv").write_text(rows)
    done, _ = flow.assess(workspace.read(root), Cache(root / ".cache"), lambda *_: None, workers=1)
    assert [r.line for r in done.refusals] == []
    return done.parts[0]


def test_a_bar_pulled_a_thousand_times_a_day(tmp_path: Path) -> None:
    part = assessed(tmp_path)
    life = part.option.life
    assert life is not None
    (row,) = life.rows
    assert (row.case, row.direction, row.cycles) == ("pull", "between layers", 60.0)
    # 96 N over 96 mm2 is 1 MPa; special factor 2; mesh error of a bar in plain tension: its bracket closes
    assert row.stress == pytest.approx(SPECIAL * 96 / AREA, rel=0.12)
    assert row.amplitude == pytest.approx(row.stress / 2)
    reason = next(r for r in part.verdict.reasons if r.screen == "life")
    assert reason.effect == "print"
    assert "20 h wanted" in reason.words
    assert assessed(tmp_path) == part  # a second time, from the cache


def test_a_set_of_the_other_direction_leaves_the_life_open_and_retires_the_part(tmp_path: Path) -> None:
    part = assessed(tmp_path, direction="in layer")
    reason = next(r for r in part.verdict.reasons if r.screen == "life")
    assert reason.effect == "print with conditions"
    assert "no S-N set of petg 'between layers' is at hand, only in layer" in reason.words
    assert any("whether or not a crack shows" in c for c in part.verdict.conditions)


def test_a_life_nobody_reaches_is_refused(tmp_path: Path) -> None:
    """6 MPa: at amplitude 3 the line stands at 10^(7 - 8 log10 1.5) = 3.9e5 cycles, 6500 h of 60."""
    part = assessed(tmp_path, wanted="1000000 h", newton=6 * 96)
    life = part.option.life
    assert life is not None
    assert life.middle is not None
    assert 6500 < life.middle < 40000  # mesh error taken off and the upper end of the line
    reason = next(r for r in part.verdict.reasons if r.screen == "life")
    assert reason.effect == part.verdict.word == "do not print"
    assert "half of the pieces break within" in reason.words


def test_a_weighed_and_measured_bar(tmp_path: Path) -> None:
    """80 x 12 x 8 mm are 7.68 cm3; at 1.27 g/cm3 a solid bar weighs 9.754 g."""
    write(tmp_path)
    (tmp_path / "evidence").mkdir()
    mass = "piece,part,material,mass,unit,density,source,invented\none,bar,petg,8.78,g,1.27,scale,yes\n"
    size = "set,part,nominal,tolerance,value,unit,source,invented\n" + "".join(
        f"width,bar,12,0.1,{v},mm,gauge,yes\n" for v in (11.98, 12.0, 12.02)
    )
    (tmp_path / "evidence/mass.csv").write_text(mass)
    (tmp_path / "evidence/size.csv").write_text(size)
    cache = Cache(tmp_path / ".cache")
    part = flow.assess(workspace.read(tmp_path), cache, lambda *_: None, workers=1)[0].parts[0]
    assert part.option.weight is not None
    (piece,) = part.option.weight.pieces
    assert piece.low == pytest.approx(8.78 / 9.7536, rel=1e-4)
    assert piece.finding == "under-extruded"
    assert part.dimensions["width"].cp == pytest.approx(0.2 / (6 * 0.02))
    assert any("piece one weighs 8.78 g, 90 % of the solid" in c for c in part.verdict.conditions)
    (tmp_path / "evidence/mass.csv").write_text(mass.replace("8.78", "87.8"))
    stopped = flow.assess(workspace.read(tmp_path), cache, lambda *_: None, workers=1)[0].refusals[0]
    assert stopped.wrong_input
    assert "mass.csv:2: 87.8 g cannot be bar: a solid one of petg weighs 9.754 g" in stopped.line
