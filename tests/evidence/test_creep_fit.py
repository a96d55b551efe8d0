"""Creep tests of one's own. Reference: Findley's law itself (readings drawn from stated m and n come back), and a power
law's exponent as the slope of growth over time on logarithmic axes."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from printworthy.cli import app
from printworthy.errors import CardError
from printworthy.evidence.creep import kept_share
from printworthy.evidence.creep_fit import figures, fitted
from printworthy.workspace.cards import read_cards

HOURS = np.array([0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 8, 24, 48, 96, 168])
RUN = CliRunner()


@settings(max_examples=30)
@given(st.floats(0.02, 1.5), st.floats(0.08, 0.6), st.floats(1e-4, 50.0))
def test_stated_constants_come_back_whatever_the_unit_of_length(m: float, n: float, start: float) -> None:
    found = fitted(HOURS, start * (1 + m * HOURS**n))
    assert (found.m, found.n) == (pytest.approx(m, rel=2e-3, abs=1e-4), pytest.approx(n, rel=2e-3))
    assert found.residual < 1e-3


def test_noise_is_in_the_errors_and_several_tests_give_their_range() -> None:
    rng = np.random.default_rng(8)
    tests = [
        fitted(HOURS, (1 + m * HOURS**n) * (1 + 1e-3 * rng.standard_normal(len(HOURS))))
        for m, n in ((0.11, 0.21), (0.13, 0.20), (0.10, 0.23))
    ]
    one, three = figures(tests[:1]), figures(tests)
    assert one.m[2] - one.m[1] == pytest.approx(4 * tests[0].error_m)
    assert one.n[2] - one.n[1] == pytest.approx(4 * tests[0].error_n)
    assert three.m[1:] == (min(t.m for t in tests), max(t.m for t in tests))
    assert three.reach == pytest.approx(1680)
    assert any("1 test" in c for c in one.cautions)
    assert not any("how pieces scatter" in c for c in three.cautions)


def test_the_interval_of_one_test_holds_the_truth_about_as_often_as_two_errors_do() -> None:
    rng, inside = np.random.default_rng(5), 0
    for _ in range(200):
        one = figures([fitted(HOURS, (1 + 0.11 * HOURS**0.21) * (1 + 1e-3 * rng.standard_normal(len(HOURS))))])
        inside += one.m[1] < 0.11 < one.m[2]
    assert 0.85 <= inside / 200 <= 1.0  # 95 % for many readings, 93 % by t of ten degrees of freedom


@pytest.mark.parametrize(
    ("hours", "lengths", "words"),
    [
        (HOURS[:5], 1 + 0.1 * HOURS[:5] ** 0.2, "too few"),
        (HOURS / 1000, 1 + HOURS, "too few"),
        (HOURS, 1 + 0.01 * HOURS, "flow, or a coupon near breaking"),
        (HOURS, np.ones(len(HOURS)), "nothing grows"),
        (HOURS[::-1], 1 + HOURS, "times do not rise"),
        (HOURS, 1 + np.where(HOURS > 20, 0.5, 0.0) + 0.01 * HOURS**0.1, "off Findley's law"),
    ],
)
def test_what_is_no_creep_test_is_refused(hours: np.ndarray, lengths: np.ndarray, words: str) -> None:
    with pytest.raises(CardError, match=words):
        fitted(hours, lengths)


def test_the_verb_writes_what_a_card_reads(tmp_path: Path) -> None:
    table = tmp_path / "hung.csv"
    rows = "".join(f"{60 * t:.6g},{0.3 * (1 + 0.12 * t**0.2):.6f}\n" for t in HOURS)
    table.write_text("time [min],elongation [mm]\n" + rows)
    said = RUN.invoke(app, ["creep", str(table), "--temperature", "40 degC"])
    assert said.exit_code == 0
    lines = said.output.splitlines()
    card = "\n".join(lines[next(i for i, line in enumerate(lines) if line.startswith("[values")) :])
    own = read_cards()["petg"]
    assert "creep_amplitude" not in own.values
    (tmp_path / "cards").mkdir()
    shipped = Path(__file__).parents[2] / "src" / "printworthy" / "cards" / "materials" / "petg.toml"
    (tmp_path / "cards" / "petg.toml").write_text(f"{shipped.read_text()}\n{card}\n")
    read = read_cards(tmp_path)["petg"].values
    assert read["creep_amplitude"].value == pytest.approx(0.12, rel=1e-2)
    assert read["creep_exponent"].value == pytest.approx(0.2, rel=1e-2)
    assert read["creep_temperature"].value == 40.0
    assert read["creep_duration"].value == pytest.approx(168 * 3600)
    assert kept_share(read_cards(tmp_path)["petg"], 1680.0, 40.0).decided
    assert not kept_share(read_cards(tmp_path)["petg"], 1690.0, 40.0).decided
    table.write_text("time,elongation\n1,2\n2,3\n")
    assert "has no unit" in str(RUN.invoke(app, ["creep", str(table)]).exception)
    table.write_text("time [h],force [N]\n1,2\n2,3\n")
    assert "one column of time and one of length" in str(RUN.invoke(app, ["creep", str(table)]).exception)
