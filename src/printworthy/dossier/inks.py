"""Compiled loops over the pixels of a picture: light, colours, inks laid over them, edges. `paint` says what to draw.

Colours are kept in single precision: finer than a screen shows by far, and half as much to move.
"""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True)
def light(normal, lamp):  # type: ignore[no-untyped-def]
    """Brightness (h, w) of normals (h, w, 3) under a `lamp` (3,); those of the background are zero."""
    out = np.empty(normal.shape[:2], np.float32)
    for row in range(normal.shape[0]):
        for column in range(normal.shape[1]):
            toward = 0.0
            for k in range(3):
                toward += normal[row, column, k] * lamp[k]
            out[row, column] = 0.72 + (0.28 * abs(toward) ** 1.2 if toward != 0.0 else 0.0)
    return out


@njit(cache=True)
def lit(level, palette, light):  # type: ignore[no-untyped-def]
    """Colours (h, w, 3) of `palette` (n, 3) by `level` (h, w), dimmed by `light` (h, w)."""
    out = np.empty((*level.shape, 3), np.float32)
    for row in range(level.shape[0]):
        for column in range(level.shape[1]):
            for c in range(3):
                out[row, column, c] = palette[level[row, column], c] * light[row, column]
    return out


@njit(cache=True)
def stripes(mask, slope, pitch, width):  # type: ignore[no-untyped-def]
    """Pixels (h, w) of `mask` on lines `width` wide, one every `pitch`, across x + slope y."""
    out = np.zeros(mask.shape, np.bool_)
    for row in range(mask.shape[0]):
        for column in range(mask.shape[1]):
            out[row, column] = mask[row, column] and (column + slope * row) % pitch < width
    return out


@njit(cache=True)
def lay(colour, mask, ink, share):  # type: ignore[no-untyped-def]
    """Lay `ink` (3,) over the pixels `mask` (h, w) of `colour` (h, w, 3), in place, covering a `share` of it."""
    for row in range(mask.shape[0]):
        for column in range(mask.shape[1]):
            if mask[row, column]:
                for c in range(3):
                    colour[row, column, c] = colour[row, column, c] * (1 - share) + ink[c] * share


@njit(cache=True)
def layers(colour, here, height, normal, build, spaced, ink):  # type: ignore[no-untyped-def]
    """Lay stripes of `ink` (3,) over `colour` (h, w, 3), in place, where `here`: one every pitch of `height` (h, w),
    `spaced` = lowest height and pitch. On faces that lie flat, across `build` (3,) by their `normal` (h, w, 3), a
    stripe would cover everything or nothing: it fades out."""
    low, pitch = spaced
    for row in range(here.shape[0]):
        for column in range(here.shape[1]):
            if here[row, column] and (height[row, column] - low) / pitch % 1.0 < 0.28:
                flat = 0.0
                for k in range(3):
                    flat += normal[row, column, k] * build[k]
                share = 0.30 * min(max((1 - abs(flat)) / 0.15, 0.0), 1.0)
                for c in range(3):
                    colour[row, column, c] = colour[row, column, c] * (1 - share) + ink[c] * share


@njit(cache=True)
def changes(label):  # type: ignore[no-untyped-def]
    """Pixels (h, w) whose label differs from the next one's, below or to the right."""
    height, width = label.shape
    out = np.zeros((height, width), np.bool_)
    for row in range(height):
        for column in range(width):
            here = label[row, column]
            out[row, column] = (row + 1 < height and label[row + 1, column] != here) or (
                column + 1 < width and label[row, column + 1] != here
            )
    return out


@njit(cache=True)
def breaks(here, depth, normal, step, turn):  # type: ignore[no-untyped-def]
    """Pixels (h, w) on both sides of an outline or a sharp edge: background beside part (`here`), a `step` in `depth`,
    or normals (h, w, 3) whose cosine is below `turn`."""
    height, width = here.shape
    out = np.zeros((height, width), np.bool_)
    for row in range(height):
        for column in range(width):
            for down, right in ((1, 0), (0, 1)):
                r, c = row + down, column + right
                if r == height or c == width or not (here[row, column] or here[r, c]):
                    continue
                cut = here[row, column] != here[r, c] or abs(depth[row, column] - depth[r, c]) > step
                if not cut:
                    cosine = 0.0
                    for k in range(3):
                        cosine += normal[row, column, k] * normal[r, c, k]
                    cut = abs(cosine) < turn
                if cut:
                    out[row, column] = out[r, c] = True
    return out


@njit(cache=True)
def rgba(colour, here):  # type: ignore[no-untyped-def]
    """Bytes (h, w, 4) of colours (h, w, 3), clear where not `here` (h, w)."""
    out = np.zeros((*here.shape, 4), np.uint8)
    for row in range(here.shape[0]):
        for column in range(here.shape[1]):
            if here[row, column]:
                for c in range(3):
                    out[row, column, c] = np.uint8(min(max(colour[row, column, c], 0.0), 255.0))
                out[row, column, 3] = 255
    return out
