"""What may be put right in a surface of triangles, and what it costs.

`tidy` changes nothing about the solid and is always done: triangles without area, triangles that lie on each other, and
triangles that face against their neighbours. `close` changes the solid and is done only when a person permits it, and
only where the change is too small to matter; it says how small.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from printworthy.shape.source import areas
from printworthy.shape.topology import Edges, edges, flips
from printworthy.shape.triangles import collapsed, doubled, needles
from printworthy.shape.words import count

# A hole is closed only when all of them together are at most this share of the skin, and what could hide behind them
# (their area times their length) is at most this share of the volume: far below any error of a strength calculation.
OPEN_AREA, OPEN_VOLUME = 1e-4, 1e-4
MOST_HOLES, MOST_CORNERS = 50, 150


@dataclass(frozen=True, slots=True, eq=False)
class Tidy:
    """Triangles (m, 3) whose neighbours agree, the numbers (m,) they had before, their edges, what was found, what
    was done; `one_sided` where no turning makes neighbours agree."""

    triangles: np.ndarray
    number: np.ndarray
    edges: Edges
    found: tuple[str, ...]
    mended: tuple[str, ...]
    one_sided: bool


def tidy(points: np.ndarray, triangles: np.ndarray) -> Tidy:
    """Drop empty and double triangles (m, 3), turn those that face against their neighbours. The solid stays the
    same."""
    found, mended = [], []
    keep = ~collapsed(triangles)
    if gone := int((~keep).sum()):
        found.append(f"{count(gone, 'triangle')} with two equal corners")
        mended.append(f"{count(gone, 'triangle')} with two equal corners dropped")
    number = np.flatnonzero(keep)
    keep, copies, back = doubled(points, triangles[number])
    if copies:
        found.append(f"{count(copies, 'triangle')} listed twice")
        mended.append(f"{count(copies, 'copy', 'copies')} of triangles dropped")
    if back:
        found.append(f"{back} triangles lying back to back on another, with nothing between")
        mended.append(f"{back} triangles lying back to back dropped")
    number = number[keep]
    triangles = triangles[number]
    if empty := int(needles(points, triangles).sum()):
        found.append(
            f"{count(empty, 'triangle')} with three corners on a line (left in, they hold their neighbours together)"
        )
    edge = edges(points, triangles)
    turn = flips(len(triangles), edge)
    if turn is not None and turn.any():
        found.append(f"{count(int(turn.sum()), 'triangle')} facing against their neighbours")
        mended.append(f"{count(int(turn.sum()), 'triangle')} turned to agree with their neighbours")
        triangles = np.where(turn[:, None], triangles[:, ::-1], triangles)
        edge = edges(points, triangles)
    return Tidy(triangles, number, edge, tuple(found), tuple(mended), turn is None)


@dataclass(frozen=True, slots=True, eq=False)
class Closing:
    """Triangles (m, 3) that would close the holes, and in words how small the change is; or why it is not done."""

    triangles: np.ndarray
    words: str
    refused: str = ""


def close(points: np.ndarray, triangles: np.ndarray, gaps: np.ndarray, volume: float) -> Closing:
    """Close the holes whose edges are `gaps` (q, 2), run as their triangles run them, if that hardly changes the
    solid."""
    none = np.zeros((0, 3), np.int64)
    loops = rings(gaps)
    if loops is None:
        return Closing(none, "", "the open edges do not form simple rings")
    if len(loops) > MOST_HOLES:
        return Closing(none, "", f"{len(loops)} holes are too many to be an accident")
    if max(len(r) for r in loops) > MOST_CORNERS:
        return Closing(none, "", f"a hole with {max(len(r) for r in loops)} corners is too large to be an accident")
    caps = [_cap(points, ring) for ring in loops]
    opening = np.array([areas(points[c]).sum() for c in caps])
    reach = np.array([np.linalg.norm(np.ptp(points[r], axis=0)) for r in loops])
    skin = float(areas(points[triangles]).sum())
    hidden = float((opening * reach).sum()) / max(abs(volume), 1e-300)
    size = f"the largest {reach.max():.3g} mm across with {opening.max():.2g} mm2"
    size += f", together {opening.sum() / skin:.1g} of the skin"
    if opening.sum() > OPEN_AREA * skin or hidden > OPEN_VOLUME:
        return Closing(none, "", f"{count(len(loops), 'hole')}, {size}: closing them would invent a part of the shape")
    return Closing(
        np.concatenate(caps),
        f"{count(len(loops), 'hole')} closed, {size}; the volume changes by less than {max(hidden, 1e-12):.1g} of it",
    )


def rings(gaps: np.ndarray) -> list[np.ndarray] | None:
    """Open edges (q, 2) chained into closed rings of points, in the order that closes them; None where they branch."""
    follow: dict[int, int] = {}
    for start, end in gaps.tolist():  # the cap runs each edge the other way
        if end in follow:
            return None
        follow[end] = start
    made = []
    while follow:
        first, at = follow.popitem()
        ring = [first]
        while at != first:
            if at not in follow:
                return None
            ring.append(at)
            at = follow.pop(at)
        made.append(np.array(ring))
    return made


def _cap(points: np.ndarray, ring: np.ndarray) -> np.ndarray:
    """Triangles (n - 2, 3) over a ring of n points with the least area of all: Klincsek, Annals of Discrete
    Mathematics 9 (1980) 121-123 (from memory). A hole is usually a sliver, over which a plain fan would fold."""
    n = len(ring)
    at = points[ring]
    cost, middle = np.zeros((n, n)), np.zeros((n, n), dtype=np.int64)
    for span in range(2, n):
        for i in range(n - span):
            j = i + span
            k = np.arange(i + 1, j)
            corners = np.stack(
                [np.broadcast_to(at[i], (len(k), 3)), at[k], np.broadcast_to(at[j], (len(k), 3))], axis=1
            )
            total = cost[i, k] + cost[k, j] + areas(corners)
            cost[i, j], middle[i, j] = total.min(), k[total.argmin()]
    made: list[tuple[int, int, int]] = []
    left = [(0, n - 1)]
    while left:
        i, j = left.pop()
        if j - i >= 2:
            top = int(middle[i, j])
            made.append((int(ring[i]), int(ring[top]), int(ring[j])))
            left += [(i, top), (top, j)]
    return np.array(made, dtype=np.int64)
