"""Which option answers: what the person stated, else the best word, then the lowest utilisation."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from printworthy.errors import InputError
from printworthy.results import Option, Verdict
from printworthy.verdict import choose


def option(
    make: SimpleNamespace,
    word: str,
    u: float,
    direction: tuple[float, float, float] = (0.0, 0.0, 1.0),
    material: str = "stuff",
) -> Option:
    result = replace(make.result(make.case(u)), direction=direction, material=material)
    return Option(result, make.design(), (), Verdict(word, material, direction, (), ()), 1.0)  # type: ignore[arg-type]


def test_best_word_first_then_lowest_utilisation(make: SimpleNamespace) -> None:
    options = [
        option(make, "not decided", 0.2),
        option(make, "print with conditions", 0.8),
        option(make, "print with conditions", 0.6),
        option(make, "do not print", 0.1),
    ]
    assert choose(options, make.part()) == 2


def test_the_stated_direction_answers_even_if_another_is_better(make: SimpleNamespace) -> None:
    options = [option(make, "print", 0.2), option(make, "do not print", 2.0, (1.0, 0.0, 0.0))]
    assert choose(options, make.part(build_direction=(-2.0, 0.0, 0.0))) == 1  # its opposite is the same
    with pytest.raises(InputError, match="direction was not solved"):
        choose(options, make.part(build_direction=(0.0, 1.0, 0.0)))


def test_an_alternative_material_never_answers_for_the_stated_one(make: SimpleNamespace) -> None:
    options = [option(make, "print", 0.2, material="other"), option(make, "not decided", 0.9)]
    assert choose(options, make.part()) == 1
    with pytest.raises(InputError, match="'stuff' was not solved"):
        choose(options[:1], make.part())
