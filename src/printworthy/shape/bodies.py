"""Shells of triangles -> bodies: what lies inside what, which shells are hollows, which are turned inside out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from printworthy.shape.source import signed_volume
from printworthy.shape.topology import Edges, shells

# Thinner than this share of its size a closed shell is a sheet without thickness.
SHEET = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """triangles (m,) numbers of the triangles of a body with its hollows; volume [mm3]; low, high (3,) [mm];
    hollows how many; `inward` triangles (k,) that face the wrong way; `inside` that it lies within another body's
    material."""

    triangles: np.ndarray
    volume: float
    low: np.ndarray
    high: np.ndarray
    hollows: int
    inward: np.ndarray
    inside: bool


def split(points: np.ndarray, triangles: np.ndarray, found: Edges, joined: np.ndarray | None = None) -> list[Body]:
    """Bodies of triangles (m, 3) by falling volume; `joined` (c, 2) pairs of triangles whose shells are one body."""
    label = shells(len(triangles), found.pairs)
    parts = [np.flatnonzero(label == k) for k in range(int(label.max()) + 1)] if label.max() < 1 else _groups(label)
    corners = points[triangles]
    volume = np.array([signed_volume(corners[p]) for p in parts])
    low = np.array([corners[p].min(axis=(0, 1)) for p in parts])
    high = np.array([corners[p].max(axis=(0, 1)) for p in parts])
    parent = _parents(corners, parts, volume, low, high)
    sign = np.array([-1.0 if volume[_root(parent, k)] < 0 else 1.0 for k in range(len(parts))])
    owner = np.arange(len(parts))
    for k in np.argsort(-np.abs(volume)):
        if sign[k] * volume[k] < 0 and parent[k] >= 0:
            owner[k] = owner[parent[k]]
    if joined is not None and len(joined):
        owner = _merged(owner, label[joined])
    made = []
    for k in np.unique(owner):
        mine = np.flatnonzero(owner == k)
        inner = [m for m in mine if sign[m] * volume[m] < 0]
        numbers = np.sort(np.concatenate([parts[m] for m in mine]))
        inward = np.concatenate([parts[m] for m in mine if sign[m] < 0] or [np.zeros(0, np.int64)])
        within = parent[k] >= 0 and sign[k] * volume[k] > 0 and sign[parent[k]] * volume[parent[k]] > 0
        made.append(
            Body(
                numbers,
                float((sign * volume)[mine].sum()),
                low[mine].min(axis=0),
                high[mine].max(axis=0),
                len(inner),
                inward,
                bool(within),
            )
        )
    return sorted(made, key=lambda b: -float(f"{b.volume:.6g}"))


def _groups(label: np.ndarray) -> list[np.ndarray]:
    order = np.argsort(label, kind="stable")
    return np.split(order, np.cumsum(np.bincount(label))[:-1])


def _root(parent: np.ndarray, k: int) -> int:
    while parent[k] >= 0:
        k = parent[k]
    return k


def _merged(owner: np.ndarray, pairs: np.ndarray) -> np.ndarray:
    """Owners after joining; the smallest number stands for all."""
    owner = owner.copy()
    for a, b in np.unique(pairs, axis=0):
        x, y = owner[a], owner[b]
        owner[owner == max(x, y)] = min(x, y)
    return owner


def _parents(
    corners: np.ndarray, parts: list[np.ndarray], volume: np.ndarray, low: np.ndarray, high: np.ndarray
) -> np.ndarray:
    """For each shell the smallest shell that contains it, or -1."""
    parent = np.full(len(parts), -1)
    size = np.abs(volume)
    for k in range(len(parts)):
        within = (low <= low[k]).all(axis=1) & (high >= high[k]).all(axis=1) & (size > size[k])
        for j in sorted(np.flatnonzero(within), key=lambda j: size[j]):
            if contains(corners[parts[j]], corners[parts[k]]):
                parent[k] = j
                break
    return parent


def contains(outer: np.ndarray, inner: np.ndarray) -> bool:
    """Whether most of nine corners of `inner` (k, 3, 3) lie inside `outer` (m, 3, 3); either may face either way."""
    probe = inner.reshape(-1, 3)[:: max(1, 3 * len(inner) // 9)][:9]
    return bool(np.median(np.abs(winding(outer, probe))) > 0.5)


def winding(corners: np.ndarray, points: np.ndarray) -> np.ndarray:
    """How often triangles (m, 3, 3) wrap round points (n, 3): 1 inside, 0 outside.

    Sum of solid angles over 4 pi; van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30 (1983) 125-126.
    """
    total = np.zeros(len(points))
    for n, p in enumerate(points):
        a, b, c = (corners[:, k] - p for k in range(3))
        la, lb, lc = (np.linalg.norm(v, axis=1) for v in (a, b, c))
        top = np.einsum("ij,ij->i", a, np.cross(b, c))
        dots = (np.einsum("ij,ij->i", x, y) for x, y in ((a, b), (b, c), (c, a)))
        ab, bc, ca = dots
        total[n] = 2.0 * np.arctan2(top, la * lb * lc + ab * lc + bc * la + ca * lb).sum()
    return total / (4.0 * np.pi)


def wrapped_volume(corners: np.ndarray, lines: int = 256) -> float:
    """Volume [mm3] of all places wrapped once or more by closed triangles (m, 3, 3): what is left when overlaps
    count once.

    Lengths inside along a grid of lines, each line's crossings counted up (entering +1, leaving -1).
    """
    low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
    order = np.argsort(high - low)  # lines run along the shortest side, so that they are many
    axes = order[[1, 2, 0]]
    handed = round(float(np.linalg.det(np.eye(3)[axes])))  # a mirrored order of axes swaps entering and leaving
    c = corners[:, :, axes]
    low, high = c.min(axis=(0, 1)), c.max(axis=(0, 1))
    step = (high - low)[:2] / lines
    flat = c[:, :, :2]
    twice = _cross2(flat)
    c, flat, twice = c[twice != 0], flat[twice != 0], twice[twice != 0]
    first = np.ceil((flat.min(axis=1) - low[:2]) / step - 0.5).astype(int).clip(0, lines - 1)
    last = np.floor((flat.max(axis=1) - low[:2]) / step - 0.5).astype(int).clip(-1, lines - 1)
    spans = (last - first + 1).clip(0)
    owner = np.repeat(np.arange(len(c)), spans.prod(axis=1))
    offset = np.arange(len(owner)) - np.repeat(np.cumsum(spans.prod(axis=1)) - spans.prod(axis=1), spans.prod(axis=1))
    i = first[owner, 0] + offset % np.maximum(spans[owner, 0], 1)
    j = first[owner, 1] + offset // np.maximum(spans[owner, 0], 1)
    at = low[:2] + (np.column_stack([i, j]) + 0.5) * step
    f = flat[owner]
    w = np.column_stack(
        [_cross2(np.stack([at, f[:, 1], f[:, 2]], axis=1)), _cross2(np.stack([f[:, 0], at, f[:, 2]], axis=1))]
    )
    w = w / twice[owner][:, None]
    w = np.column_stack([w, 1 - w.sum(axis=1)])
    hit = (w >= 0).all(axis=1)
    line, depth = (i * lines + j)[hit], (w * c[owner][:, :, 2]).sum(axis=1)[hit]
    sense = -handed * np.sign(twice[owner])[hit]  # an upward normal leaves
    turn = np.lexsort((depth, line))
    line, depth, count = line[turn], depth[turn], np.cumsum(sense[turn])
    inside = (line[1:] == line[:-1]) & (count[:-1] >= 0.5)
    return float((np.diff(depth) * inside).sum() * step.prod())


def _cross2(c: np.ndarray) -> np.ndarray:
    """Twice the signed area (m,) of flat triangles (m, 3, 2)."""
    u, v = c[:, 1] - c[:, 0], c[:, 2] - c[:, 0]
    return np.asarray(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0])
