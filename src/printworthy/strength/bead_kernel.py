"""The hot loop of `kernel` for prints that are judged along and across their beads, and for the layers of a lay-up."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

from printworthy.strength import kernel
from printworthy.strength.kernel import COUNT, _any_way

Array = NDArray[np.float64]


@njit(inline="always")
def _bead_modes(s, f, out):  # type: ignore[no-untyped-def]  # compiled
    """The modes out (5,) that need no principal stress; f (8,) X Z S S12 Xc Zc X1 Xc1, see criteria.in_layer_beads."""
    opening = max(s[2], 0.0)
    out[0] = np.sqrt((opening / f[1]) ** 2 + (s[3] * s[3] + s[4] * s[4]) / (f[2] * f[2]))
    out[1] = max(-s[2], 0.0) / f[5]
    out[2] = max(max(s[0], 0.0) / f[6], max(s[1], 0.0) / f[0])
    out[3] = max(max(-s[0], 0.0) / f[7], max(-s[1], 0.0) / f[4])
    out[4] = abs(s[5]) / f[3]


@njit(cache=True, nogil=True)
def worst_by_mode(strain, worked, to_stress, free_stress, strengths):  # type: ignore[no-untyped-def]
    """As `kernel.worst_by_mode`, for strengths (8,)."""
    n, c, _, h = strain.shape
    worst = np.zeros((n, c, COUNT))
    where = np.zeros((n, c, COUNT), dtype=np.int64)
    s = np.zeros(6)
    u = np.zeros(COUNT)
    for i in range(n):
        for k in range(c):
            for p in range(h):
                for row in range(6):
                    s[row] = -free_stress[k, row]
                    for col in range(6):
                        s[row] += to_stress[i, row, col] * strain[i, k, col, p]
                _bead_modes(s, strengths, u)
                u[5] = _any_way(s, strengths[6:], worked[p], worst[i, k, COUNT - 1])
                for mode in range(COUNT):
                    if worked[p] * u[mode] > worst[i, k, mode]:
                        worst[i, k, mode] = worked[p] * u[mode]
                        where[i, k, mode] = p
    return worst, where


@njit(cache=True, nogil=True)
def point_field(strain, worked, to_stress, free_stress, strengths):  # type: ignore[no-untyped-def]
    """As `kernel.point_field`, for strengths (8,)."""
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
            _bead_modes(s, strengths, u)
            for mode in range(COUNT - 1):
                field[p] = max(field[p], worked[p] * u[mode])
            field[p] = max(field[p], worked[p] * _any_way(s, strengths[6:], worked[p], field[p]))
    return field


def judged_modes(
    strain: Array, worked: Array, to_stress: Array, free: Array, strengths: Array, shares: Array
) -> tuple[Array, NDArray[np.int64]]:
    """Largest utilisation and point (n, c, modes) of strains (n, c, 6, h): over the layers of `shares` (k, 6, 6), each
    by its own stress, or plainly where there are none; strengths (6,) or (8,)."""
    judge = kernel.worst_by_mode if len(strengths) == COUNT else worst_by_mode
    if not len(shares):
        plain: tuple[Array, NDArray[np.int64]] = judge(strain, worked, to_stress, free, strengths)
        return plain
    every = [judge(strain, worked, share @ to_stress, free @ share.T, strengths) for share in shares]
    worst, where = np.stack([w for w, _ in every]), np.stack([p for _, p in every])
    layer = np.argmax(worst, axis=0)[None]
    return np.take_along_axis(worst, layer, axis=0)[0], np.take_along_axis(where, layer, axis=0)[0]


def judged_field(strain: Array, worked: Array, to_stress: Array, free: Array, strengths: Array, shares: Array) -> Array:
    """Largest utilisation (h,) of strains (c, 6, h) at every point, as `judged_modes`."""
    judge = kernel.point_field if len(strengths) == COUNT else point_field
    if not len(shares):
        plain: Array = judge(strain, worked, to_stress, free, strengths)
        return plain
    every = [judge(strain, worked, share @ to_stress, free @ share.T, strengths) for share in shares]
    most: Array = np.max(every, axis=0)
    return most
