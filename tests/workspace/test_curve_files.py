"""Pull curves as files: strength, modulus and strain from curves made by formula, and one line for each fault.

The slip and slack of a curve are made; expected figures are those of the straight lines the curves are made of. A
measured curve with published figures is in tests/validation/test_pull_curve.py.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from printworthy.errors import InputError
from printworthy.workspace.coupons import read_coupons
from printworthy.workspace.curves import Curve, read_curve

HEAD = "set,material,direction,curve,width,thickness,gauge length,source,invented\n"
E, AREA, GAUGE = 2000.0, 40.0, 50.0


def written(path: Path, strain: np.ndarray, stress: np.ndarray, head: str = "force [N],displacement [mm]") -> Path:
    rows = "".join(f"{s * AREA:.6f},{e * GAUGE:.6f}\n" for e, s in zip(strain, stress, strict=True))
    path.write_text(f"{head}\n{rows}", encoding="utf-8")
    return path


def straight(n: int = 200, end: float = 0.02) -> tuple[np.ndarray, np.ndarray]:
    """A curve of modulus E up to its break at `end` strain."""
    strain = np.linspace(0, end, n)
    return strain, E * strain


def read(path: Path) -> Curve:
    return read_curve(path, None, area=AREA, gauge=GAUGE)


def test_a_straight_curve_gives_its_modulus_strength_and_strain(tmp_path: Path) -> None:
    curve = read(written(tmp_path / "a.csv", *straight()))
    assert curve.strength == pytest.approx(E * 0.02, rel=1e-6)
    assert curve.modulus == pytest.approx(E, rel=1e-4)
    assert curve.strain == pytest.approx(0.02, rel=1e-4)
    assert curve.remarks == ()
    assert 10 < len(curve.points) <= 60


@pytest.mark.parametrize(
    ("head", "force", "travel"),
    [
        ("force [kN],displacement [cm]", 1e-3 * AREA, 0.1 * GAUGE),
        ("stress [MPa],strain [%]", 1.0, 100.0),
        ("stress [psi],strain [in/in]", 145.0377377, 1.0),
    ],
)
def test_units_stand_in_the_heading(tmp_path: Path, head: str, force: float, travel: float) -> None:
    strain, stress = straight()
    rows = "".join(f"{s * force:.9f},{e * travel:.9f}\n" for e, s in zip(strain, stress, strict=True))
    (tmp_path / "a.csv").write_text(f"{head}\n{rows}")
    curve = read(tmp_path / "a.csv")
    assert (curve.strength, curve.modulus) == pytest.approx((40.0, E), rel=1e-4)


def test_what_comes_after_the_break_is_cut_off(tmp_path: Path) -> None:
    strain, stress = straight()
    after = np.linspace(0.0201, 0.05, 40)
    curve = read(written(tmp_path / "a.csv", np.append(strain, after), np.append(stress, np.full(40, 0.5))))
    assert curve.strain == pytest.approx(0.02, rel=1e-4)
    assert max(e for e, _ in curve.points) == pytest.approx(0.02, rel=1e-4)


def test_slack_is_taken_out_and_told(tmp_path: Path) -> None:
    strain, stress = straight()
    slack = np.linspace(0, 0.00999, 30)
    path = written(tmp_path / "a.csv", np.append(slack, strain + 0.01), np.append(np.zeros(30), stress))
    curve = read(path)
    assert curve.modulus == pytest.approx(E, rel=0.01)
    assert curve.strain == pytest.approx(0.02, rel=0.01)
    (line,) = curve.remarks
    assert line.startswith(f"{path}:2: begins with slack, 1.00 % strain")


def test_a_slip_is_told_and_leaves_only_the_strength(tmp_path: Path) -> None:
    strain, stress = straight()
    slipped = np.where((strain > 0.008) & (strain < 0.010), stress - 5.0, stress)
    path = written(tmp_path / "a.csv", strain, slipped)
    curve = read(path)
    assert (curve.modulus, curve.strain) == (None, None)
    assert curve.strength == pytest.approx(40.0, rel=1e-6)
    assert curve.remarks[0].startswith(f"{path}:")
    assert "falls by" in curve.remarks[0]
    assert "slipped" in curve.remarks[0]


def test_time_is_not_displacement(tmp_path: Path) -> None:
    path = written(tmp_path / "a.csv", *straight(), head="force [N],time [s]")
    curve = read(path)
    assert (curve.modulus, curve.strain) == (None, None)
    assert "time is not displacement" in curve.remarks[0]


def test_few_readings_on_the_chord_give_no_modulus(tmp_path: Path) -> None:
    curve = read(written(tmp_path / "a.csv", *straight(n=12)))
    assert curve.modulus is None
    assert "no modulus" in curve.remarks[0]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("force,displacement\n1,2\n", ':1: column "force" is not a quantity with its unit'),
        ("force [N],force [N]\n1,2\n", ":1: one column of load and one of travel are needed"),
        ("force [mm],displacement [mm]\n1,2\n", ":1 (force): "),
        ("force [N],displacement [mm]\n1,2\n", ":1: holds 1 readings"),
        ("force [N],displacement [mm]\n1,2\n3\n", ":3: has 1 cells under 2 columns"),
        ("force [N],displacement [mm]\n1,2\n3,x\n", ':3 (displacement): "x" is not a finite number'),
        ("force [N],displacement [mm]\n" + "".join(f"{-i},{i}\n" for i in range(20)), "never rises above zero"),
        ("force [N],displacement [mm]\n" + "".join(f"{i},{i % 7}\n" for i in range(20)), "displacement runs backwards"),
        (
            "force [N],displacement [mm]\n" + "".join(f"{i},{i}\n" for i in range(9, 30)),
            ":2: begins at 31 %",
        ),
        ("force [N],displacement [m]\n" + "".join(f"{i},{i}\n" for i in range(30)), "amounts to a strain of"),
    ],
)
def test_faults_of_a_curve(tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "a.csv"
    path.write_text(text)
    with pytest.raises(InputError) as caught:
        read(path)
    line = str(caught.value).replace(str(path), "a.csv")
    assert words in line
    assert line.startswith("a.csv:")
    assert "\n" not in line


def test_columns_exchanged_in_a_curve_are_told(tmp_path: Path) -> None:
    strain, stress = straight()
    path = tmp_path / "a.csv"
    rows = "".join(f"{e * GAUGE:.6f},{s * AREA:.6f}\n" for e, s in zip(strain, stress, strict=True))
    path.write_text("force [N],displacement [mm]\n" + rows)
    with pytest.raises(InputError, match=r"strain of 3200 %.*columns may be exchanged"):
        read(path)


def test_a_set_of_curves(tmp_path: Path) -> None:
    for name in ("c1", "c2"):
        written(tmp_path / f"{name}.txt", *straight())
    path = tmp_path / "a.csv"
    path.write_text(HEAD + "".join(f"s,petg,in layer,{n}.txt,10,4,50,own,no\n" for n in ("c1", "c2")))
    (coupons,), problems = read_coupons(path, ["petg"], tmp_path)
    assert problems == []
    assert coupons.strengths == pytest.approx((40.0, 40.0))
    assert coupons.moduli == pytest.approx((E, E), rel=1e-4)
    assert len(coupons.curves) == 2


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("s,petg,in layer,none.txt,10,4,50,own,no\n", "none.txt"),
        ("s,petg,in layer,,10,4,50,own,no\n", "a.csv:2 (curve): curve is empty"),
        ("s,petg,in layer,c1.txt,10,,50,own,no\n", "a.csv:2 (thickness): thickness is empty"),
        ("s,petg,in layer,c1.txt,10,-4,50,own,no\n", "a.csv:2 (thickness): is not above zero"),
        ("s,petg,in layer,c1.txt,10,4,,own,no\n", "c1.txt:2 (displacement): displacement without a gauge length"),
        ("s,petg,in layer,c1.txt,0.01,4,50,own,no\n", "between which coupons break"),
        ("s,petg,in layer,../../c1.txt,10,4,50,own,no\n", "c1.txt"),
    ],
)
def test_faults_of_a_row_with_a_curve(tmp_path: Path, row: str, words: str) -> None:
    folder = tmp_path / "evidence"
    folder.mkdir()
    written(folder / "c1.txt", *straight())
    (folder / "a.csv").write_text(HEAD + row)
    (problem,) = read_coupons(folder / "a.csv", ["petg"], tmp_path)[1]
    assert words in str(problem)
    assert "\n" not in str(problem)
