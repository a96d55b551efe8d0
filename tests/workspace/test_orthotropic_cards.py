"""Cards with nine constants: what they may say, and the one line for each thing that cannot be.

The limits are compared with the eigenvalues of the compliance matrix itself (numpy), written out here from the
definition of the constants (Lempriere, AIAA Journal 6 (1968) 2226).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.inputs import NINE, Quantity
from printworthy.records.tally import stated_values
from printworthy.workspace import WorkspaceProblems
from printworthy.workspace.card_text import restated
from printworthy.workspace.cards import read_cards
from printworthy.workspace.orthotropic import faults

SOUND = dict(zip(NINE, (8000.0, 3500.0, 2500.0, 0.38, 0.4, 0.42, 800.0, 1000.0, 1500.0), strict=True))
STRENGTHS = {"strength_along": 95.0, "strength_across": 45.0, "strength_through": 30.0}


def written(folder: Path, values: Mapping[str, float]) -> Path:
    """A workspace whose only card states these values."""
    (folder / "cards").mkdir()
    lines = ['name = "beads"', 'title = "t"', 'kind = "printed polymer"']
    for name, value in values.items():
        unit = "" if name.startswith("poisson") else " MPa"
        lines += [f"[values.{name}]", f'value = "{value}{unit}"', 'source = "none"', 'confidence = "invented"']
    (folder / "cards/beads.toml").write_text("\n".join(lines), encoding="utf-8")
    return folder


def line_of(folder: Path, values: Mapping[str, float]) -> str:
    with pytest.raises(WorkspaceProblems) as wrong:
        read_cards(written(folder, values))
    (problem,) = wrong.value.problems
    return str(problem)


def test_what_any_card_answers_follows_from_the_nine(tmp_path: Path) -> None:
    card = read_cards(written(tmp_path, {**SOUND, **STRENGTHS}))["beads"]
    assert card.orthotropic
    assert card.number("modulus_in_layer") == 3500.0
    assert card.number("strength_in_layer") == 45.0
    assert card.number("shear_modulus_through") == 800.0
    assert card.values["strength_in_layer"].source == "the lesser of strength_along and strength_across: none"


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"poisson_along_across": 1.6}, "poisson_along_across", "|nu12| < sqrt(E1 / E2) fails: 1.6 against 1.512"),
        ({"poisson_across_through": 1.15}, "poisson_along_through", "2 nu21 nu32 nu13 > 0 fails"),
        ({"poisson_across_along": 0.38}, "poisson_across_along", "nu21 = nu12 E2 / E1 fails: 0.38 against 0.166"),
        ({"modulus_in_layer": 5000.0}, "modulus_in_layer", "stated beside the constants of the beads"),
        ({"compression_along": 90.0}, "compression_along", "stands alone"),
    ],
)
def test_what_cannot_be_has_its_line(tmp_path: Path, change: dict[str, float], field: str, words: str) -> None:
    values = {**SOUND, **STRENGTHS, **change}
    line = line_of(tmp_path, values)
    text = (tmp_path / "cards/beads.toml").read_text(encoding="utf-8").splitlines()
    assert words in line
    assert f"beads.toml:{text.index(f'[values.{field}]') + 1}" in line


def test_some_of_the_nine_are_not_enough(tmp_path: Path) -> None:
    line = line_of(
        tmp_path, {name: v for name, v in SOUND.items() if name not in ("modulus_across", "modulus_through")}
    )
    assert "without modulus_across, modulus_through" in line


def test_a_ratio_measured_the_other_way_agrees_within_scatter(tmp_path: Path) -> None:
    assert read_cards(written(tmp_path, {**SOUND, "poisson_across_along": 0.38 * 3500 / 8000 * 1.08}))[
        "beads"
    ].orthotropic


def test_a_card_restated_from_made_pieces_is_sound(tmp_path: Path) -> None:
    """Softer by a tenth: what a proof test may propose names only what the card's own text states."""
    root = written(tmp_path, {**SOUND, **STRENGTHS})
    card = read_cards(root)["beads"]
    names = stated_values("deflection", card)
    softer = {n: replace(card.values[n], value=0.9 * card.values[n].value, low=None, high=None) for n in names}
    text = restated(root / "cards/beads.toml", "beads-as-made", softer)
    (root / "cards/beads-as-made.toml").write_text(text, encoding="utf-8")
    made = read_cards(root)["beads-as-made"]
    assert [made.number(n) for n in names] == pytest.approx([7200, 3150, 2250, 720, 900, 1350])
    assert made.number("modulus_in_layer") == pytest.approx(3150)


@given(st.tuples(*[st.floats(500, 20000)] * 3), st.tuples(*[st.floats(-1.2, 1.2)] * 3))
def test_refused_exactly_where_the_energy_is_not_positive(
    e: tuple[float, float, float], nu: tuple[float, float, float]
) -> None:
    s = np.diag(1 / np.array(e))
    for (i, j), ratio in zip(((0, 1), (0, 2), (1, 2)), nu, strict=True):
        s[i, j] = s[j, i] = -ratio / e[i]
    root = np.sqrt(np.diag(s))
    lowest = np.linalg.eigvalsh(s / np.outer(root, root))[0]
    numbers = dict(zip(NINE, (*e, *nu, 1000.0, 1000.0, 1000.0), strict=True))
    found = faults({name: Quantity(v, "", "s", "invented") for name, v in numbers.items()})
    if abs(lowest) > 1e-9:
        assert bool(found) == (lowest < 0)
