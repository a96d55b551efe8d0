"""Which of the solved options answers for a part."""

from __future__ import annotations

from collections.abc import Sequence

from printworthy.errors import InputError
from printworthy.inputs import Part, Vector
from printworthy.results import Option
from printworthy.verdict.words import BEST_FIRST

PARALLEL = 1e-6  # directions closer than this (1 - |cosine|) are the same; a direction and its opposite are equal


def choose(options: Sequence[Option], part: Part) -> int:
    """Number of the option that answers: the stated material, in the stated direction; without a stated direction the
    best word, then the lowest utilisation. InputError if the stated material or direction was not solved."""
    own = [i for i, o in enumerate(options) if o.result.material == part.material]
    if not own:
        raise InputError(f"material '{part.material}' was not solved", where=part.place or part.name, do="State a card")
    if part.build_direction is not None:
        stated = part.build_direction
        own = [i for i in own if _same(options[i].result.direction, stated)]
        if not own:
            raise InputError("the stated build direction was not solved", where=part.place or part.name)
    return min(own, key=lambda i: (BEST_FIRST.index(options[i].verdict.word), options[i].result.utilisation, i))


def _same(a: Vector, b: Vector) -> bool:
    dot = sum(x * y for x, y in zip(a, b, strict=True))
    size = (sum(x * x for x in a) * sum(y * y for y in b)) ** 0.5
    return size > 0 and 1 - abs(dot) / size < PARALLEL
