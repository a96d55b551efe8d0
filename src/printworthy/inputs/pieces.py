"""Frozen records of measured pieces: weighings and dimensions."""

from __future__ import annotations

from dataclasses import dataclass

from printworthy.errors import Place

Laid = tuple[float, float, float, float]  # of beads: width, layer height, pitch [mm]; flow over what was meant [-]


@dataclass(frozen=True, slots=True)
class Weighing:
    """A weighed piece of a part: mass [kg]; `density` [g/cm3] of its polymer where measured; the `bead` it was printed
    with, where stated."""

    piece: str
    part: str
    material: str
    mass: float
    density: float | None
    bead: Laid | None
    source: str
    invented: bool
    place: Place


@dataclass(frozen=True, slots=True)
class DimensionSet:
    """One dimension of a part, measured on several pieces: limits and `values` (n,) [mm]."""

    name: str
    part: str
    nominal: float
    lower: float
    upper: float
    values: tuple[float, ...]
    source: str
    invented: bool
    place: Place
