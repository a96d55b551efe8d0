"""Pieces side by side on beds: their real outlines, turned about the build direction, none nearer than a clearance.

nested(pieces, bed)       -> beds of placed outlines: the best of several rules and orders of placing
too_large(points, space)  -> by how much a body is too large for a build space, turned as fits best

Free places are all places on a grid where a piece meets nothing: its mask against the bed by one product of Fourier
transforms (the no-fit region as raster). On the grid every piece is a little too large, so that nothing ever overlaps.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache, partial

import numpy as np
import shapely
from scipy import fft
from scipy.ndimage import binary_dilation
from shapely import affinity
from shapely.geometry import Polygon

from printworthy.errors import InputError
from printworthy.results import Placed

CELL = 1.0  # [mm] of the grid
CLEARANCE = 3.0  # [mm] between pieces and to the border; common practice, no source
TURNS = tuple(range(0, 360, 30))  # [deg]
FINE_TURNS = tuple(range(1, 180))  # for a piece that fits none of the others
FEW = 1e-3  # weight of what breaks ties
KEPT = 200  # outlines whose cells are remembered

Outline = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece to place: its part's name and outline (k, 2) [mm]."""

    part: str
    outline: Outline


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """An outline turned one way: the cells it takes (h, w), and transforms of these on the bed and of the ring of cells
    around them on the bed with a border."""

    shape: Polygon
    size: tuple[int, int]
    mask: np.ndarray
    spectrum: np.ndarray
    ring: np.ndarray


@dataclass(slots=True)
class _Open:
    """A bed being filled: which cells are taken, what lies where."""

    taken: np.ndarray
    pieces: list[Placed] = field(default_factory=list)


Ways = Mapping[Outline, Sequence[_Way]]
Rule = Callable[[_Open, _Way, np.ndarray], np.ndarray]  # worth (n,) of free places (n, 2), the least is taken


def density(pieces: Sequence[Placed], bed: tuple[float, float]) -> float:
    """Area of the outlines over the bed's area [-]."""
    return float(sum(Polygon(p.outline).area for p in pieces)) / (bed[0] * bed[1])


def area_bound(pieces: Sequence[Piece], bed: tuple[float, float]) -> int:
    """Beds that cannot be spared: the outlines' area over a bed's, rounded up."""
    return math.ceil(sum(Polygon(p.outline).area for p in pieces) / (bed[0] * bed[1]) - 1e-9)


def nested(pieces: Sequence[Piece], bed: tuple[float, float], most: int | None = None) -> list[list[Placed]]:
    """Beds (width, depth [mm]) that hold all pieces, at most `most` beds (then the rest is left out).

    First fit in order of area, and of length where outlines differ, each by three rules for the place on a bed: as far
    left, as far to the front, or touching as much as can be. The best of these is kept: most pieces, fewest beds, least
    area on the last. Raises InputError where a piece fits no empty bed.
    """
    ways = _ways(pieces, bed)
    orders: list[Callable[[Piece], float]] = [lambda p: -Polygon(p.outline).area]
    if len(ways) > 1:
        orders.append(lambda p: -shapely.minimum_bounding_radius(Polygon(p.outline)))
    best: list[list[Placed]] = []
    score: tuple[float, ...] | None = None
    for order in orders:
        queue = sorted(pieces, key=order)
        for rule in (partial(_aside, axis=0), partial(_aside, axis=1), _touching):
            found = _filled(queue, ways, bed, most, rule)
            placed = sum(len(b) for b in found)
            now = (-placed, len(found), density(found[-1], bed) if found else 0.0)
            if score is None or now < score:
                best, score = found, now
            if placed == len(pieces) and len(found) <= area_bound(pieces, bed):
                return found
    return best


def _ways(pieces: Sequence[Piece], bed: tuple[float, float]) -> Ways:
    shape = _grid(bed)
    found: dict[Outline, Sequence[_Way]] = {}
    for piece in pieces:
        if piece.outline in found:
            continue
        ways = list(turned(piece.outline, shape)) or list(turned(piece.outline, shape, FINE_TURNS))
        if not ways:
            raise InputError(f"{piece.part}: its outline fits no bed of {bed[0]:g} x {bed[1]:g} mm")
        found[piece.outline] = ways
    return found


def _filled(
    queue: Sequence[Piece], ways: Ways, bed: tuple[float, float], most: int | None, rule: Rule
) -> list[list[Placed]]:
    """Beds filled by first fit in the order of `queue`, places by one rule."""
    open_beds: list[_Open] = []
    full: dict[Outline, int] = {}  # beds that an equal piece found full already
    for piece in queue:
        for number in range(full.get(piece.outline, 0), len(open_beds) + 1):
            if number == len(open_beds):
                if most is not None and number >= most:
                    break
                open_beds.append(_Open(np.zeros(_grid(bed), dtype=np.float32)))
            if _place(open_beds[number], piece.part, ways[piece.outline], rule):
                break
            full[piece.outline] = number + 1
    return [b.pieces for b in open_beds]


