"""`printworthy hdt`: load and deflection of an ISO 75 bar by hand; what cannot be is one line."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from printworthy.cli import app

RUN = CliRunner()
BAR = ["hdt", "64mm", "4mm", "10mm"]


def test_what_to_hang_and_where_to_read() -> None:
    """F = 2 x 1.8 x 10 x 16 / (3 x 64) = 3 N = 305.9 g; 0.002 x 64^2 / 24 = 0.341 mm; 1.8 / (0.002 + 1.8 / 2500) =
    661.8 MPa."""
    said = RUN.invoke(app, [*BAR, "--modulus", "2500MPa"]).output
    for words in ("sunk by 0.341 mm", "strain 0.2 %", "hang 3 N (305.9 g); modulus there 661.8 MPa", "hang 0.75 N"):
        assert words in said
    assert "a card takes it" not in said


def test_a_reading_of_another_standard() -> None:
    """ASTM D648: 0.25 mm on 101.6 mm, 12.7 mm high, is 0.1845 %; 1.8 / (0.0018455 + 1.8 / 2500) = 701.6 MPa."""
    said = RUN.invoke(
        app, ["hdt", "101.6mm", "12.7mm", "3.2mm", "--deflection", "0.25mm", "--modulus", "2.5GPa"]
    ).output
    assert "strain 0.1845 %" in said
    assert "modulus there 701.6 MPa" in said
    assert "the cards take readings at 0.2 % strain" in said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["hdt", "64", "4mm", "10mm"], "has no unit"),
        (["hdt", "20mm", "4mm", "10mm"], "is short for a bar 4 mm high"),
        (["hdt", "64mm", "0mm", "10mm"], "must be above zero"),
        ([*BAR, "--modulus", "0 MPa"], "a modulus must be above zero"),
    ],
)
def test_what_is_no_bar_is_one_line(words: list[str], said: str) -> None:
    result = RUN.invoke(app, words)
    assert result.exit_code == 1
    assert said in str(result.exception)
