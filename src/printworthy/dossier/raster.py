"""A depth-buffer rasteriser in numpy for orthographic pictures of triangles: no screen, no graphics system."""

from __future__ import annotations

import struct
import zlib
from dataclasses import dataclass

import numpy as np

_CHUNK = 2_000_000  # pixels tested at once; bounds the memory


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
        here = self.triangle >= 0
        at, weights = corners[self.triangle[here]], self.weights[here]
        out = np.zeros((*self.triangle.shape, *corners.shape[2:]))
        trail = (slice(None),) + (None,) * (corners.ndim - 2)
        out[here] = sum(weights[:, i][trail] * at[:, i] for i in range(3))
        return out


def rasterise(screen: np.ndarray, triangles: np.ndarray, width: int, height: int) -> Pixels:
    """The nearest triangle of every pixel.

    screen (n, 3) [px] as `View.project` gives; triangles (k, 3). A pixel belongs to a triangle when its centre lies in
    it. Triangles are taken in classes of box size, all pixels of a class at once; a pixel's key is depth, then number.
    """
    corners = screen[triangles]
    low = np.clip(np.ceil(corners[:, :, :2].min(axis=1) - 0.5).astype(int), 0, (width, height))
    high = np.clip(np.floor(corners[:, :, :2].max(axis=1) - 0.5).astype(int) + 1, 0, (width, height))
    size = (high - low).max(axis=1)
    open_box = (high > low).all(axis=1)
    depth = screen[:, 2]
    near, span = depth.min(), max(float(np.ptp(depth)), 1e-9)
    keys = np.zeros(width * height, dtype=np.uint64)
    edge = 2
    smallest = 0
    while smallest < max(width, height):
        chosen = np.flatnonzero(open_box & (size > smallest) & (size <= edge))
        step = max(1, _CHUNK // edge**2)
        for start in range(0, len(chosen), step):
            _stamp(keys, corners, chosen[start : start + step], low, high, (width, near, span))
        smallest, edge = edge, edge * 2
    number = (keys & np.uint64(0xFFFFFFFF)).astype(np.int64) - 1
    number = number.reshape(height, width)
    return Pixels(number, _weights(corners, number))


def _stamp(
    keys: np.ndarray,
    corners: np.ndarray,
    chosen: np.ndarray,
    low: np.ndarray,
    high: np.ndarray,
    frame: tuple[int, float, float],
) -> None:
    """Write the keys of the triangles `chosen`, which have boxes of like size."""
    width, near, span = frame
    wide, tall = (high[chosen] - low[chosen]).max(axis=0)
    dy, dx = np.divmod(np.arange(wide * tall), wide)
    px = low[chosen, 0, None] + dx
    py = low[chosen, 1, None] + dy
    inside_box = (px < high[chosen, 0, None]) & (py < high[chosen, 1, None])
    first, b, c, flat = _edges(corners[chosen])
    x, y = px + 0.5 - first[:, 0, None], py + 0.5 - first[:, 1, None]
    wb = x * b[:, 0, None] + y * b[:, 1, None]
    wc = x * c[:, 0, None] + y * c[:, 1, None]
    hit = inside_box & (wb >= 0) & (wc >= 0) & (wb + wc <= 1) & ~flat[:, None]
    row, column = np.nonzero(hit)
    z = corners[chosen, :, 2]
    depth = z[row, 0] + wb[row, column] * (z[row, 1] - z[row, 0]) + wc[row, column] * (z[row, 2] - z[row, 0])
    # one is added to both parts so that 0 stays free for "nothing here"
    level = ((depth - near) / span * 4.0e9).clip(0, 4.0e9).astype(np.uint64) + np.uint64(1)
    key = (level << np.uint64(32)) | (chosen[row] + 1).astype(np.uint64)
    np.maximum.at(keys, py[row, column] * width + px[row, column], key)


def _edges(corners: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """First corner (m, 2), the two rows (m, 2) that turn a point into weights, and which triangles are edge-on (m,)."""
    first = corners[:, 0, :2]
    u, v = corners[:, 1, :2] - first, corners[:, 2, :2] - first
    area = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    flat = np.abs(area) < 1e-12
    safe = np.where(flat, 1.0, area)[:, None]
    b = np.stack([v[:, 1], -v[:, 0]], axis=1) / safe
    c = np.stack([-u[:, 1], u[:, 0]], axis=1) / safe
    return first, b, c, flat


def _weights(corners: np.ndarray, number: np.ndarray) -> np.ndarray:
    """Corner weights (h, w, 3) at the pixel centres, 0 where nothing is seen."""
    here = number >= 0
    py, px = np.nonzero(here)
    first, b, c, _ = (a[number[here]] for a in _edges(corners))
    x, y = px + 0.5 - first[:, 0], py + 0.5 - first[:, 1]
    wb = x * b[:, 0] + y * b[:, 1]
    wc = x * c[:, 0] + y * c[:, 1]
    out = np.zeros((*number.shape, 3))
    out[here] = np.stack([1 - wb - wc, wb, wc], axis=-1)
    return out


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
