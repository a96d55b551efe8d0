"""Triangles as read -> triangles that hang together: equal points merged, double and empty triangles found."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from printworthy.shape.source import areas
from printworthy.shape.topology import edges

# Single-precision files carry 24 bits, so equal corners written by different facets differ by up to two of the last.
SAME_POINT = 2.5e-7  # of the largest coordinate


def weld(points: np.ndarray, triangles: np.ndarray, piece: np.ndarray | None = None) -> tuple[np.ndarray, np.ndarray]:
    """Merge points (n, 3) that are equal within the file's precision; points of different pieces (m,) stay apart.

    This is reading, not mending: STL writes every corner anew.
    """
    used, index = np.unique(triangles, return_inverse=True)
    points, triangles = points[used] + 0.0, index.reshape(-1, 3)
    tolerance = SAME_POINT * float(np.abs(points).max())
    lifted = points
    if piece is not None:  # a fourth coordinate keeps the pieces apart
        owner = np.zeros(len(points))
        owner[triangles.ravel()] = np.repeat(piece, 3)
        lifted = np.column_stack([points, owner * 10 * (tolerance + 1.0)])
    pairs = cKDTree(lifted).query_pairs(tolerance, output_type="ndarray")
    if not len(pairs):
        return points, triangles
    graph = coo_matrix((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(points), len(points)))
    label = connected_components(graph, directed=False)[1]
    first = np.unique(label, return_index=True)[1]
    return points[first], label[triangles]


def collapsed(triangles: np.ndarray) -> np.ndarray:
    """Which triangles (m,) use one point twice: no area, and nothing changes without them."""
    return np.asarray((triangles == np.roll(triangles, 1, axis=1)).any(axis=1))


def needles(points: np.ndarray, triangles: np.ndarray) -> np.ndarray:
    """Which triangles (m,) have three points on a line: no area, but they hold their neighbours together."""
    corners = points[triangles]
    longest = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
    flat = 2 * areas(corners) <= SAME_POINT * float(np.abs(points).max()) * longest
    return np.asarray(flat & ~collapsed(triangles))


def doubled(points: np.ndarray, triangles: np.ndarray) -> tuple[np.ndarray, int, int]:
    """Triangles to keep (m,), and how many were copies and how many lay back to back on another (no thickness).

    Back to back pairs enclose nothing. A copy facing the same way is dropped unless that would open the surface.
    """
    odd = _odd(triangles)
    _, group = np.unique(np.sort(triangles, axis=1), axis=0, return_inverse=True)
    group = group.ravel()
    keep = np.ones(len(triangles), dtype=bool)
    back = 0
    for g in np.flatnonzero(np.bincount(group) > 1):
        one, other = np.flatnonzero((group == g) & ~odd), np.flatnonzero((group == g) & odd)
        n = min(len(one), len(other))
        keep[one[:n]] = keep[other[:n]] = False
        back += 2 * n
    without = keep.copy()
    numbers = np.flatnonzero(keep)
    first = np.unique(np.column_stack([group, odd])[numbers], axis=0, return_index=True)[1]
    without[np.delete(numbers, first)] = False
    copies = int(keep.sum() - without.sum())
    if copies and _openness(points, triangles[without]) > _openness(points, triangles[keep]):
        return keep, 0, back
    return without, copies, back


def _odd(triangles: np.ndarray) -> np.ndarray:
    """Whether the corners are an odd permutation of their sorted order."""
    a, b, c = triangles.T
    return np.asarray(((a > b).astype(int) + (b > c) + (a > c)) % 2 == 1)


def _openness(points: np.ndarray, triangles: np.ndarray) -> int:
    found = edges(points, triangles)
    return len(found.gaps) + found.unbalanced
