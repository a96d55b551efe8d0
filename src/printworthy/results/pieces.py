"""Frozen records of what is computed about made pieces: their mass and their dimensions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Finding = Literal["as planned", "under-extruded", "over-extruded", "not decided"]
Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Weighed:
    """One weighed piece: mass [kg], share of its volume that is polymer between `low` and `high` (range of density),
    `planned` share by its bead; shares of the strength left, in the layer and between layers, as (low, high)."""

    piece: str
    mass: float
    low: float
    high: float
    planned: float
    finding: Finding
    in_layer: Range
    between: Range
    source: str
    invented: bool


@dataclass(frozen=True, slots=True)
class Weight:
    """What a solid piece weighs [kg] over the card's density range, and its weighed pieces."""

    low: float
    high: float
    pieces: tuple[Weighed, ...]


@dataclass(frozen=True, slots=True)
class Capability:
    """Spread of a dimension against its limits [mm]; Cp, Cpk and their lower limits [-]; `outside` share [-]."""

    n: int
    mean: float
    deviation: float
    lower: float
    upper: float
    cp: float
    cpk: float
    cp_low: float
    cpk_low: float
    outside: float
