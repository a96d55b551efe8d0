"""Numbers in sentences."""

from __future__ import annotations

from collections.abc import Iterable


def count(number: int, one: str, many: str = "") -> str:
    """A number and its thing, as in 1 hole, 3 holes."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def at(point: Iterable[float]) -> str:
    """A point [mm] as people write it."""
    return "(" + ", ".join(f"{float(v):.4g}" for v in point) + ") mm"
