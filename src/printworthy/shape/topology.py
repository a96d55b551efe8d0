"""How triangles hang together: edges, shells, winding, crossings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from printworthy.shape.boxes import of_triangles


@dataclass(frozen=True, slots=True, eq=False)
class Edges:
    """pairs (p, 2): triangles that continue each other across an edge; same (p,): both run along it the same way,
    so one of them is flipped; gaps (q, 2): points of edges with one triangle; crowded (c, 2): points of edges with
    more than two; unbalanced: how many of those have more triangles one way than the other, so that the surface is
    not closed."""

    pairs: np.ndarray
    same: np.ndarray
    gaps: np.ndarray
    crowded: np.ndarray
    unbalanced: int

    @property
    def closed(self) -> bool:
        """Whether the triangles bound a volume (winding aside)."""
        return not len(self.gaps) and not self.unbalanced


def edges(points: np.ndarray, triangles: np.ndarray) -> Edges:
    """Edges of triangles (m, 3) over points (n, 3)."""
    start, end = triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()
    owner = np.repeat(np.arange(len(triangles)), 3)
    low, high = np.minimum(start, end), np.maximum(start, end)
    key = low * np.int64(len(points)) + high
    order = np.argsort(key, kind="stable")
    _, first, count = np.unique(key[order], return_index=True, return_counts=True)
    forward = start < end
    one, two = order[first[count == 1]], first[count == 2]
    a, b = order[two], order[two + 1]
    pairs, same = [np.column_stack([owner[a], owner[b]])], [forward[a] == forward[b]]
    unbalanced = 0
    crowded = [order[f : f + n] for f, n in zip(first[count > 2], count[count > 2], strict=True)]
    for half in crowded:
        match = _through_material(points, triangles, half, forward, owner, low, high)
        if 2 * len(match) != len(half):
            unbalanced += 1
        pairs.append(np.asarray(match, dtype=np.int64).reshape(-1, 2))
        same.append(np.zeros(len(match), dtype=bool))
    where = np.array([h[0] for h in crowded], dtype=np.int64)
    return Edges(
        np.concatenate(pairs),
        np.concatenate(same),
        np.column_stack([start[one], end[one]]),
        np.column_stack([low[where], high[where]]),
        unbalanced,
    )


def _through_material(
    points: np.ndarray,
    triangles: np.ndarray,
    half: np.ndarray,
    forward: np.ndarray,
    owner: np.ndarray,
    low: np.ndarray,
    high: np.ndarray,
) -> list[tuple[int, int]]:
    """Pairs of triangles at a crowded edge with material between them, so that touching bodies stay apart.

    Going round the edge, a triangle that runs backward opens a wedge of material and the next forward one closes it.
    """
    a, b = points[low[half[0]]], points[high[half[0]]]
    axis = b - a
    third = triangles[owner[half]].sum(axis=1) - low[half[0]] - high[half[0]]
    out = points[third] - a
    out = out - np.outer(out @ axis, axis) / max(float(axis @ axis), 1e-300)
    frame = out[0], np.cross(axis, out[0])
    scale = max(float(np.linalg.norm(axis)), 1e-300)
    angle = np.arctan2(out @ frame[1] / scale, out @ frame[0])
    turn = half[np.lexsort((~forward[half], angle))]
    stack: list[int] = []
    found: list[tuple[int, int]] = []
    for h in [*turn, *turn]:  # twice round, so that a wedge over the starting angle closes too
        if not forward[h]:
            stack.append(h) if h not in stack and not any(h == x for x, _ in found) else None
        elif stack and not any(h == y for _, y in found):
            found.append((stack.pop(), h))
    return [(int(owner[x]), int(owner[y])) for x, y in found]


def shells(count: int, pairs: np.ndarray) -> np.ndarray:
    """Shell number (m,) of each of `count` triangles, from 0."""
    graph = coo_matrix((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(count, count))
    return np.asarray(connected_components(graph, directed=False)[1])


def flips(count: int, found: Edges) -> np.ndarray | None:
    """Which triangles (m,) must be turned so that neighbours agree, the fewest in each shell; None if no turning helps
    (a one-sided surface).

    Each triangle is a node twice, as it is and turned; agreeing neighbours join like with like, others crosswise.
    """
    if not count:
        return np.zeros(0, dtype=bool)
    p, q = found.pairs.T
    cross = found.same * count
    rows, columns = np.concatenate([p, p + count]), np.concatenate([q + cross, q + count - cross])
    graph = coo_matrix((np.ones(len(rows)), (rows, columns)), shape=(2 * count, 2 * count))
    label = connected_components(graph, directed=False)[1]
    kept, turned = label[:count], label[count:]
    if (kept == turned).any():
        return None
    votes = np.bincount(kept, minlength=label.max() + 1)
    return np.asarray(votes[kept] < votes[turned])


def crossings(points: np.ndarray, triangles: np.ndarray, depth: float) -> np.ndarray:
    """Pairs (c, 2) of triangles without a common point where an edge of one passes through the other by more than
    `depth`."""
    corners = points[triangles]
    low, high = corners.min(axis=1), corners.max(axis=1)
    tree = of_triangles(corners)
    found = [np.zeros((0, 2), np.int64)]
    for start in range(0, len(triangles), 20000):
        part = np.arange(start, min(start + 20000, len(triangles)))

        def overlap(q: np.ndarray, lo: np.ndarray, hi: np.ndarray, part: np.ndarray = part) -> np.ndarray:
            return np.asarray(((lo <= high[part[q]]) & (hi >= low[part[q]])).all(axis=1))

        a, b = tree.touched(len(part), overlap)
        a = part[a]
        a, b = a[a < b], b[a < b]
        apart = (triangles[a][:, :, None] != triangles[b][:, None, :]).all(axis=(1, 2))
        a, b = a[apart], b[apart]
        hit = _pierces(corners[a], corners[b], depth)
        hit |= _pierces(corners[b], corners[a], depth)
        found.append(np.column_stack([a[hit], b[hit]]))
    return np.concatenate(found)


def _pierces(edges_of: np.ndarray, through: np.ndarray, depth: float) -> np.ndarray:
    """Whether an edge of the first triangles (n, 3, 3) passes through the second ones (n, 3, 3)."""
    normal = np.cross(through[:, 1] - through[:, 0], through[:, 2] - through[:, 0])
    size = np.linalg.norm(normal, axis=1)
    unit = np.divide(normal, size[:, None], out=np.zeros_like(normal), where=size[:, None] > 0)
    height = np.einsum("nkj,nj->nk", edges_of - through[:, :1], unit)
    result = np.zeros(len(edges_of), dtype=bool)
    for k in range(3):
        h0, h1 = height[:, k], height[:, (k + 1) % 3]
        opposite = (h0 * h1 < 0) & (np.minimum(np.abs(h0), np.abs(h1)) > depth)
        p0, p1 = edges_of[:, k], edges_of[:, (k + 1) % 3]
        t = np.divide(h0, h0 - h1, out=np.zeros_like(h0), where=opposite)
        at = p0 + t[:, None] * (p1 - p0)
        inside = opposite
        for i in range(3):
            u, v = through[:, i], through[:, (i + 1) % 3]
            # distance of the point from the triangle's edge, so that a touch along an edge is no crossing
            along = v - u
            reach = np.einsum("ij,ij->i", np.cross(along, at - u), unit)
            inside = inside & (reach > depth * np.maximum(np.linalg.norm(along, axis=1), 1e-300))
        result |= inside
    return result
