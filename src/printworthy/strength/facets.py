"""Facets of a tessellated round: their spacing where a peak lies.

A round hole or fillet drawn with flat facets has a concave edge between every two, a weak corner at which elastic
stress has no limit. The spacing of those edges is the finest detail the file knows of the part.
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.shape import Surface
from printworthy.shape.source import areas, normals
from printworthy.shape.topology import edges

Array = NDArray[np.float64]
LEAST, MOST = np.radians(1.0), np.radians(45.0)  # turn between facets of one round: noise below, true corners above


def facet_length(surface: Surface, point: ArrayLike, reach: float, true: Collection[int] = frozenset()) -> float | None:
    """Median spacing [mm] of the concave facet edges that pass within `reach` [mm] of a point; None if none does.

    Edges between patches that are both in `true` do not count: those are meshed as the rounds they stand for. Spacing
    of an edge: the smaller height of its two triangles over it. Own derivation.
    """
    pairs = edges(surface.points, surface.triangles).pairs
    corners, triangles = surface.corners, surface.triangles
    near = _distance(corners, np.asarray(point, float)) <= reach
    pairs = pairs[near[pairs].any(axis=1)]
    if not len(pairs):
        return None
    a, b = pairs.T
    unit = normals(corners)
    turn = np.arctan2(np.linalg.norm(np.cross(unit[a], unit[b]), axis=1), np.einsum("ij,ij->i", unit[a], unit[b]))
    shared = (triangles[a][:, :, None] == triangles[b][:, None, :]).any(axis=2)
    lone = np.argmin(shared, axis=1)
    start, end = (
        surface.points[np.take_along_axis(triangles[a], ((lone + k) % 3)[:, None], axis=1)[:, 0]] for k in (1, 2)
    )
    middle_b = corners[b].mean(axis=1)
    concave = np.einsum("ij,ij->i", middle_b - start, unit[a]) > 0
    bent = ~np.isin(surface.patches, list(true))[pairs].all(axis=1)
    chosen = (
        bent & concave & (turn > LEAST) & (turn < MOST) & (_to_segments(start, end, np.asarray(point, float)) <= reach)
    )
    if not chosen.any():
        return None
    area = np.minimum(areas(corners[a]), areas(corners[b]))
    spacing = 2 * area / np.linalg.norm(end - start, axis=1)
    return float(np.quantile(spacing[chosen], 0.5, method="higher"))


def _to_segments(start: Array, end: Array, point: Array) -> Array:
    """Distance (n,) of a point to segments."""
    along = end - start
    t = np.clip(np.einsum("ij,ij->i", point - start, along) / np.einsum("ij,ij->i", along, along), 0, 1)
    return np.asarray(np.linalg.norm(start + t[:, None] * along - point, axis=1))


def _distance(corners: Array, point: Array) -> Array:
    """Distance (m,) of a point to the nearest edge of each triangle (m, 3, 3)."""
    sides = [_to_segments(corners[:, i], corners[:, (i + 1) % 3], point) for i in range(3)]
    return np.asarray(np.min(sides, axis=0))