def fits(outline: Outline, bed: tuple[float, float]) -> bool:
    """Whether an outline with the clearance around it lies on an empty bed, turned one way or another."""
    return next(_laid(outline, _grid(bed), TURNS + FINE_TURNS), None) is not None


def _grid(bed: tuple[float, float]) -> tuple[int, int]:
    return int(bed[0] // CELL), int(bed[1] // CELL)


def _laid(
    outline: Outline, shape: tuple[int, int], turns: tuple[int, ...]
) -> Iterator[tuple[Polygon, Polygon, int, int]]:
    """The outline turned every way that fits the grid, with what it keeps free, and how many cells that takes along and
    across (half the clearance around it, and half a cell's diagonal, so that a cell is taken if any of it is)."""
    whole = Polygon(outline)
    grown = CLEARANCE / 2 + CELL / math.sqrt(2)
    for angle in turns:
        there = affinity.rotate(whole, angle, origin=(0, 0))
        low_x, low_y, _, _ = there.bounds
        there = affinity.translate(there, grown - low_x, grown - low_y)
        wide = there.buffer(grown, quad_segs=4)
        height, width = (math.ceil(side / CELL) for side in wide.bounds[2:])
        if height <= shape[0] and width <= shape[1]:
            yield there, wide, height, width


def turned(outline: Outline, shape: tuple[int, int], turns: tuple[int, ...] = TURNS) -> Iterator[_Way]:
    """The outline turned every way that fits the grid, with the cells it takes."""
    border = (shape[0] + 2, shape[1] + 2)
    for there, mask in _masks(outline, shape, turns):
        wider = np.pad(mask, 1)
        ring = binary_dilation(wider) & ~wider
        yield _Way(there, mask.shape, mask, _spectrum(mask, shape), _spectrum(ring / ring.sum(), border))


@lru_cache(KEPT)  # a part is laid on a bed of its own for its cost, then on one with the others
def _masks(outline: Outline, shape: tuple[int, int], turns: tuple[int, ...]) -> Sequence[tuple[Polygon, np.ndarray]]:
    """The outline turned every way that fits the grid, and the cells (h, w) it takes."""
    found = []
    for there, wide, height, width in _laid(outline, shape, turns):
        shapely.prepare(wide)
        x, y = np.meshgrid((np.arange(height) + 0.5) * CELL, (np.arange(width) + 0.5) * CELL, indexing="ij")
        found.append((there, np.asarray(shapely.contains_xy(wide, x, y))))
    return found


def _spectrum(mask: np.ndarray, shape: tuple[int, int]) -> np.ndarray:
    """Transform of a mask laid into the corner of a bed, conjugate: times that of a bed it gives what the mask covers
    at every place (places that reach beyond the bed wrap round and are left out)."""
    whole = np.zeros(shape, dtype=np.float32)
    whole[: mask.shape[0], : mask.shape[1]] = mask
    return np.asarray(np.conj(fft.rfft2(whole)))


def _covered(taken: np.ndarray, spectrum: np.ndarray, size: tuple[int, int]) -> np.ndarray:
    """What a mask of `size` covers of the bed at every place where it lies inside."""
    places = fft.irfft2(fft.rfft2(taken) * spectrum, s=taken.shape)
    return np.asarray(places[: taken.shape[0] - size[0] + 1, : taken.shape[1] - size[1] + 1])


def _aside(_: _Open, way: _Way, free: np.ndarray, axis: int) -> np.ndarray:
    """How far a piece reaches along one axis of the bed, ties by the other."""
    reach = free + np.array(way.size)
    return np.asarray(reach[:, axis] + FEW * reach[:, 1 - axis])


def _touching(bed: _Open, way: _Way, free: np.ndarray) -> np.ndarray:
    """Share of the cells around a piece that are free, ties by how far it reaches; the border of the bed is taken."""
    frame = np.pad(bed.taken, 1, constant_values=1.0)
    met = _covered(frame, way.ring, (way.size[0] + 2, way.size[1] + 2))
    reach = (free + np.array(way.size)).sum(axis=1)
    return np.asarray(-met[free[:, 0], free[:, 1]] + FEW * reach / bed.taken.size**0.5)


def _place(bed: _Open, part: str, ways: Sequence[_Way], rule: Rule) -> bool:
    """Put a piece at the best free place of all its turns; False where it fits nowhere."""
    best: tuple[float, _Way, int, int] | None = None
    for way in ways:
        free = np.argwhere(_covered(bed.taken, way.spectrum, way.size) < 0.5)
        if not len(free):
            continue
        worth = rule(bed, way, free)
        i = int(np.argmin(worth))
        if best is None or worth[i] < best[0]:
            best = (float(worth[i]), way, int(free[i, 0]), int(free[i, 1]))
    if best is None:
        return False
    _, way, i, j = best
    bed.taken[i : i + way.size[0], j : j + way.size[1]] += way.mask
    there = affinity.translate(way.shape, i * CELL, j * CELL)
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
