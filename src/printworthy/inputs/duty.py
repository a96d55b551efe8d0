"""Frozen records of what repeats: how often a load case comes, and tests to failure under repeated load."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from printworthy.errors import Place
from printworthy.inputs.materials import BeadDirection, CouponDirection

LifeUnit = Literal["h", "km"]  # hours of ride, kilometres of ride


@dataclass(frozen=True, slots=True)
class Cycle:
    """`count` cycles of one size; `range` and `mean` as shares of the load of the case they belong to [-]."""

    range: float
    mean: float
    count: float

    @classmethod
    def swing(cls, level: float, ratio: float, count: float) -> Cycle:
        """Cycles between `level` and `ratio` times `level`."""
        return cls(level * (1 - ratio), level * (1 + ratio) / 2, count)


@dataclass(frozen=True, slots=True)
class Duty:
    """What a load case repeats in one h or km of ride: `cycles`, and `passes` times the course `history` of the load,
    turning points as shares of the case's load."""

    per: LifeUnit
    cycles: tuple[Cycle, ...]
    source: str
    history: tuple[float, ...] = ()
    passes: float = 0.0
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class RideSpan:
    """A length of ride: `value` hours or kilometres."""

    value: float
    per: LifeUnit

    def __str__(self) -> str:
        return f"{self.value:g} {self.per}"


@dataclass(frozen=True, slots=True)
class FatigueSet:
    """Coupons of one material, loaded one way again and again between a stress and `ratio` times it.

    `amplitudes` (n,) [MPa] half the range; `cycles` (n,); `run_outs` (n,): taken off unbroken at that many cycles.
    """

    name: str
    material: str
    direction: CouponDirection
    ratio: float
    amplitudes: tuple[float, ...]
    cycles: tuple[float, ...]
    run_outs: tuple[bool, ...]
    temperature: float  # [degC]
    moisture: str
    source: str
    invented: bool
    place: Place
    beads: BeadDirection = ""

    @property
    def maxima(self) -> tuple[float, ...]:
        """Largest stress of each test (n,) [MPa]."""
        return tuple(2 * a / (1 - self.ratio) for a in self.amplitudes)
