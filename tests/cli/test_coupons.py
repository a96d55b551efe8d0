"""`printworthy coupons FILE`: figures of a published set, what is refused, and what is told about small sets."""

from __future__ import annotations

import re
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
    for words in ("n = 18", "significance 0.465 (by Stephens's correction", "B-basis 129.3 MPa", "B-basis 124.2 MPa"):
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
        ("50", "1 coupon gives no lower limit"),
        ("50 51", "2 coupons give no lower limit"),
        ("50", "scatter not known from one coupon"),
        (
            "50 51 52",
            "5 coupons with this mean and the least scatter believed, 6 %, would let 81 % of the mean be used",
        ),
        ("50 60 40 53", "18 coupons with this mean and scatter would let"),
        ("50 50 50 50 50", "all values are the same"),
        (
            "13.1 13.1 13.100000000000001",
            "all values are the same",
        ),  # the mean of three equal values is not one of them
        ("15.5 9.5 13.4 9.3 12.0", "not usable with n = 5"),
        ("107.7 109.0 116.1 80.2 106.1 104.7 104.2", "80.2 MPa, is an outlier"),
    ],
)
def test_what_is_told(tmp_path: Path, values: str, words: str) -> None:
    result = RUN.invoke(app, ["coupons", str(table(tmp_path / "a.csv", values))])
    assert result.exit_code == 0
    assert words in result.output


def test_how_many_coupons_for_a_share_and_what_was_never_pulled(tmp_path: Path) -> None:
    path = table(tmp_path / "a.csv", "50 51 52")
    said = RUN.invoke(app, ["coupons", str(path), "--share", "85%"]).output
    # lognormal limit at 6 %, exact k: n = 7 (k 2.755) lets 0.846, n = 8 (k 2.582) lets 0.855
    assert "85 % of the mean needs 8 coupons at a scatter of 6.0 %: 5 more" in said
    assert "anything: no coupon 'between layers'" in said
    never = RUN.invoke(app, ["coupons", str(path), "--share", "0.95"]).output
    assert "no number of coupons up to 60 lets 95 % of the mean be used" in never
    assert "cannot be asked for" in str(RUN.invoke(app, ["coupons", str(path), "--share", "80"]).exception)


def test_small_sets_have_no_weibull_limit_and_none_has_b_below_a(tmp_path: Path) -> None:
    """The factor's approximation has its B side above its A side at three values."""
    for values in ("70 72 68", "70 72 68 75", "70 72 68 75 71"):
        said = RUN.invoke(app, ["coupons", str(table(tmp_path / "a.csv", values))]).output
        assert ("Weibull: B-basis" in said) == (len(values.split()) >= 5)
        for b, a in re.findall(r"B-basis ([\d.]+) MPa; A-basis ([\d.]+) MPa", said):
            assert float(b) > float(a)


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


def test_strengths_that_the_material_cannot_have_are_told(tmp_path: Path) -> None:
    path = table(tmp_path / "a.csv", "1400 1450 1350")  # psi written as MPa: 10 MPa are meant
    path.write_text(path.read_text().replace("anything", "pa-cf"))
    result = RUN.invoke(app, ["coupons", str(path)])
    assert result.exit_code == 1
    assert 'set "s" breaks at 1.45e+03 MPa, the card of pa-cf knows 23.9 to 130 MPa' in result.output


def test_a_wrong_table_is_told_by_line(tmp_path: Path) -> None:
    path = table(tmp_path / "a.csv", "50 fifty 52")
    result = RUN.invoke(app, ["coupons", str(path)])
    assert result.exit_code == 1
    assert f"{path}:3 (strength)" in result.output
