"""evidence/*.csv: strengths in MPa whatever unit they were written in, and one line for each fault.

Measured forces and areas of tension coupons come from an open data set of printed coupons pulled by direction
(../shared/data/coupons, source in its SOURCES.md); where it is absent that test says so.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.inputs import CouponSet
from printworthy.workspace.coupons import collect_coupons, read_coupons

HEAD = "set,material,direction,strength,unit,temperature,source,invented\n"
ROW = "s1,petg,between layers,30,MPa,23,own tests,no\n"
FORCES = "set,material,direction,force,area,unit,source,invented\n"


def sets(tmp_path: Path, text: str) -> list[CouponSet]:
    path = tmp_path / "a.csv"
    path.write_text(text, encoding="utf-8")
    found, problems = read_coupons(path, ["petg", "pla"])
    assert [str(problem) for problem in problems] == []
    return found


def told(tmp_path: Path, text: str) -> list[str]:
    path = tmp_path / "a.csv"
    path.write_text(text, encoding="utf-8")
    return [str(problem).replace(f"{path}", "a.csv") for problem in read_coupons(path, ["petg", "pla"])[1]]


@pytest.mark.parametrize(
    ("number", "unit"), [("30", "MPa"), ("30e6", "Pa"), ("0.03", "GPa"), ("4351.1321", "psi"), ("4.3511321", "ksi")]
)
def test_a_strength_in_any_unit(tmp_path: Path, number: str, unit: str) -> None:
    # 1 psi = 4.4482216152605 N / (25.4 mm)^2, by definition of pound-force and inch
    (coupons,) = sets(tmp_path, HEAD + ROW.replace("30,MPa", f"{number},{unit}"))
    assert coupons.strengths == pytest.approx((30.0,), rel=1e-7)


@pytest.mark.parametrize(
    ("force", "unit", "area"), [("720", "N", "24"), ("0.72", "kN", "0.24 cm^2"), ("0.72 kN", "N", "24")]
)
def test_a_force_over_an_area(tmp_path: Path, force: str, unit: str, area: str) -> None:
    (coupons,) = sets(tmp_path, FORCES + f"s1,petg,in layer,{force},{area},{unit},own tests,no\n")
    assert coupons.strengths == pytest.approx((30.0,), rel=1e-12)


def test_what_a_set_carries(tmp_path: Path) -> None:
    text = "# pulled by hand\n" + HEAD + ROW + ROW.replace("30,MPa", "31,MPa") + "\n" + ROW.replace("s1,", "s2,")
    first, second = sets(tmp_path, text)
    assert (first.name, first.material, first.direction) == ("s1", "petg", "between layers")
    assert (first.strengths, first.temperature, first.source, first.invented) == (
        (30.0, 31.0),
        23.0,
        "own tests",
        False,
    )
    assert (first.place.line, second.place.line) == (3, 6)


def test_a_set_of_several_batches_is_one_set_for_each(tmp_path: Path) -> None:
    head, row = HEAD.replace(",source", ",batch,source"), ROW.replace("own tests", "{},own tests")
    text = head + row.format("A") + row.format("B").replace(",30,", ",31,") + row.format("A").replace(",30,", ",32,")
    first, second = sets(tmp_path, text)
    assert (first.batch, first.strengths, first.title) == ("A", (30.0, 32.0), "s1, batch A")
    assert (second.batch, second.strengths, second.place.line) == ("B", (31.0,), 3)


def test_exchanged_force_and_area_are_told(tmp_path: Path) -> None:
    (line,) = told(tmp_path, FORCES + "s1,petg,in layer,25,1200,N,own tests,no\n")
    assert line.startswith("a.csv:2 (force): 25 N over 1200 mm^2 is 0.0208 MPa, which no coupon holds")
    assert "exchanged" in line


def test_exchanged_columns_are_told_once_and_not_row_by_row(tmp_path: Path) -> None:
    rows = "".join(ROW.replace("between layers,30", f"3{n},between layers") for n in range(5))
    first, second = told(tmp_path, HEAD + rows)
    assert first.startswith("a.csv:2 (direction): direction is a number (and in 4 more rows). Columns look exchanged")
    assert second.startswith('a.csv:2 (strength): stress "between layers" has no number (and in 4 more rows)')
    warm = "".join(ROW.replace(",30,MPa,23,", f",23,MPa,3{n},") for n in range(5))
    (line,) = told(tmp_path, HEAD + warm)
    assert "Strength and temperature look exchanged" in line


def test_a_temperature_that_is_not_stated_is_said_to_be_assumed(tmp_path: Path) -> None:
    (coupons,) = sets(tmp_path, HEAD + ROW.replace(",23,", ",,"))
    assert coupons.temperature == 23.0
    assert "not stated, taken as 23 degC" in coupons.source


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (",30,", ",nan,", ':2 (strength): stress "nan MPa" is not a finite number'),
        (",30,", ",-30,", ":2 (strength): is not above zero"),
        (",30,", ",0,", ":2 (strength): is not above zero"),
        (",30,", ",,", ":2 (strength): strength is empty"),
        (",30,", ",about 30,", ':2 (strength): stress "about 30" has no number'),
        (",MPa,", ",,", ":2 (unit): unit is empty"),
        (",MPa,", ",MPA,", 'unit "MPA" is not known. Did you mean MPa'),
        (",MPa,", ",kN,", ':2 (unit): strength is given in "kN", a force'),
        (",MPa,", ",kPa,", "between which coupons break. It amounts to 0.03 MPa: check unit and area"),
        (",MPa,", ",GPa,", "between which coupons break. It amounts to 3e+04 MPa: check unit and area"),
        (
            ",between layers,",
            ",betwen layers,",
            '(direction): direction "betwen layers" is not known. Did you mean "between',
        ),
        (",petg,", ",petgg,", 'material "petgg" is not known. Did you mean "petg"?'),
        (",between layers,", ",,", '(direction): direction "" is not known. Known are: in layer'),
        (",no\n", ",\n", ':2 (invented): invented "" is not known'),
        (",no\n", ",perhaps\n", "Known are: yes, no"),
        ("own tests", "", ":2 (source): source is empty"),
        ("s1,", ",", ":2 (set): set is empty"),
        (",23,", ",hot,", ':2 (temperature): temperature "hot" has no number'),
        (",23,", ",-300,", "below absolute zero"),
        (",23,", ",", ":2: has 7 cells under 8 columns"),
        (",30,", ',"30,', ":2: is not a row of CSV"),
    ],
)
def test_one_fault_gives_one_line(tmp_path: Path, old: str, new: str, words: str) -> None:
    assert ROW.count(old) == 1
    (line,) = told(tmp_path, HEAD + ROW.replace(old, new))
    assert words in line
    assert line.startswith("a.csv:2")


@pytest.mark.parametrize(
    ("heading", "words"),
    [
        (HEAD.replace(",unit", ""), ":1: strength is given without the column unit"),
        (HEAD.replace(",invented", ""), ":1: column invented is missing"),
        (HEAD.replace("strength", "strenght"), 'column "strenght" is not known. Did you mean "strength"?'),
        (HEAD.replace("strength", "moisture"), "exactly one of the columns strength, force and curve is needed"),
        (HEAD.replace("strength", "force"), "force is given without the column area"),
        (HEAD.replace(",direction", ""), ":1: column direction is missing"),
        (HEAD.replace("material", "set"), "a column stands twice"),
        (HEAD.replace(",", ";"), "columns are not parted by commas"),
        (HEAD, ":1: holds no coupon"),
        ("# nothing\n", "holds no heading"),
        ("", "is empty"),
    ],
)
def test_faults_of_the_heading(tmp_path: Path, heading: str, words: str) -> None:
    (line,) = told(tmp_path, heading)
    assert words in line


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("petg", "pla", ':3 (material): set "s1" mixes material "petg" and "pla"'),
        ("between layers", "in layer", ":3 (direction): set"),
        (",23,", ",80,", ':3 (temperature): set "s1" mixes temperature "23" and "80"'),
        (",no\n", ",yes\n", ":3 (invented): set"),
        (",30,", ",435,", ':2: set "s1" runs from 30 to 435 MPa (line 3)'),
    ],
)
def test_a_set_is_of_one_kind(tmp_path: Path, old: str, new: str, words: str) -> None:
    (line,) = told(tmp_path, HEAD + ROW + ROW.replace(old, new))
    assert words in line


def test_the_same_fault_in_many_rows_is_told_once(tmp_path: Path) -> None:
    (line,) = told(tmp_path, HEAD + ROW.replace("petg", "tin") * 7)
    assert 'a.csv:2 (material): material "tin" is not known (and in 6 more rows)' in line


def test_a_set_name_stands_in_one_file_only(tmp_path: Path) -> None:
    (tmp_path / "evidence").mkdir()
    for name in ("a.csv", "b.csv"):
        (tmp_path / "evidence" / name).write_text(HEAD + ROW, encoding="utf-8")
    found, (problem,) = collect_coupons(tmp_path, ["petg"])
    assert len(found) == 1
    assert 'set "s1" is already in a.csv' in str(problem)


def test_measured_forces_give_the_published_strength(tmp_path: Path) -> None:
    table = Path(__file__).parents[2].parent / "shared/data/coupons/printed_tension_trials_by_direction.csv"
    if not table.exists():
        pytest.skip(f"open data not at hand: {table}")
    with table.open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["material_id"] == "M01"]
    names = {"xy": "in layer", "z": "between layers"}
    text = FORCES
    for row in rows:
        axis = row["build_axis"]
        text += f"{axis},petg,{names[axis]},{row['max_force_N']},{row['area_mm2_stated']},N,open data,no\n"
    published = {row["build_axis"]: float(row["run_strength_MPa_reported"]) for row in rows}
    found = {coupons.name: coupons for coupons in sets(tmp_path, text)}
    assert {name: len(coupons.strengths) for name, coupons in found.items()} == {"xy": 5, "z": 5}
    for name, strength in published.items():  # means, published with two decimals
        assert sum(found[name].strengths) / 5 == pytest.approx(strength, abs=0.006)


@given(
    st.lists(st.floats(1.0, 9.0), min_size=1, max_size=30), st.sampled_from([("MPa", 1.0), ("bar", 0.1), ("kPa", 1e-3)])
)
def test_numbers_come_back_whatever_the_unit(
    tmp_path_factory: pytest.TempPathFactory, strengths: list[float], unit: tuple[str, float]
) -> None:
    rows = "".join(ROW.replace("30,MPa", f"{value / unit[1]!r},{unit[0]}") for value in strengths)
    (coupons,) = sets(tmp_path_factory.mktemp("coupons"), HEAD + rows)
    assert coupons.strengths == pytest.approx(tuple(strengths), rel=1e-10)
