"""The hot loop of the direction engine: criteria at many points for many build directions, compiled; of prints that
are judged along and across their beads, and of the layers of a lay-up, too.

The formulas are those of `criteria`; a test holds the two against each other. One thread each: parts are spread over
processes, and threads that wait for each other by spinning make a busy machine slower, not faster.
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

Array = NDArray[np.float64]
COUNT = 6  # modes, in the order of criteria.MODES


@njit(inline="always")
def _modes(s, f, share, known, out):  # type: ignore[no-untyped-def]  # compiled
    """out (6,) from s (6,) stress, f (6,) X Z S S12 Xc Zc or (8,) with X1 Xc1 along the beads; the last mode, which
    costs most, is 0 where `share` of it cannot exceed what is `known`."""
    _plain_modes(s, f, out)
    out[5] = _any_way(s, f, share, known)


@njit(inline="always")
def _plain_modes(s, f, out):  # type: ignore[no-untyped-def]
    """The modes out (5,) that need no principal stress in space; in the layer by its principal stresses, or along and
    across the beads where strengths along them are given (see criteria.in_layer_beads)."""
    opening = max(s[2], 0.0)
    out[0] = np.sqrt((opening / f[1]) ** 2 + (s[3] * s[3] + s[4] * s[4]) / (f[2] * f[2]))
    out[1] = max(-s[2], 0.0) / f[5]
    if len(f) > COUNT:
        out[2] = max(max(s[0], 0.0) / f[6], max(s[1], 0.0) / f[0])
        out[3] = max(max(-s[0], 0.0) / f[7], max(-s[1], 0.0) / f[4])
        out[4] = abs(s[5]) / f[3]
        return
    middle = 0.5 * (s[0] + s[1])
    radius = np.sqrt((0.5 * (s[0] - s[1])) ** 2 + s[5] * s[5])
    out[2] = max(middle + radius, 0.0) / f[0]
    out[3] = max(radius - middle, 0.0) / f[4]
    out[4] = radius / f[3]


@njit(inline="always")
def _any_way(s, f, share, known):  # type: ignore[no-untyped-def]
    """The last mode, largest principal stress over the strength along the bead; 0 where it is no matter."""
    most = f[6] if len(f) > COUNT else f[0]
    mean = (s[0] + s[1] + s[2]) / 3.0
    a, b, c = s[0] - mean, s[1] - mean, s[2] - mean
    j2 = 0.5 * (a * a + b * b + c * c) + s[3] * s[3] + s[4] * s[4] + s[5] * s[5]
    j3 = a * (b * c - s[3] * s[3]) - s[5] * (s[5] * c - s[3] * s[4]) + s[4] * (s[5] * s[3] - b * s[4])
    r = np.sqrt(j2 / 3.0)
    if share * (mean + 2.0 * r) <= known * most:
        return 0.0
    cube = 2.0 * r * r * r
    ratio = 0.0
    if cube > 0.0:
        ratio = min(1.0, max(-1.0, j3 / cube))
    return max(mean + 2.0 * r * np.cos(np.arccos(ratio) / 3.0), 0.0) / most


@njit(cache=True, nogil=True)
def worst_by_mode(strain, worked, to_stress, free_stress, strengths):  # type: ignore[no-untyped-def]
    """Largest utilisation of every mode and its point, for every direction and case.

    strain (n, c, 6, h) in part axes; worked (h,) factor on the utilisation at each point; to_stress (n, 6, 6) to stress
    in layer axes; free_stress (c, 6) taken off it (thermal); strengths (6,) or (8,) [MPa], see `_modes`. Returns
    utilisation (n, c, 6) and point number (n, c, 6).
    """
    n, c, _, h = strain.shape
    worst = np.zeros((n, c, COUNT))
    where = np.zeros((n, c, COUNT), dtype=np.int64)
    for job in range(n * c):
        i, k = job // c, job % c
        s = np.zeros(6)
        u = np.zeros(COUNT)
        for p in range(h):
            for row in range(6):
                s[row] = -free_stress[k, row]
                for col in range(6):
                    s[row] += to_stress[i, row, col] * strain[i, k, col, p]
            _modes(s, strengths, worked[p], worst[i, k, COUNT - 1], u)
            for mode in range(COUNT):
                if worked[p] * u[mode] > worst[i, k, mode]:
                    worst[i, k, mode] = worked[p] * u[mode]
                    where[i, k, mode] = p
    return worst, where


@njit(cache=True, nogil=True)
def point_field(strain, worked, to_stress, free_stress, strengths):  # type: ignore[no-untyped-def]
    """Largest utilisation over modes and cases at every point, for one direction.

    strain (c, 6, h); worked (h,); to_stress (6, 6); free_stress (c, 6); strengths (6,) or (8,). Returns (h,).
    """
    c, _, h = strain.shape
    field = np.zeros(h)
    s = np.zeros(6)
    u = np.zeros(COUNT)
    for p in range(h):
        for k in range(c):
            for row in range(6):
                s[row] = -free_stress[k, row]
                for col in range(6):
                    s[row] += to_stress[row, col] * strain[k, col, p]
            _plain_modes(s, strengths, u)
            for mode in range(COUNT - 1):
                field[p] = max(field[p], worked[p] * u[mode])
            field[p] = max(field[p], worked[p] * _any_way(s, strengths, worked[p], field[p]))
    return field


def judged_modes(
    strain: Array, worked: Array, to_stress: Array, free: Array, strengths: Array, shares: Array
) -> tuple[Array, NDArray[np.int64]]:
    """Largest utilisation and point (n, c, modes) of strains (n, c, 6, h): over the layers of `shares` (k, 6, 6), each
    by its own stress, or plainly where there are none; strengths (6,) or (8,)."""
    if not len(shares):
        plain: tuple[Array, NDArray[np.int64]] = worst_by_mode(strain, worked, to_stress, free, strengths)
        return plain
    every = [worst_by_mode(strain, worked, share @ to_stress, free @ share.T, strengths) for share in shares]
    worst, where = np.stack([w for w, _ in every]), np.stack([p for _, p in every])
    layer = np.argmax(worst, axis=0)[None]
    return np.take_along_axis(worst, layer, axis=0)[0], np.take_along_axis(where, layer, axis=0)[0]


def judged_field(strain: Array, worked: Array, to_stress: Array, free: Array, strengths: Array, shares: Array) -> Array:
    """Largest utilisation (h,) of strains (c, 6, h) at every point, as `judged_modes`."""
    if not len(shares):
        plain: Array = point_field(strain, worked, to_stress, free, strengths)
        return plain
    every = [point_field(strain, worked, share @ to_stress, free @ share.T, strengths) for share in shares]
    most: Array = np.max(every, axis=0)
    return most


@njit(cache=True, nogil=True)
def lower_halves(rows, more):  # type: ignore[no-untyped-def]
    """Lower halves of symmetric matrices (n, r, r) that are given row by row (n, r (r + 1) / 2), plus `more` (r, r);
    what stands in the upper halves means nothing."""
    n, r = len(rows), len(more)
    full = np.empty((n, r, r))
    for i in range(n):
        place = 0
        for a in range(r):
            for b in range(a + 1):
                full[i, a, b] = rows[i, place] + more[a, b]
                place += 1
    return full


@njit(cache=True, nogil=True)
def stresses(strain, stiffness, weights):  # type: ignore[no-untyped-def]
    """Weighted stress (6, q, k) of strains (6, q, k), column k by stiffness (k, 6, 6), with weights (q,)."""
    _, q, k = strain.shape
    stress = np.empty_like(strain)
    for p in range(q):
        for row in range(6):
            for i in range(k):
                total = 0.0
                for col in range(6):
                    total += stiffness[i, row, col] * strain[col, p, i]
                stress[row, p, i] = weights[p] * total
    return stress
