"""Frozen records of what is computed about heat."""

from __future__ import annotations

from dataclasses import dataclass

from printworthy.inputs import HeatSource, Vector


@dataclass(frozen=True, slots=True)
class SourceHeat:
    """A body near the part at its hottest [degC]: at the cool end of what is stated about it, the middle, the hot."""

    name: str
    kind: HeatSource
    low: float
    middle: float
    high: float
    words: str


@dataclass(frozen=True, slots=True)
class HeatResult:
    """One hot state of a part in one material, built one way.

    `hottest` [degC] anywhere in the part with everything at the end that makes it hot, at `point` [mm] near a named
    face; `coolest` [degC] the same figure with everything at the end that keeps it cool; `mean` [degC] over the volume
    at the hot end. `balance`: heat that does not add up, of the heat that passes through. `duration` [s], None: steady.
    """

    state: str
    material: str
    direction: Vector
    air: float
    sources: tuple[SourceHeat, ...]
    hottest: float
    coolest: float
    mean: float
    point: Vector
    near_face: str
    balance: float
    duration: float | None
    unknowns: int
    source: str
