"""Pieces side by side on beds: their real outlines, turned about the build direction, none nearer than a clearance.

nested(pieces, bed)       -> beds of placed outlines, first fit, largest first
too_large(points, space)  -> by how much a body is too large for a build space, turned as fits best

Places are tried on a grid on which every piece is taken a little too large, so that what is placed never overlaps.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from scipy.signal import fftconvolve
from shapely import affinity
from shapely.geometry import Polygon

from printworthy.errors import InputError
from printworthy.results import Placed

CELL = 2.0  # [mm] of the grid
CLEARANCE = 3.0  # [mm] between pieces and to the border; common practice, no source
TURNS = tuple(range(0, 360, 30))  # [deg]
FINE_TURNS = tuple(range(1, 180))  # for a piece that fits none of the others


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece to place: its part's name and outline (k, 2) [mm]."""

    part: str
    outline: tuple[tuple[float, float], ...]


@dataclass(slots=True)
class _Open:
    """A bed being filled: which cells are taken, what lies where."""

    taken: np.ndarray
    pieces: list[Placed] = field(default_factory=list)


def density(pieces: Sequence[Placed], bed: tuple[float, float]) -> float:
    """Area of the outlines over the bed's area [-]."""
    return float(sum(Polygon(p.outline).area for p in pieces)) / (bed[0] * bed[1])


def area_bound(pieces: Sequence[Piece], bed: tuple[float, float]) -> int:
    """Beds that cannot be spared: the outlines' area over a bed's, rounded up."""
    return math.ceil(sum(Polygon(p.outline).area for p in pieces) / (bed[0] * bed[1]) - 1e-9)


def nested(pieces: Sequence[Piece], bed: tuple[float, float], most: int | None = None) -> list[list[Placed]]:
    """Beds (width, depth [mm]) that hold all pieces, at most `most` beds (then the rest is left out).

    First fit of the largest first; on a bed the turned place nearest its front left corner. Raises InputError where a
    piece fits no empty bed.
    """
    open_beds: list[_Open] = []
    shape = (int(bed[0] // CELL), int(bed[1] // CELL))
    masks: dict[tuple[tuple[float, float], ...], list[tuple[Polygon, np.ndarray]]] = {}
    full: dict[tuple[tuple[float, float], ...], int] = {}  # beds that an equal piece found full already
    for piece in sorted(pieces, key=lambda p: -Polygon(p.outline).area):
        if piece.outline not in masks:
            masks[piece.outline] = list(turned(piece.outline, shape)) or list(turned(piece.outline, shape, FINE_TURNS))
        ways = masks[piece.outline]
        if not ways:
            raise InputError(f"{piece.part}: its outline fits no bed of {bed[0]:g} x {bed[1]:g} mm")
        for number in range(full.get(piece.outline, 0), len(open_beds) + 1):
            if number == len(open_beds):
                if most is not None and number >= most:
                    break
                open_beds.append(_Open(np.zeros(shape, dtype=bool)))
            if _place(open_beds[number], piece.part, ways):
                break
            full[piece.outline] = number + 1
    return [b.pieces for b in open_beds]


def turned(
    outline: tuple[tuple[float, float], ...], shape: tuple[int, int], turns: tuple[int, ...] = TURNS
) -> Iterator[tuple[Polygon, np.ndarray]]:
    """The outline turned every way that fits the grid, with the cells it takes (half the clearance around it, and half
    a cell's diagonal, so that a cell is taken if any of it is)."""
    whole = Polygon(outline)
    grown = CLEARANCE / 2 + CELL / math.sqrt(2)
    for angle in turns:
        shape_there = affinity.rotate(whole, angle, origin=(0, 0))
        low_x, low_y, _, _ = shape_there.bounds
        shape_there = affinity.translate(shape_there, grown - low_x, grown - low_y)
        wide = shape_there.buffer(grown, quad_segs=4)
        count = [math.ceil(side / CELL) for side in wide.bounds[2:]]
        if count[0] > shape[0] or count[1] > shape[1]:
            continue
        x, y = np.meshgrid((np.arange(count[0]) + 0.5) * CELL, (np.arange(count[1]) + 0.5) * CELL, indexing="ij")
        yield shape_there, np.asarray(shapely.contains_xy(wide, x, y))


def _place(bed: _Open, part: str, ways: Sequence[tuple[Polygon, np.ndarray]]) -> bool:
    """Put a piece where its far corner lies nearest the front left of the bed; False where it fits nowhere."""
    best: tuple[float, int, int, int] | None = None
    for number, (_, mask) in enumerate(ways):
        if bed.pieces:
            hits = fftconvolve(bed.taken.astype(float), mask[::-1, ::-1].astype(float), mode="valid")
            free = np.argwhere(hits < 0.5)
        else:
            free = np.zeros((1, 2), dtype=int)
        if not len(free):
            continue
        reach = np.maximum(free[:, 0] + mask.shape[0], free[:, 1] + mask.shape[1]) + 1e-3 * free.sum(axis=1)
        i = int(np.argmin(reach))
        if best is None or reach[i] < best[0]:
            best = (float(reach[i]), number, int(free[i, 0]), int(free[i, 1]))
    if best is None:
        return False
    _, number, i, j = best
    outline, mask = ways[number]
    bed.taken[i : i + mask.shape[0], j : j + mask.shape[1]] |= mask
    there = affinity.translate(outline, i * CELL, j * CELL)
    bed.pieces.append(Placed(part, tuple((round(x, 3), round(y, 3)) for x, y in there.exterior.coords[:-1])))
    return True


def too_large(hull: np.ndarray, space: tuple[float, float, float]) -> tuple[float, float]:
    """By how much [mm] a body's points (k, 3) [mm], standing as they are, exceed a build space: over its bed, turned as
    fits best, and over its height; at or below 0 it fits."""
    angles = np.radians(np.arange(0, 180, 0.5))
    c, s = np.cos(angles), np.sin(angles)
    x, y = np.outer(hull[:, 0], c) + np.outer(hull[:, 1], s), np.outer(hull[:, 1], c) - np.outer(hull[:, 0], s)
    over = np.maximum(np.ptp(x, axis=0) - space[0], np.ptp(y, axis=0) - space[1])
    return float(over.min()), float(np.ptp(hull[:, 2]) - space[2])
