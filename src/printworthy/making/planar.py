"""Plane geometry of one silhouette per axis: hull, least rectangle, fit on the bed, foot. Compiled.

Every axis n gets the frame of its least rectangle: U along the longer side, V along the shorter, n upwards. What is
built against the axis is seen in the same U and V.
"""

from __future__ import annotations

import math

import numpy as np

from printworthy.making.compiled import compiled

SAME = 1e-9  # of the span: points nearer to each other are one point, up to rounding
NO_TURN = 2 * math.pi - 1e-9  # a caliper that seems to need this much turning has its edge already, up to rounding


@compiled
def hull(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Numbers (k,) of the corners of the convex hull of points x, y (n,), counter-clockwise, none on a side between
    two.

    Monotone chain (Andrew 1979, from memory).
    """
    first = np.argsort(y, kind="mergesort")
    order = first[np.argsort(x[first], kind="mergesort")]
    n = len(order)
    found = np.zeros(2 * n, np.int64)
    k = floor = 0
    for step in range(2 * n - 1):  # along the lower side, then back along the upper one
        if step == n:
            floor = k - 1
        p = order[step] if step < n else order[2 * n - 2 - step]
        while k >= floor + 2:
            a, b = found[k - 2], found[k - 1]
            if (x[b] - x[a]) * (y[p] - y[a]) - (y[b] - y[a]) * (x[p] - x[a]) > 0:
                break
            k -= 1
        found[k] = p
        k += 1
    return found[: max(1, k - 1)]  # the last is the first again


@compiled
def crossing(ax: float, ay: float, bx: float, by: float, gap: float, start: float, turn: float) -> np.ndarray:
    """Angles (2,) in [start, start + turn] at which width a(t) = ax cos t + ay sin t exceeds b(t) = by cos t - bx sin t
    by `gap`; `start` where there is none."""
    found = np.full(2, start)
    c, s = ax - by, ay + bx
    size = math.hypot(c, s)
    if size <= abs(gap) or size == 0.0:
        return found
    middle, half = math.atan2(s, c), math.acos(gap / size)
    for i in range(2):
        t = middle + (half if i == 0 else -half)
        t = start + (t - start) % (2 * math.pi)
        if t <= start + turn:
            found[i] = t
    return found


@compiled
def calipers(x: np.ndarray, y: np.ndarray, width: float, depth: float) -> tuple[float, float]:
    """Turn a rectangle once round a convex polygon with corners x, y (k,), counter-clockwise.

    Returns the angle [rad] of the rectangle of least area (one of its sides lies on a side of the polygon: Freeman and
    Shapira 1975, from memory) and the least length [mm] by which the polygon, turned at will, stands over a bed of
    `width` by `depth` (negative: room left on the tighter side). Between two angles at which a side of the polygon lies
    on the rectangle, both widths are cosines, so the least of their larger excess is at an end or where the two are
    equal.
    """
    k = len(x)
    angle = math.atan2(y[1] - y[0], x[1] - x[0])
    c, s = math.cos(angle), math.sin(angle)
    at = np.zeros(4, np.int64)  # corners furthest down, right, up, left in the turning frame
    for side, (p, q) in enumerate(((s, -c), (c, s), (-s, c), (-c, -s))):
        at[side] = np.argmax(p * x + q * y)
    turned, least, best, over = 0.0, np.inf, angle, np.inf
    while turned < math.pi:
        step, mover = math.pi, 0
        for side in range(4):
            i, j = at[side], (at[side] + 1) % k
            need = (math.atan2(y[j] - y[i], x[j] - x[i]) - angle - side * math.pi / 2) % (2 * math.pi)
            need = 0.0 if need > NO_TURN else need
            if need < step:
                step, mover = need, side
        ax, ay = x[at[1]] - x[at[3]], y[at[1]] - y[at[3]]
        bx, by = x[at[2]] - x[at[0]], y[at[2]] - y[at[0]]
        equal = crossing(ax, ay, bx, by, width - depth, angle, step)
        for t in (angle, angle + step, equal[0], equal[1]):
            c, s = math.cos(t), math.sin(t)
            a, b = ax * c + ay * s, by * c - bx * s
            over = min(over, max(a - width, b - depth))
            if a * b < least:
                least, best = a * b, t
        angle, turned = angle + step, turned + step
        at[mover] = (at[mover] + 1) % k
    return best, over


def across(directions: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Two unit vectors (N, 3) across each direction (N, 3) and each other; with it they turn right-handed."""
    aside = np.eye(3)[np.argmin(np.abs(directions), axis=1)]
    E = np.cross(aside, directions)
    E /= np.linalg.norm(E, axis=1, keepdims=True)
    return E, np.cross(directions, E)


@compiled
def least_boxes(
    points: np.ndarray, E: np.ndarray, F: np.ndarray, directions: np.ndarray, width: float, depth: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """For points (k, 3) of a convex hull [mm], unit directions (N, 3) and E, F `across` them: U (N, 3), V (N, 3), low
    (N, 3) and size (N, 3) [mm] of the least box about n along U, V, n, and over (N,) [mm], see `calipers`."""
    n = len(directions)
    U, V, low, size, over = np.zeros((n, 3)), np.zeros((n, 3)), np.zeros((n, 3)), np.zeros((n, 3)), np.zeros(n)
    for d in range(n):
        x, y, z = points @ E[d], points @ F[d], points @ directions[d]
        corners = hull(x, y)
        turn, over[d] = calipers(x[corners], y[corners], width, depth)
        c, s = math.cos(turn), math.sin(turn)
        u, v = c * x + s * y, c * y - s * x
        for i in range(3):
            U[d, i], V[d, i] = c * E[d, i] + s * F[d, i], c * F[d, i] - s * E[d, i]
        if u.max() - u.min() < v.max() - v.min():
            for i in range(3):
                U[d, i], V[d, i] = V[d, i], -U[d, i]
            u, v = v, -u
        for i, w in enumerate((u, v, z)):
            low[d, i], size[d, i] = w.min(), w.max() - w.min()
    return U, V, low, size, over


@compiled
def inside_by(x: np.ndarray, y: np.ndarray) -> float:
    """How far [mm] the origin lies inside the convex hull of points x, y (n,): to its nearest side; negative
    outside. A side whose ends are one point up to rounding has no direction: the sides beside it stand for it."""
    if len(x) == 0:
        return -np.inf
    corners = hull(x, y)
    k = len(corners)
    inner, outer = np.inf, np.inf
    span = max(x.max() - x.min(), y.max() - y.min())
    for i in range(k):
        ax, ay = x[corners[i]], y[corners[i]]
        bx, by = x[corners[(i + 1) % k]], y[corners[(i + 1) % k]]
        length = math.hypot(bx - ax, by - ay)
        t = 0.0
        if length > SAME * span:
            inner = min(inner, (ax * by - ay * bx) / length)
            t = min(1.0, max(0.0, -(ax * (bx - ax) + ay * (by - ay)) / length**2))
        outer = min(outer, math.hypot(ax + t * (bx - ax), ay + t * (by - ay)))
    return inner if k > 2 and inner >= 0 else -outer


@compiled
def foot(x: np.ndarray, y: np.ndarray, z: np.ndarray, facets: np.ndarray, layer: float) -> np.ndarray:
    """Points (q, 2) [mm] that span the skin below height `layer`: its corners there, and where its edges cross it."""
    count = 0
    low = z <= layer
    for i in range(len(z)):
        count += low[i]
    for t in range(len(facets)):
        for i in range(3):
            count += low[facets[t, i]] != low[facets[t, (i + 1) % 3]]
    found = np.zeros((count, 2))
    k = 0
    for i in range(len(z)):
        if low[i]:
            found[k, 0], found[k, 1] = x[i], y[i]
            k += 1
    for t in range(len(facets)):
        for i in range(3):
            a, b = facets[t, i], facets[t, (i + 1) % 3]
            if low[a] != low[b]:
                share = (layer - z[a]) / (z[b] - z[a])
                found[k, 0], found[k, 1] = x[a] + share * (x[b] - x[a]), y[a] + share * (y[b] - y[a])
                k += 1
    return found


@compiled
def tip_slopes(
    points: np.ndarray, facets: np.ndarray, directions: np.ndarray, U: np.ndarray, V: np.ndarray, base: np.ndarray,
    layer: float, landing: np.ndarray,
) -> tuple[np.ndarray, np.ndarray]:  # fmt: skip
    """Slopes (N,) [-] of the bed at which the part tips over: alone, and with its supports (see `lay_figures`).

    points (n, 3) [mm] from the centre of mass; base (N,) [mm] height of the bed along each direction; landing (N, q, 2)
    [mm] where supports stand on the bed along U and V, nan where there are none.
    """
    n = len(directions)
    alone, held = np.zeros(n), np.zeros(n)
    for d in range(n):
        x, y, z = points @ U[d], points @ V[d], points @ directions[d] - base[d]
        own = foot(x, y, z, facets, layer)
        lever = -base[d]  # height of the centre of mass over the bed
        alone[d] = inside_by(own[:, 0].copy(), own[:, 1].copy()) / lever
        there = landing[d][~np.isnan(landing[d, :, 0])]
        both = np.concatenate((own, there))
        held[d] = inside_by(both[:, 0].copy(), both[:, 1].copy()) / lever
    return alone, held
