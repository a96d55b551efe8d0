"""A compiled depth-buffer rasteriser for orthographic pictures of triangles: no screen, no graphics system."""

from __future__ import annotations

import math
import struct
import zlib
from dataclasses import dataclass

import numpy as np
from numba import njit

EDGE_ON = 1e-12  # twice the area [px2] below which a triangle is a line


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """An orthographic camera: rows of `axes` (3, 3) point right, up and towards the eye; `scale` [px/mm]; the point
    `centre` (3,) [mm] is drawn in the middle of `width` by `height` [px]."""

    axes: np.ndarray
    centre: np.ndarray
    scale: float
    width: int
    height: int

    def project(self, points: np.ndarray) -> np.ndarray:
        """Points (n, 3) [mm] to (n, 3): x to the right and y down [px], depth towards the eye [px]."""
        turned = (np.asarray(points, dtype=float) - self.centre) @ self.axes.T * self.scale
        return turned * np.array([1.0, -1.0, 1.0]) + np.array([self.width / 2, self.height / 2, 0.0])


@dataclass(frozen=True, slots=True, eq=False)
class Pixels:
    """What each pixel sees: triangle number (h, w), -1 for nothing, and the weights (h, w, 3) of its corners there."""

    triangle: np.ndarray
    weights: np.ndarray

    def blend(self, corners: np.ndarray) -> np.ndarray:
        """Per-corner values (k, 3, ...) to per-pixel values (h, w, ...); 0 in background pixels."""
        trail = corners.shape[2:]
        flat = np.ascontiguousarray(corners, dtype=np.float64).reshape(len(corners), 3, -1)
        return np.asarray(_blended(self.triangle, self.weights, flat)).reshape(*self.triangle.shape, *trail)


@njit(cache=True)
def _blended(number, weights, corners):  # type: ignore[no-untyped-def]  # compiled
    height, width = number.shape
    out = np.zeros((height, width, corners.shape[2]))
    for row in range(height):
        for column in range(width):
            t = number[row, column]
            if t >= 0:
                for i in range(3):
                    for k in range(corners.shape[2]):
                        out[row, column, k] += weights[row, column, i] * corners[t, i, k]
    return out


def rasterise(screen: np.ndarray, triangles: np.ndarray, width: int, height: int) -> Pixels:
    """The nearest triangle of every pixel.

    screen (n, 3) [px] as `View.project` gives; triangles (k, 3). A pixel belongs to a triangle when its centre lies in
    it; of two at the same depth the later one is seen.
    """
    return Pixels(
        *_stamped(np.ascontiguousarray(screen, dtype=np.float64), np.ascontiguousarray(triangles), width, height)
    )


@njit(cache=True)
def _stamped(screen, triangles, width, height):  # type: ignore[no-untyped-def]  # compiled
    """Triangle numbers (h, w) and corner weights (h, w, 3) by a depth buffer."""
    number = np.full((height, width), -1, np.int64)
    weights = np.zeros((height, width, 3))
    depth = np.full((height, width), -np.inf)
    for t in range(len(triangles)):
        a, b, c = screen[triangles[t, 0]], screen[triangles[t, 1]], screen[triangles[t, 2]]
        ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], c[0] - a[0], c[1] - a[1]
        area = ux * vy - uy * vx
        if abs(area) < EDGE_ON:
            continue
        left = max(0, math.ceil(min(a[0], b[0], c[0]) - 0.5))
        right = min(width - 1, math.floor(max(a[0], b[0], c[0]) - 0.5))
        top = max(0, math.ceil(min(a[1], b[1], c[1]) - 0.5))
        bottom = min(height - 1, math.floor(max(a[1], b[1], c[1]) - 0.5))
        for row in range(top, bottom + 1):
            for column in range(left, right + 1):
                x, y = column + 0.5 - a[0], row + 0.5 - a[1]
                wb, wc = (x * vy - y * vx) / area, (y * ux - x * uy) / area
                if wb < 0 or wc < 0 or wb + wc > 1:
                    continue
                z = a[2] + wb * (b[2] - a[2]) + wc * (c[2] - a[2])
                if z >= depth[row, column]:
                    depth[row, column] = z
                    number[row, column] = t
                    weights[row, column, 0], weights[row, column, 1], weights[row, column, 2] = 1 - wb - wc, wb, wc
    return number, weights


def normals(points: np.ndarray, triangles: np.ndarray) -> np.ndarray:
    """Unit normals (k, 3) of triangles by the right-hand rule; zero for triangles without area."""
    a, b, c = (points[triangles[:, i]] for i in range(3))
    cross = np.cross(b - a, c - a)
    size = np.linalg.norm(cross, axis=1, keepdims=True)
    return cross / np.where(size > 0, size, 1.0)


def corner_normals(triangles: np.ndarray, facet: np.ndarray, crease: float = 35.0) -> np.ndarray:
    """Unit normals (k, 3, 3) at the corners: the mean over the triangles around the vertex that meet within `crease`
    [degree], so that curved faces look curved and sharp edges stay sharp."""
    vertex = triangles.ravel()
    order = np.argsort(vertex, kind="stable")
    sorted_vertex, sorted_normal = vertex[order], facet[order // 3]
    total = sorted_normal.copy()
    limit = np.cos(np.deg2rad(crease))
    for shift in range(1, int(np.bincount(vertex).max())):
        same = sorted_vertex[shift:] == sorted_vertex[:-shift]
        close = same & (np.einsum("ij,ij->i", sorted_normal[shift:], sorted_normal[:-shift]) > limit)
        total[:-shift][close] += sorted_normal[shift:][close]
        total[shift:][close] += sorted_normal[:-shift][close]
    total /= np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-12)
    out = np.zeros_like(total)
    out[order] = total
    return out.reshape(-1, 3, 3)


def png(rgba: np.ndarray) -> bytes:
    """A PNG file of (h, w, 4) bytes; ISO/IEC 15948: 8 bit, colour type 6, each row filtered with 'up'."""
    height, width = rgba.shape[:2]
    rows = rgba.reshape(height, width * 4)
    up = rows.copy()
    up[1:] -= rows[:-1]  # bytes wrap, as the filter wants
    body = np.hstack([np.full((height, 1), 2, dtype=np.uint8), up]).tobytes()

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 6, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(body, 6)) + chunk(b"IEND", b"")
