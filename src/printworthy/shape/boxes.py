"""A tree of boxes over triangles, walked for many questions at once: which may a ray, a box or a ball touch?"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

LEAF = 4
Test = Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray]


class Boxes:
    """Bounding boxes (m, 3), (m, 3) of items in a complete binary tree, items sorted along a space-filling curve."""

    def __init__(self, low: np.ndarray, high: np.ndarray) -> None:
        self.order = np.argsort(_morton(0.5 * (low + high)))
        leaves = 1 << max(0, int(np.ceil(np.log2(max(1, -(-len(low) // LEAF))))))
        full = leaves * LEAF
        lows = np.full((full, 3), np.inf)
        highs = np.full((full, 3), -np.inf)  # an empty box: touched by nothing
        lows[: len(low)], highs[: len(low)] = low[self.order], high[self.order]
        self.item_low, self.item_high = lows, highs
        self.levels = [(lows.reshape(-1, LEAF, 3).min(axis=1), highs.reshape(-1, LEAF, 3).max(axis=1))]
        while len(self.levels[0][0]) > 1:
            lo, hi = self.levels[0]
            self.levels.insert(0, (lo.reshape(-1, 2, 3).min(axis=1), hi.reshape(-1, 2, 3).max(axis=1)))

    def touched(self, count: int, test: Test) -> tuple[np.ndarray, np.ndarray]:
        """Pairs (question number, item number) whose boxes pass `test(question, low, high) -> bool array`."""
        question = np.arange(count)
        node = np.zeros(count, dtype=np.int64)
        for depth, (low, high) in enumerate(self.levels):
            if depth:
                question = np.repeat(question, 2)
                node = (2 * node[:, None] + np.arange(2)).ravel()
            keep = test(question, low[node], high[node])
            question, node = question[keep], node[keep]
        question = np.repeat(question, LEAF)
        item = (LEAF * node[:, None] + np.arange(LEAF)).ravel()
        keep = test(question, self.item_low[item], self.item_high[item])
        return question[keep], self.order[item[keep]]


def of_triangles(corners: np.ndarray, grow: float = 0.0) -> Boxes:
    """Tree over triangles (m, 3, 3), each box grown by `grow`."""
    return Boxes(corners.min(axis=1) - grow, corners.max(axis=1) + grow)


def _morton(points: np.ndarray) -> np.ndarray:
    """Sorting key of points (n, 3): bits of the three coordinates interleaved (Morton 1966), 21 bits each."""
    span = np.ptp(points, axis=0)
    grid = ((points - points.min(axis=0)) / np.where(span > 0, span, 1.0) * (2**21 - 1)).astype(np.uint64)
    key = np.zeros(len(points), dtype=np.uint64)
    for axis in range(3):
        v = grid[:, axis]
        for shift, mask in (
            (32, 0x1F00000000FFFF),
            (16, 0x1F0000FF0000FF),
            (8, 0x100F00F00F00F00F),
            (4, 0x10C30C30C30C30C3),
            (2, 0x1249249249249249),
        ):
            v = (v | (v << np.uint64(shift))) & np.uint64(mask)
        key |= v << np.uint64(axis)
    return key


def first_hits(corners: np.ndarray, origin: np.ndarray, ray: np.ndarray, tree: Boxes | None = None) -> np.ndarray:
    """Distance (n,) along each unit ray (n, 3) from its origin (n, 3) to the first triangle it leaves the solid
    through; inf where there is none. Moeller and Trumbore, J. Graphics Tools 2(1), 1997."""
    tree = tree or of_triangles(corners)
    safe = np.where(np.abs(ray) > 1e-300, ray, 1e-300)

    def slab(q: np.ndarray, low: np.ndarray, high: np.ndarray) -> np.ndarray:
        with np.errstate(invalid="ignore", over="ignore"):  # empty padding boxes are infinite
            a, b = (low - origin[q]) / safe[q], (high - origin[q]) / safe[q]
            return np.asarray(np.maximum(np.minimum(a, b).max(axis=1), 0) <= np.maximum(a, b).min(axis=1)) & (
                low[:, 0] <= high[:, 0]
            )

    q, t = tree.touched(len(origin), slab)
    e1, e2 = corners[t, 1] - corners[t, 0], corners[t, 2] - corners[t, 0]
    p = np.cross(ray[q], e2)
    det = np.einsum("ij,ij->i", e1, p)
    with np.errstate(divide="ignore", invalid="ignore"):
        s = origin[q] - corners[t, 0]
        u = np.einsum("ij,ij->i", s, p) / det
        r = np.cross(s, e1)
        v = np.einsum("ij,ij->i", ray[q], r) / det
        distance = np.einsum("ij,ij->i", e2, r) / det
        leaves = det < 0  # the ray runs with the outward normal
        hit = leaves & (u >= -1e-9) & (v >= -1e-9) & (u + v <= 1 + 1e-9) & (distance > 0)
    first = np.full(len(origin), np.inf)
    np.minimum.at(first, q[hit], distance[hit])
    return first


def nearest(
    corners: np.ndarray, points: np.ndarray, reach: np.ndarray, tree: Boxes | None = None
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Pairs point, triangle and their distance for all triangles whose boxes lie within `reach` (n,) of points (n,
    3)."""
    tree = tree or of_triangles(corners)

    def ball(q: np.ndarray, low: np.ndarray, high: np.ndarray) -> np.ndarray:
        with np.errstate(invalid="ignore"):
            gap = np.maximum(np.maximum(low - points[q], points[q] - high), 0)
            return np.asarray((gap**2).sum(axis=1) <= reach[q] ** 2)

    q, t = tree.touched(len(points), ball)
    return q, t, to_triangle(points[q], corners[t])


def to_triangle(p: np.ndarray, corners: np.ndarray) -> np.ndarray:
    """Distance (n,) of points (n, 3) to one triangle each (n, 3, 3): inside its prism, or to its nearest edge."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    unit = np.divide(normal, size[:, None], out=np.zeros_like(normal), where=size[:, None] > 0)
    inside = size > 0
    edge = np.full(len(p), np.inf)
    for u, v in ((a, b), (b, c), (c, a)):
        along = v - u
        inside &= np.einsum("ij,ij->i", np.cross(along, p - u), unit) >= 0
        length = np.einsum("ij,ij->i", along, along)
        t = np.clip(np.einsum("ij,ij->i", p - u, along) / np.where(length > 0, length, 1.0), 0, 1)
        edge = np.minimum(edge, np.linalg.norm(p - u - t[:, None] * along, axis=1))
    return np.asarray(np.where(inside, np.abs(np.einsum("ij,ij->i", p - a, unit)), edge))
