"""Smooth patches: what a person calls one face, on CAD and on triangles alike.

On triangles a patch is found in three steps. Neighbours within `FLAT` of one plane make a cell: a flat, or one
strip of a curved face. Cells that meet at less than `SMOOTH` belong together when their curvature, the turning of
the surface across the cell's edges over its width, has the same sign and agrees within `RATIO`: so a round stays
one patch, and a flat is kept apart from the fillet that runs smoothly into it, as in CAD. Two cells alone are two
flats, not a round.
"""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from printworthy.shape.source import areas, normals
from printworthy.shape.topology import edges

FLAT = np.radians(0.5)  # above the noise of single-precision corners, below the step of any useful tessellation
SMOOTH = np.radians(30.0)  # a circle drawn with 12 sides is still one patch, a hexagon is six
ROUNDS = 12
SLIVER, SLIVER_RATIO = 1e-3, 30.0  # share of the skin; a sliver's curvature is known only roughly
RATIO = 3.0  # strips of one round differ by less (their outlines are cut), a flat and its fillet by more


def grow(points: np.ndarray, triangles: np.ndarray) -> np.ndarray:
    """Patch number (m,) from 0 of triangles (m, 3) over points (n, 3) [mm], numbered by falling area."""
    corners = points[triangles]
    area = areas(corners)
    pairs = edges(points, triangles).pairs
    unit = _normals_with_needles(corners, area, triangles, pairs)
    a, b = pairs.T
    turn = np.arctan2(np.linalg.norm(np.cross(unit[a], unit[b]), axis=1), np.einsum("ij,ij->i", unit[a], unit[b]))
    length, bulge = _shared_edge(points, triangles, unit, pairs)
    cell = _joined(len(triangles), pairs[turn < FLAT])
    p, q = cell[a], cell[b]
    smooth = (turn >= FLAT) & (turn < SMOOTH) & (p != q)
    cells = int(cell.max()) + 1
    size = np.bincount(cell, weights=area, minlength=cells)
    bend = np.zeros(cells)
    for end in (p, q):
        bend += np.bincount(end[smooth], weights=(turn * length * bulge)[smooth], minlength=cells)
    label = _alike(np.column_stack([p, q])[smooth], bend / 2.0, size)
    pair_only = np.bincount(label)[label] == 2
    label = np.where(pair_only, label.max() + 1 + np.arange(cells), label)
    return _by_area(label[cell], area)


def _alike(pairs: np.ndarray, bend: np.ndarray, size: np.ndarray) -> np.ndarray:
    """Label (n,) of cells joined over smooth edges (p, 2) while the mean curvature, bend over size, of what is
    joined so far agrees; means over the growing patch even out the cut outlines of single cells."""
    label = np.arange(len(size))
    for _ in range(ROUNDS):
        mean = np.bincount(label, weights=bend) / np.maximum(np.bincount(label, weights=size), 1e-300)
        x, y = mean[label[pairs]].T
        low, high = np.minimum(np.abs(x), np.abs(y)), np.maximum(np.abs(x), np.abs(y))
        merged = _joined(len(mean), label[pairs][(x * y > 0) & (high < RATIO * low)])
        if len(np.unique(merged)) == len(mean):
            break
        label = merged[label]
    return _slivers_joined(label, pairs, bend, size)


def _slivers_joined(label: np.ndarray, pairs: np.ndarray, bend: np.ndarray, size: np.ndarray) -> np.ndarray:
    """Labels with each sliver given to the smooth neighbour that bends most nearly as it does; slivers come from
    irregular triangles on fillets, where the curvature of single cells scatters."""
    area = np.bincount(label, weights=size)
    mean = np.bincount(label, weights=bend) / np.maximum(area, 1e-300)
    both = label[np.concatenate([pairs, pairs[:, ::-1]])]
    a, b = both[(both[:, 0] != both[:, 1])].T
    use = (area[a] < SLIVER * area.sum()) & (area[b] > area[a]) & (mean[a] * mean[b] > 0)
    a, b = a[use], b[use]
    ratio = np.abs(np.log(mean[a] / mean[b]))
    order = np.lexsort((ratio, a))
    a, b, ratio = a[order], b[order], ratio[order]
    first = np.unique(a, return_index=True)[1]
    first = first[ratio[first] < np.log(SLIVER_RATIO)]
    return np.asarray(_joined(len(area), np.column_stack([a[first], b[first]]))[label])


def _joined(count: int, pairs: np.ndarray) -> np.ndarray:
    graph = coo_matrix((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(count, count))
    return np.asarray(connected_components(graph, directed=False)[1])


def _by_area(label: np.ndarray, area: np.ndarray) -> np.ndarray:
    _, label = np.unique(label, return_inverse=True)
    rank = np.zeros(label.max() + 1, dtype=np.int64)
    rank[np.argsort(-np.bincount(label, weights=area), kind="stable")] = np.arange(len(rank))
    return np.asarray(rank[label])


def _normals_with_needles(
    corners: np.ndarray, area: np.ndarray, triangles: np.ndarray, pairs: np.ndarray
) -> np.ndarray:
    """Unit normals; a triangle without area takes that of its neighbour across its longest edge, whose plane it
    lies in."""
    unit = normals(corners)
    edge = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2)
    longest = edge.argmax(axis=1)
    needle = 2 * area < 1e-6 * edge.max(axis=1) ** 2
    if not needle.any():
        return unit
    both = np.concatenate([pairs, pairs[:, ::-1]])
    both = both[needle[both[:, 0]]]
    t, u = both.T
    ends = np.take_along_axis(triangles[t], np.column_stack([longest[t], (longest[t] + 2) % 3]), axis=1)
    across = (ends[:, :, None] == triangles[u][:, None, :]).any(axis=2).all(axis=1)
    t, u = t[across], u[across]
    for _ in range(4):  # needles lie beside needles
        unit[t] = unit[u]
    return unit


def _shared_edge(
    points: np.ndarray, triangles: np.ndarray, unit: np.ndarray, pairs: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Length (p,) [mm] of the edge of each pair, and +1 where the surface bulges outwards there, -1 inwards."""
    a, b = pairs.T
    on_a = (triangles[a][:, :, None] == triangles[b][:, None, :]).any(axis=2)
    on_b = (triangles[b][:, :, None] == triangles[a][:, None, :]).any(axis=2)
    lone = np.argmin(on_a, axis=1)
    u, v = (points[np.take_along_axis(triangles[a], ((lone + k) % 3)[:, None], axis=1)[:, 0]] for k in (1, 2))
    far = points[np.take_along_axis(triangles[b], np.argmin(on_b, axis=1)[:, None], axis=1)[:, 0]]
    height = np.einsum("ij,ij->i", far - u, unit[a])
    return np.linalg.norm(v - u, axis=1), np.where(height <= 0, 1.0, -1.0)
