"""evidence/*.csv with a column mass or nominal: what is read, and one line for each fault."""

from __future__ import annotations

import pytest
from sound import Sound

from printworthy import workspace

MASS = "piece,part,material,mass,unit,density,line_width,layer_height,pitch,source,invented\n"
PIECE = "one,lamp-bracket,petg,24.1,g,1.25,0.48,0.2,0.44,scale,no\n"
SIZE = "set,part,nominal,tolerance,value,unit,source,invented\n"
BORE = "bore,lamp-bracket,12,0.1,12.03,mm,gauge,no\n"
BORES = SIZE + BORE + BORE.replace("12.03", "12.06")


def lines(sound: Sound, text: str) -> list[str]:
    (sound.root / "evidence/pieces.csv").write_text(text, encoding="utf-8")
    return sound.lines()


def test_a_weighing_and_a_dimension(sound: Sound) -> None:
    (sound.root / "evidence/bores.csv").write_text(BORES, encoding="utf-8")
    second = PIECE.replace("one,", "two,").replace("24.1,g,1.25,0.48,0.2,0.44", "0.85,oz,,,,")
    assert lines(sound, MASS + PIECE + second) == []
    job = workspace.read(sound.root)
    one, two = job.weighings
    assert (one.piece, one.mass, one.density, one.bead) == ("one", pytest.approx(0.0241), 1.25, (0.48, 0.2, 0.44, 1.0))
    assert (two.mass, two.density, two.bead) == (pytest.approx(0.85 * 0.028349523125), None, None)  # avoirdupois ounce
    (bore,) = job.dimensions
    assert (bore.nominal, bore.values) == (12.0, (12.03, 12.06))
    assert (bore.lower, bore.upper) == pytest.approx((11.9, 12.1))


def test_an_overlap_and_a_flow_say_the_pitch_and_what_was_laid(sound: Sound) -> None:
    head, row = MASS.replace("pitch", "overlap,flow"), PIECE.replace(",0.44,", ",0.04,98 %,")
    assert lines(sound, head + row) == []
    (piece,) = workspace.read(sound.root).weighings
    assert piece.bead == pytest.approx((0.48, 0.2, 0.44, 0.98))
    both = MASS.replace("pitch", "pitch,overlap") + PIECE.replace(",0.44,", ",0.44,0.04,")
    assert lines(sound, both) == [
        "evidence/pieces.csv:2 (overlap): pitch and overlap are both stated. Keep one of them"
    ]
    (line,) = lines(sound, head + row.replace("98 %", "98"))
    assert "(flow): a flow of 9800 % is no setting" in line


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (",24.1,", ",-24.1,", ":2 (mass): -24.1 is not above zero"),
        (",24.1,", ",,", ":2 (mass): mass is empty"),
        (",g,", ",mm,", ":2 (mass): "),
        (",lamp-bracket,", ",lamp-brackt,", ':2 (part): part "lamp-brackt" is not known. Did you mean "lamp-bracket"?'),
        (",petg,", ",tin,", ':2 (material): material "tin" is not known'),
        (",1.25,", ",1250,", ":2 (density): "),
        (",0.2,0.44,", ",,0.44,", ":2 (layer_height): layer_height is not stated"),
        (",0.48,0.2,", ",0.2,0.48,", ":2 (line_width): a line 0.2 mm wide is narrower than its layer is high"),
        (",0.44,", ",0.04,", ":2 (pitch): lines 0.48 mm wide are not laid 0.04 mm apart"),
        (",no\n", ",\n", ':2 (invented): invented "" is not known'),
    ],
)
def test_one_fault_in_a_weighing_gives_one_line(sound: Sound, old: str, new: str, words: str) -> None:
    assert PIECE.count(old) == 1
    (line,) = lines(sound, MASS + PIECE.replace(old, new))
    assert line.startswith("evidence/pieces.csv:2")
    assert words in line


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (MASS + PIECE * 2, ':3: piece "one" of lamp-bracket is weighed already in line 2'),
        (MASS, ":1: holds no row"),
        (MASS.replace("piece,", "pieces,") + PIECE, ':1: column "pieces" is not known. Did you mean "piece"?'),
        (SIZE + BORE, ':2: set "bore" has one value: no spread'),
        (SIZE + BORE * 3, ':2: all values of set "bore" are equal'),
        (BORES + BORE.replace(",0.1,", ",0.2,"), ':4: set "bore" mixes dimensions'),
        (BORES + BORE.replace("12.03", "0.012"), ":4 (value): 0.012 mm is not a piece of 12 mm"),
        (BORES + BORE.replace(",0.1,", ",-0.1,"), ":4 (tolerance): -0.1 is not above zero"),
    ],
)
def test_one_fault_in_a_file_gives_one_line(sound: Sound, text: str, words: str) -> None:
    (line,) = lines(sound, text)
    assert f"evidence/pieces.csv{words}" in line
