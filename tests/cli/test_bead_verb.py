"""`printworthy bead`: closed forms of a stadium and a weighed piece by hand; what cannot be is one line."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from printworthy.cli import app

RUN = CliRunner()
PIECE = ["--density", "1.24g/cm^3", "--volume", "20000"]


def test_geometry_mass_and_a_starved_piece() -> None:
    """w 0.5, h 0.25 mm: A = 0.25 x 0.25 + pi 0.25^2/4 = 0.1116 mm2, A/h = 0.4463 mm; at 0.475 mm 6.03 % voids, rigid
    7.58 %; 20 cm3 at 1.24 g/cm3 weigh 24.8 g, less 6.03 %: 23.3 g, of which 22.5 g is 96.5 %."""
    said = RUN.invoke(app, ["bead", "0.5mm", "0.25mm", "--overlap", "0.025mm", *PIECE, "--mass", "22.5g"]).output
    for words in ("section 0.1116 mm2", "closes at a pitch of 0.4463 mm", "voids 6.03 %", "7.58 % where outlines",
                  "so laid weigh 23.3 g, without voids 24.8 g", "90.7 % filled, 96.5 % of the plan: under-extruded",
                  "93 to 97 % in the layer"):  # fmt: skip
        assert words in said


def test_less_flow_is_a_plan_that_the_scale_is_held_against() -> None:
    said = RUN.invoke(app, ["bead", "0.5mm", "0.25mm", "--flow", "95%", *PIECE, "--mass", "23.6g"]).output
    assert "voids 5.00 %" in said
    assert "100.2 % of the plan: as planned" in said
    over = RUN.invoke(app, ["bead", "0.5mm", "0.25mm", "--flow", "102%"]).output
    assert "over-filled by 2.00 %" in over


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["0.2mm", "0.25mm"], "is no bead"),
        (["0.5", "0.25mm"], "has no unit"),
        (["0.5mm", "0.25mm", "--pitch", "0.1mm"], "are not laid 0.1 mm apart"),
        (["0.5mm", "0.25mm", "--pitch", "0.45mm", "--overlap", "0.05mm"], "both stated"),
        (["0.5mm", "0.25mm", "--mass", "20g"], "says nothing without density and volume"),
        (["0.5mm", "0.25mm", *PIECE, "--mass", "225g"], "cannot be a print of a solid of 24.8 g"),
    ],
)
def test_what_cannot_be_is_one_line(words: list[str], said: str) -> None:
    result = RUN.invoke(app, ["bead", *words])
    assert result.exit_code == 1
    assert said in str(result.exception)
