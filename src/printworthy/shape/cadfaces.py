"""CAD faces that are one face to a person: halves of one cylinder, pieces of one plane."""

from __future__ import annotations

import numpy as np
from scipy.optimize import least_squares
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from printworthy.shape.source import Surface, normals
from printworthy.shape.topology import edges

EXACT = 1e-5  # of the diagonal: the kernel's points lie on their face to about 1e-7 of it
Fit = tuple[np.ndarray, np.ndarray, float]  # direction, point, radius; radius 0 is a plane


def joined(surface: Surface) -> np.ndarray:
    """Patch number (m,) of each triangle: its CAD face, joined with touching faces of the same plane or cylinder."""
    tolerance = EXACT * float(np.linalg.norm(np.ptp(surface.points, axis=0)))
    names, face = np.unique(surface.faces, return_inverse=True)
    fits = [_fit(surface, np.flatnonzero(face == k), tolerance) for k in range(len(names))]
    touching = np.unique(np.sort(face[edges(surface.points, surface.triangles).pairs], axis=1), axis=0)
    same = [(a, b) for a, b in touching if a != b and _same(fits[a], fits[b], tolerance)]
    pairs = np.array(same, dtype=np.int64).reshape(-1, 2)
    graph = coo_matrix((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(names), len(names)))
    return np.asarray(connected_components(graph, directed=False)[1][face])


def _fit(surface: Surface, triangles: np.ndarray, tolerance: float) -> Fit | None:
    """The plane or cylinder on which all corners of some triangles lie, or None."""
    corners = surface.corners[triangles]
    points = surface.points[np.unique(surface.triangles[triangles])]
    middle = points.mean(axis=0)
    thin = np.linalg.svd(points - middle, full_matrices=False)[2][-1]
    if np.abs((points - middle) @ thin).max() <= tolerance:
        return thin, middle, 0.0
    unit = normals(corners)
    _, spread, frame = np.linalg.svd(unit, full_matrices=True)
    if len(points) < 6 or (len(spread) > 2 and spread[2] > 0.15 * spread[1]):
        return None  # normals of a cylinder lie in a plane
    return _cylinder(points - middle, middle, frame, tolerance)


def _cylinder(points: np.ndarray, middle: np.ndarray, frame: np.ndarray, tolerance: float) -> Fit | None:
    """Cylinder through points (n, 3) about `middle`, its axis near the last row of `frame` (3, 3)."""
    u, v, w = frame

    def parts(x: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        axis = w + x[0] * u + x[1] * v
        axis = axis / np.linalg.norm(axis)
        center = x[2] * u + x[3] * v
        across = points - center
        return axis, center, np.linalg.norm(across - np.outer(across @ axis, axis), axis=1)

    flat = np.column_stack([points @ u, points @ v])
    solution = np.linalg.lstsq(np.column_stack([2 * flat, np.ones(len(flat))]), (flat**2).sum(axis=1), rcond=None)[0]
    radius = np.sqrt(max(solution[2] + solution[0] ** 2 + solution[1] ** 2, 1e-30))
    start = np.array([0.0, 0.0, solution[0], solution[1], radius])
    found = least_squares(lambda x: parts(x)[2] - x[4], start, x_scale=[1, 1, radius, radius, radius], max_nfev=30).x
    axis, center, distance = parts(found)
    return (axis, middle + center, float(found[4])) if np.abs(distance - found[4]).max() <= tolerance else None


def _same(a: Fit | None, b: Fit | None, tolerance: float) -> bool:
    """Whether two fits are one plane or one cylinder."""
    if a is None or b is None or (a[2] == 0) != (b[2] == 0) or abs(a[2] - b[2]) > 10 * tolerance:
        return False
    if np.linalg.norm(np.cross(a[0], b[0])) > 1e-3:
        return False
    gap = b[1] - a[1]
    off = abs(gap @ a[0]) if a[2] == 0 else np.linalg.norm(gap - (gap @ a[0]) * a[0])
    return bool(off <= 100 * tolerance)
