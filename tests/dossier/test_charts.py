"""The disc of build directions and the refinement chart."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import synthetic

from printworthy.dossier import charts, precision, turning

SVG = "{http://www.w3.org/2000/svg}"


def test_the_disc_is_true_to_area() -> None:
    """Archimedes: the cap within 60 degrees of z holds half of the half-sphere, so half of the disc."""
    directions = synthetic.spiral(4000)
    values, here = charts.disc_values(directions, 2 * directions[:, 2] ** 2, 400)  # above 0.5 where z > 1/2
    assert here.sum() == pytest.approx(np.pi * 200**2, rel=2e-3)
    assert (values[here] > 0.5).mean() == pytest.approx(0.5, abs=0.01)


def test_the_disc_shows_a_smooth_field_and_closes_at_the_rim() -> None:
    n = np.array([0.6, -0.48, 0.64])
    directions = synthetic.spiral(2000)
    values, here = charts.disc_values(directions, (directions @ n) ** 2, 200)
    y, x = np.nonzero(here)
    u, v = (x + 0.5) / 100 - 1, 1 - (y + 0.5) / 100
    square = u**2 + v**2
    d = np.stack([u * np.sqrt(2 - square), v * np.sqrt(2 - square), 1 - square], axis=-1)  # Snyder eq. 24-16 ff.
    assert np.allclose(np.linalg.norm(d, axis=1), 1)
    assert np.abs(values[here] - (d @ n) ** 2).max() < 0.02  # directions 0.056 apart, so a sagitta of about 1e-3


@pytest.mark.parametrize(
    ("direction", "point"),
    [((0, 0, 1), (0, 0)), ((1, 0, 0), (1, 0)), ((0, -3, 0), (0, -1)), ((0, 0, -1), (0, 0)),
     ((np.sqrt(3) / 2, 0, 0.5), (np.sqrt(0.5), 0)), ((-np.sqrt(3) / 2, 0, -0.5), (np.sqrt(0.5), 0))],
)  # fmt: skip
def test_directions_and_their_opposites_share_a_point(
    direction: tuple[float, float, float], point: tuple[float, float]
) -> None:
    assert charts.on_disc(np.array(direction))[0] == pytest.approx(point, abs=1e-12)


def test_the_disc_says_what_it_shows() -> None:
    directions = synthetic.spiral(400)
    use = 0.4 + 0.9 * directions[:, 2] ** 2
    figure = charts.all_directions(directions, use, [("G", (0.0, 0.0, 1.0), "the answer <b>")], "part-1", "Error 1 %.")
    root = ET.fromstring(figure.svg)
    assert [t.text for t in root.iter(f"{SVG}text") if t.text == "G"] == ["G"]
    # below 1 where z^2 < 2/3: a share of sqrt(2/3) = 82 % of directions
    assert "limit in 82 % of directions" in figure.caption
    assert "Error 1 %." in figure.alt
    assert figure.key == (("G", "the answer <b>"),)


@pytest.mark.parametrize("high", [0.99, None])
def test_the_refinement_chart_shows_every_mesh_and_the_bracket(high: float | None) -> None:
    figure, table = precision.blocks(synthetic.bracket(high), None)
    root = ET.fromstring(figure.svg)
    circles = [c for c in root.iter(f"{SVG}circle") if c.get("class") == "step"]
    heights = [float(c.get("cy", "nan")) for c in circles]
    assert len(heights) == 3
    assert heights == sorted(heights, reverse=True)  # higher utilisation, higher on the page
    band = next(r for r in root.iter(f"{SVG}rect") if r.get("class") == "band")
    assert float(band.get("height", "nan")) > 0
    for words in ("0.81 at 4 mm", "0.94 at 1 mm", "0.9 to " + ("0.99" if high else "no upper end known")):
        assert words in figure.alt
    assert [r.cells[4].value for r in table.rows] == pytest.approx([0.81, 0.9, 0.94])
    assert "0.75 mm apart" in table.note


def test_a_missing_critical_distance_is_said() -> None:
    (facts,) = precision.blocks(None, synthetic.distance())
    pairs = dict(facts.pairs)
    assert pairs["averaged utilisation"].text == "not available"
    assert pairs["raw peak"].mark == "over 1"
    assert pairs["standing"].text == "not valid here"


def test_influences_stand_strongest_first_and_checks_worst_first() -> None:
    search = synthetic.search(0.8)
    table = turning.influences(search)
    assert table is not None
    assert [r.cells[0].text for r in table.rows] == ["strength between layers", "friction of the seat"]
    assert [r.cells[4].text for r in turning.exact_checks(search).rows] == ["0.79 %", "0.02 %"]


def test_the_disc_letters_the_solved_directions_of_its_material() -> None:
    part = synthetic.part("foot-peg", "Foot peg", 0.8, "print")
    assert part.search is not None
    figure = turning.disc(part, part.search, "p")
    assert [letter for letter, _ in figure.key] == ["1", "A", "3"]  # the option in the other material has none
    assert "answers for the part" in figure.key[1][1]
    assert "within the target of 1 %" in figure.caption
    late = turning.disc(part, replace(part.search, reached=False, error=0.04), "p")
    assert "4 %, ABOVE the target of 1 %" in late.caption


def test_what_does_not_fit_the_printer_is_marked() -> None:
    part = synthetic.part("foot-peg", "Foot peg", 0.8, "print")
    table = turning.laying(part)
    assert table is not None
    assert [r.cells[8].text for r in table.rows] == ["fits", "fits", "fits"]  # one row for each direction
    assert [r.chosen for r in table.rows] == [False, True, False]
    only = replace(part, options=part.options[3:], chosen=0)
    (row,) = turning.laying(only).rows  # type: ignore[union-attr]
    assert (row.cells[8].text, row.cells[8].mark) == ("3.5 mm too large", "too large")


def test_one_option_says_that_nothing_is_known_about_turning() -> None:
    part = synthetic.part("lamp", "Lamp", 0.8, "print")
    alone = replace(part, options=part.options[1:2], chosen=0)
    assert any("nothing is known about turning" in s for s in turning.sentences(alone))
    assert not any("nothing is known" in s for s in turning.sentences(part))


def test_a_better_way_up_is_named_before_the_reasons() -> None:
    part = synthetic.part("lamp", "Lamp", 0.8, "print with conditions")
    assert turning.better(part) == ""  # the answer already has the best word of its options
    flipped = replace(part, chosen=0)
    said = turning.better(flipped)
    assert said.startswith("A better word was reached by pa-cf: 0.80 built along +z")
    assert "print with conditions" in said
