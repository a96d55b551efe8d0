"""How numbers are written: never rounded to the safe side of the limit."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.dossier import words


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"), (1234.5, "1\u202f234"), (0.012345, "0.0123"), (-6.25, "−6.25"), (2.0, "2"), (3.1e-11, "3.10×10⁻¹¹"),
        (1e12, "1.00×10¹²"), (math.inf, "unbounded"), (math.nan, "not a number"),
        (0.9996, "1"), (123456.0, "123\u202f456"),
    ],
)  # fmt: skip
def test_numbers(value: float, text: str) -> None:
    assert words.number(value) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.57, "0.57"),
        (0.571, "0.58"),
        (1.0, "1.00"),
        (1.0000001, "1.01"),
        (0.0, "0.00"),
        (37.2, "37.20"),
        (412.0, "412"),
    ],
)
def test_utilisation_is_rounded_up(value: float, text: str) -> None:
    assert words.utilisation(value) == text


@given(st.floats(1e-3, 99.0))
def test_what_is_written_is_never_kinder_than_what_was_computed(value: float) -> None:
    written = float(words.utilisation(value))
    assert value - 1e-9 <= written <= value + 0.01 + 1e-9
    margin = float(words.margin(value).replace("−", "-"))
    assert margin <= 1 / value - 1 + 1e-9


@pytest.mark.parametrize(
    ("use", "text"), [(1.0, "+0.00"), (0.5, "+1.00"), (2.0, "−0.50"), (0.8, "+0.25"), (1.5, "−0.34")]
)
def test_margins(use: float, text: str) -> None:
    assert words.margin(use) == text


def test_sentences() -> None:
    assert [words.sentence(t) for t in ("it holds", "It holds.", "why? ")] == ["It holds.", "It holds.", "Why?"]


@pytest.mark.parametrize(
    ("v", "text"),
    [
        ((0, 0, 1), "along +z"), ((0, -2.0, 0), "along −y"), ((1, 0, 1), "45° from +x towards +z"),
        ((0, 0.5, 0.8660254), "30° from +z towards +y"), ((1, -1, 1), "55° from +x, towards −y and +z"),
    ],
)  # fmt: skip
def test_directions(v: tuple[float, float, float], text: str) -> None:
    assert words.direction(v) == text
