"""Where to look from: the governing place must be in sight, then the loaded faces and most of the part."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from printworthy.dossier.raster import View, normals

UP = np.array([0.0, 0.0, 1.0])


def axes(toward: np.ndarray, up: np.ndarray) -> np.ndarray:
    """Rows right, up, toward the eye (3, 3) for an eye in direction `toward` (3,) with `up` (3,) drawn upwards."""
    toward = toward / np.linalg.norm(toward)
    right = np.cross(up, toward)
    if np.linalg.norm(right) < 1e-6:  # looking along up: any upright will do
        right = np.cross(np.eye(3)[np.argmin(np.abs(toward))], toward)
    right = right / np.linalg.norm(right)
    return np.stack([right, np.cross(toward, right), toward])


def looks(up: np.ndarray, elevations: Sequence[float]) -> np.ndarray:
    """Candidate directions towards the eye (n, 3): twelve bearings about `up` at each elevation [degree]."""
    frame = axes(np.array([1.0, 0.37, 0.19]), up)  # any frame about up; the odd numbers avoid views along an edge
    side, up = frame[0], up / np.linalg.norm(up)
    other = np.cross(up, side)
    bearing = np.deg2rad(np.arange(0, 360, 30) + 12.0)
    flat = np.cos(bearing)[:, None] * side + np.sin(bearing)[:, None] * other
    rise = np.deg2rad(np.asarray(elevations))
    return (np.cos(rise)[:, None, None] * flat + np.sin(rise)[:, None, None] * up).reshape(-1, 3)


def free_sight(points: np.ndarray, triangles: np.ndarray, start: np.ndarray, directions: np.ndarray) -> np.ndarray:
    """Whether the ray from `start` (3,) along each direction (m, 3) leaves without meeting a triangle (m,) bool.

    The test of T. Moeller and B. Trumbore (1997), all triangles at once; hits nearer than a hair are the start itself.
    """
    a = points[triangles[:, 0]]
    u, v = points[triangles[:, 1]] - a, points[triangles[:, 2]] - a
    hair = 1e-3 * float(np.ptp(points, axis=0).max())
    offset = start - a
    across = np.cross(offset, u)
    along = np.einsum("ij,ij->i", v, across)
    free = np.zeros(len(directions), dtype=bool)
    for i, d in enumerate(directions):
        p = np.cross(d, v)
        det = np.einsum("ij,ij->i", u, p)
        inverse = np.where(np.abs(det) > 1e-12, 1.0, 0.0) / np.where(np.abs(det) > 1e-12, det, 1.0)
        s = np.einsum("ij,ij->i", offset, p) * inverse
        t = across @ d * inverse
        hit = (s >= 0) & (t >= 0) & (s + t <= 1) & (along * inverse > hair) & (inverse != 0)
        free[i] = not hit.any()
    return free


def choose(
    points: np.ndarray,
    triangles: np.ndarray,
    spot: int,
    loaded: Sequence[np.ndarray],
    up: np.ndarray,
    elevations: Sequence[float],
) -> np.ndarray:
    """The direction (3,) towards the eye that shows vertex `spot` and the faces `loaded` (triangle numbers) best, among
    those of `looks`."""
    candidates = looks(up, elevations)
    facet = normals(points, triangles)
    around = facet[(triangles == spot).any(axis=1)]
    outward = around.sum(axis=0) if len(around) else facet[0]
    outward = outward / max(float(np.linalg.norm(outward)), 1e-12)
    size = float(np.ptp(points, axis=0).max())
    sight = free_sight(points, triangles, points[spot] + 2e-3 * size * outward, candidates)
    if not sight.any():  # a skin turned inside out, or not all one way
        outward = -outward
        sight = free_sight(points, triangles, points[spot] + 2e-3 * size * outward, candidates)
    score = 2.0 * sight + 0.8 * np.clip(candidates @ outward, 0, 1)
    for face in loaded:
        weight = np.clip(facet[face] @ candidates.T, 0, None).mean(axis=0)
        score += 0.4 * weight / max(len(loaded), 1)
    # an end-on view is drawn large but hides the length, so spread counts for more than scale
    spread = np.abs(facet @ candidates.T).T @ _areas(points, triangles)
    score += 1.2 * spread / spread.max() + 0.5 * _largeness(points, candidates, up) + 0.1 * (candidates @ up > 0)
    return np.asarray(candidates[int(np.argmax(score))])


def _areas(points: np.ndarray, triangles: np.ndarray) -> np.ndarray:
    a, b, c = (points[triangles[:, i]] for i in range(3))
    return np.asarray(np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2)


def _largeness(points: np.ndarray, candidates: np.ndarray, up: np.ndarray) -> np.ndarray:
    """How large each view draws the part in a picture three wide and two high (m,), 1 at best; none looks along up."""
    right = np.cross(up, candidates)
    right /= np.linalg.norm(right, axis=1, keepdims=True)
    wide, tall = np.ptp(points @ right.T, axis=0), np.ptp(points @ np.cross(candidates, right).T, axis=0)
    scale = 1 / np.maximum(wide / 3, tall / 2)
    return np.asarray(scale / scale.max())


def fit(points: np.ndarray, frame: np.ndarray, width: int, height: int, margin: float) -> View:
    """A view along `frame` that leaves `margin` [px] free all around."""
    turned = points @ frame.T
    low, high = turned.min(axis=0), turned.max(axis=0)
    span = np.maximum(high - low, 1e-9)
    scale = min((width - 2 * margin) / span[0], (height - 2 * margin) / span[1])
    return View(frame, frame.T @ ((low + high) / 2), float(scale), width, height)
