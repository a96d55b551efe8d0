"""evidence/*.csv with a column cycles: amplitudes in MPa whatever was written, and one line for each fault.

Closed form behind the amplitudes: amplitude = maximum (1 - ratio) / 2.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from sound import Sound

from printworthy import workspace
from printworthy.errors import Place
from printworthy.inputs import CouponSet
from printworthy.workspace.fatigue import read_fatigue

HEAD = "set,material,direction,maximum,unit,ratio,cycles,run_out,temperature,source,invented\n"
ROW = "t1,petg,between layers,14,MPa,0.1,2210,no,23,own tests,no\n"
SOUND = (
    HEAD + ROW + ROW.replace("14,", "11,").replace("2210", "24100") + ROW.replace("14,", "11,").replace("2210", "41800")
)
OFF = ROW.replace("14,", "8,").replace("2210,no", "1000000,yes")
COUPONS = CouponSet("s", "petg", "between layers", (12.5, 13.5), 23.0, "", "own", False, Place(Path("s.csv")))


def read(tmp_path: Path, text: str, coupons: tuple[CouponSet, ...] = ()) -> tuple[list[object], list[str]]:
    path = tmp_path / "a.csv"
    path.write_text(text, encoding="utf-8")
    found, problems = read_fatigue(path, ["petg", "pla"], coupons)
    return list(found), [str(problem).replace(f"{path}", "a.csv") for problem in problems]


def test_what_a_set_carries(tmp_path: Path) -> None:
    (one,), problems = read(tmp_path, SOUND + OFF)
    assert problems == []
    assert (one.name, one.material, one.direction, one.ratio) == ("t1", "petg", "between layers", 0.1)
    assert one.amplitudes == pytest.approx((6.3, 4.95, 4.95, 3.6))
    assert one.maxima == pytest.approx((14, 11, 11, 8))
    assert one.cycles == (2210, 24100, 41800, 1e6)
    assert one.run_outs == (False, False, False, True)
    assert one.place.line == 2


def test_amplitudes_are_taken_as_they_are(tmp_path: Path) -> None:
    (one,), _ = read(tmp_path, SOUND.replace("maximum", "amplitude"))
    assert one.amplitudes == pytest.approx((14, 11, 11))


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (",2210,", ",-2210,", ":2 (cycles): -2210 is not above zero"),
        (",2210,", ",0,", ":2 (cycles): 0 is not above zero"),
        (",2210,", ",,", ":2 (cycles): cycles is empty"),
        (",2210,", ",1e13,", ":2 (cycles)"),
        (",14,", ",-14,", ":2 (maximum): -14 is not above zero"),
        (",MPa,", ",N,", ":2 (maximum): "),
        (",MPa,", ",,", ":2 (unit): unit is empty"),
        (",0.1,", ",1.5,", ":2 (ratio): ratio 1.5 is not from -10 to below 1"),
        (",0.1,", ",,", ":2 (ratio): ratio is empty"),
        (",no,23,", ",maybe,23,", ':2 (run_out): run_out "maybe" is not known. Known are: yes, no'),
        (",between layers,", ",,", ':2 (direction): direction "" is not known. Known are: in layer, between layers'),
        (",petg,", ",tin,", ':2 (material): material "tin" is not known'),
        (",own tests,", ",,", ":2 (source): source is empty"),
        (",23,", ",", ":2: has 10 cells under 11 columns"),
    ],
)
def test_one_fault_in_a_row_gives_one_line(tmp_path: Path, old: str, new: str, words: str) -> None:
    assert ROW.count(old) == 1
    (line,) = read(tmp_path, SOUND.replace(ROW, ROW.replace(old, new), 1))[1]
    assert words in line
    assert line.startswith("a.csv:2")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (HEAD + OFF * 4, 'a.csv:2: set "t1" holds run-outs only'),
        (HEAD + ROW * 2 + OFF, 'a.csv:2: set "t1" holds 2 broken coupons, 3 are the fewest'),
        (HEAD + ROW * 4 + OFF, 'a.csv:2: set "t1" breaks on one stress level only'),
        (SOUND + ROW.replace(",0.1,", ",-1,"), 'a.csv:5 (ratio): set "t1" mixes stress ratios 0.1 and -1'),
        (SOUND + ROW.replace("petg", "pla"), 'a.csv:5 (material): set "t1" mixes material "petg" and "pla"'),
        (SOUND + ROW.replace(",23,", ",40,"), 'a.csv:5 (temperature): set "t1" mixes temperature'),
        (SOUND.replace("maximum", "amplitude,maximum"), "a.csv:1: exactly one of the columns amplitude and maximum"),
        (SOUND.replace("ratio", "rato"), 'a.csv:1: column "rato" is not known. Did you mean "ratio"?'),
        (HEAD, "a.csv:1: holds no row"),
    ],
)
def test_one_fault_in_a_set_gives_one_line(tmp_path: Path, text: str, words: str) -> None:
    sets, lines = read(tmp_path, text)
    assert (sets, len(lines)) == ([], 1)
    assert words in lines[0]


def test_a_stress_no_coupon_bears_once(tmp_path: Path) -> None:
    sets, (line,) = read(tmp_path, SOUND, (COUPONS,))
    assert sets == []
    words = (
        'a.csv:2 (maximum): set "t1" goes up to 14 MPa, above the 13.5 MPa at which the strongest coupon broke at once'
    )
    assert words in line
    assert read(tmp_path, SOUND.replace("petg", "pla"), (COUPONS,))[1] == []


def test_kinds_of_tables_are_told_apart_by_their_headings(sound: Sound) -> None:
    (sound.root / "evidence/tired.csv").write_text(SOUND + OFF, encoding="utf-8")
    assert sound.lines() == []
    job = workspace.read(sound.root)
    assert [t.name for t in job.fatigue] == ["t1"]
    assert "t1" not in [c.name for c in job.coupons]
    (sound.root / "evidence/tired.csv").write_text(SOUND.replace("petg", "tin"), encoding="utf-8")
    assert sound.lines()[0].startswith('evidence/tired.csv:2 (material): material "tin" is not known')


DUTY = '[case.duty]\nper = "h"\ncycles = 40\nsource = "invented"\n'


def with_duty(sound: Sound, duty: str) -> list[str]:
    path = sound.root / "parts/lamp-bracket.toml"
    text = path.read_text(encoding="utf-8")
    first = text.index("[[case.load]]")
    path.write_text(text[:first] + duty + text[first:], encoding="utf-8")
    return sound.lines()


def test_a_duty_is_read(sound: Sound) -> None:
    levels = "levels = [{ level = 0.5, cycles = 300, ratio = -1 }]\n"
    assert with_duty(sound, DUTY + levels) == []
    duty = workspace.read(sound.root).parts[0].cases[0].duty
    assert duty is not None
    assert [(c.range, c.mean, c.count) for c in duty.cycles] == [(1.0, 0.5, 40.0), (1.0, 0.0, 300.0)]
    assert (duty.per, duty.source) == ("h", "invented")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("cycles = 40", "cycles = -1", '(case[1].duty.cycles): "-1" is negative'),
        ("cycles = 40\n", "", "a duty says neither cycles nor levels"),
        ('per = "h"', 'per = "mile"', '(case[1].duty.per): "mile" is not one of: h, km'),
        ("cycles = 40", "cycles = 40\nratio = 1", '"1" is not a ratio of the smallest to the largest load'),
        ("cycles = 40", "levels = [{ level = 2, cycles = 1 }]", '"2" is not a share of the case'),
        ("cycles = 40", "cycles = 1\nratio = 0\nhistory = [1, 0.2]", "a history needs cycles and has no ratio"),
        ("cycles = 40", "cycles = 1\nhistory = [1, 3]", '"3" is not a share of the case'),
    ],
)
def test_one_fault_in_a_duty_gives_one_line(sound: Sound, old: str, new: str, words: str) -> None:
    (line,) = with_duty(sound, DUTY.replace(old, new))
    assert words in line
    assert line.startswith("parts/lamp-bracket.toml:")


@pytest.mark.parametrize(
    ("life", "words"),
    [
        ('"500 km"', "counts by h what line"),
        ('"500 miles"', '(design_life): "500 miles" is not a length of ride'),
        ('"0 h"', '(design_life): "0 h" is not above zero'),
        ("500", '(design_life): "500" is not a length of ride'),
    ],
)
def test_one_fault_in_the_wanted_life_gives_one_line(sound: Sound, life: str, words: str) -> None:
    sound.swap('role = "', f'design_life = {life}\nrole = "')
    (line,) = with_duty(sound, DUTY)
    assert words in line
