"""`printworthy coupons FILE`: figures of a published set, what is refused, and what is told about small sets."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from printworthy.cli import app

RUN = CliRunner()
HEAD = "set,material,direction,strength,unit,batch,source,invented\n"
# CMH-17-1G worked set of 18 (cmstatr test-basis.R): normal B 129.29, Hanson-Koopmans B 124.16, normal level 0.465
EIGHTEEN = (
    "137.4438 139.5395 150.89 141.4474 141.8203 151.8821 143.9245 132.9732 136.6419 138.1723 148.7668 143.283 143.5429 "
    "141.7023 137.4732 152.338 144.1589 128.5218"
)


def table(path: Path, values: str, batches: str = "A") -> Path:
    names = [batches[i % len(batches)] for i in range(len(values.split()))]
    rows = [f"s,anything,in layer,{v},MPa,{b},own,no\n" for v, b in zip(values.split(), names, strict=True)]
    path.write_text(HEAD + "".join(rows))
    return path


def test_the_published_set(tmp_path: Path) -> None:
    result = RUN.invoke(app, ["coupons", str(table(tmp_path / "a.csv", EIGHTEEN)), "--page", str(tmp_path / "p.html")])
    assert result.exit_code == 0
    for words in ("n = 18", "significance 0.465, not rejected", "B-basis 129.3 MPa", "B-basis 124.2 MPa"):
        assert words in result.output
    assert "recommended (normal): B-basis 129.3 MPa" in result.output
    page = (tmp_path / "p.html").read_text(encoding="utf-8")
    assert "recommended: normal" in page
    assert "How many coupons for which knock-down" in page
    assert page.count("<svg") >= 2
    assert "Hanson-Koopmans" in page


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ("50", "1 coupons give no lower limit"),
        ("50 51", "2 coupons give no lower limit"),
        ("50 51 52", "5 coupons with this mean and scatter would let"),
        ("50 51 52 53", "18 coupons with this mean and scatter would let"),
        ("50 50 50 50 50", "all values are the same"),
        ("15.5 9.5 13.4 9.3 12.0", "not usable with n = 5"),
        ("107.7 109.0 116.1 80.2 106.1 104.7 104.2", "80.2 MPa, is an outlier"),
    ],
)
def test_what_is_told(tmp_path: Path, values: str, words: str) -> None:
    result = RUN.invoke(app, ["coupons", str(table(tmp_path / "a.csv", values))])
    assert result.exit_code == 0
    assert words in result.output


def test_batches_are_compared(tmp_path: Path) -> None:
    differ = RUN.invoke(app, ["coupons", str(table(tmp_path / "a.csv", "50 40 51 41 49 39 50 40 52 41", "AB"))]).output
    assert "batches differ: their means differ by the F test" in differ
    assert "batch B against s, batch A: not accepted" in differ
    agree = RUN.invoke(app, ["coupons", str(table(tmp_path / "b.csv", "50 50.5 51 51.3 49 49.2 50 50.1", "AB"))]).output
    assert "batches agree" in agree


def test_claims_and_shear_are_told(tmp_path: Path) -> None:
    path = table(tmp_path / "a.csv", "50 51 52 53 54")
    path.write_text(path.read_text().replace("in layer", "between layers"))
    stated = ["--cast-scatter", "0.01", "--mass", "34 g", "59 g"]
    result = RUN.invoke(app, ["coupons", str(path), *stated])
    assert "S, shear strength between layers: 26 MPa ASSUMED" in result.output
    assert "more repeatable than die casting: does not hold" in result.output
    wrong = RUN.invoke(app, ["coupons", str(path), "--cast-scatter", "5"])
    assert "is not a share" in str(wrong.exception)


def test_a_wrong_table_is_told_by_line(tmp_path: Path) -> None:
    path = table(tmp_path / "a.csv", "50 fifty 52")
    result = RUN.invoke(app, ["coupons", str(path)])
    assert result.exit_code == 1
    assert f"{path}:3 (strength)" in result.output
