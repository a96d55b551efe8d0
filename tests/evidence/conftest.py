from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from printworthy.errors import Place
from printworthy.inputs import CouponSet, MaterialCard, Quantity, Rules
from printworthy.workspace.rules import read_rules


@pytest.fixture(scope="session")
def rules() -> Rules:
    return read_rules()


@pytest.fixture
def card() -> Callable[..., MaterialCard]:
    """A card from numbers or (value, low, high)."""

    def make(**values: object) -> MaterialCard:
        def quantity(v: object) -> Quantity:
            value, low, high = v if isinstance(v, tuple) else (v, None, None)
            return Quantity(value, "", "test", "published", low, high)  # type: ignore[arg-type]

        return MaterialCard("stuff", "Stuff", "printed polymer", {k: quantity(v) for k, v in values.items()})

    return make


@pytest.fixture
def coupons() -> Callable[..., CouponSet]:
    def make(direction: str, *strengths: float, name: str = "A", **changes: object) -> CouponSet:
        given = {"temperature": 23.0, "moisture": "", "source": "bench", "invented": False} | changes
        return CouponSet(name, "stuff", direction, strengths, place=Place(Path("a.csv"), 2), **given)  # type: ignore[arg-type]

    return make
