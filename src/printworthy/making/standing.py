"""The supports below a part that stands on the bed, as upright lines, for a picture. Figures come from `layers`."""

from __future__ import annotations

import numpy as np

from printworthy.inputs import Vector
from printworthy.making import columns, planar
from printworthy.making.layers import SLACK, unit
from printworthy.making.skin import Cornered, skin

RAYS = 2400  # lines over the least rectangle: dense enough to read as a body, few enough to be drawn at once


def standing(body: Cornered, direction: Vector, overhang_angle: float, layer_height: float) -> np.ndarray:
    """Ends (c, 2, 3) [mm] of the columns below the overhangs of `body` built along `direction`, in its own axes.

    overhang_angle [deg] from vertical; layer_height [mm]: what lies in the first layer needs no support. Raises
    GeometryError for a skin that is not closed.
    """
    part, up = skin(body), unit(np.array([direction]))
    U, V, low, size, _ = planar.least_boxes(part.hull, *planar.across(up), up, 1e9, 1e9)
    n, u, v = up[0], U[0], V[0]
    z, falls = part.points @ n - low[0, 2], part.vectors @ n
    areas = np.linalg.norm(part.vectors, axis=1)
    sine = float(np.sin(np.radians(min(overhang_angle + SLACK, 90.0))))
    none = np.zeros((len(areas), 0))
    kinds = columns.facet_sums(z, part.facets, falls, areas, none, sine, layer_height, np.zeros(9), np.zeros(0))
    pitch = float(np.sqrt(size[0, 0] * size[0, 1] / RAYS))
    across, along = (int(np.ceil(s / pitch)) for s in size[0, :2])
    px, py = size[0, 0] / across, size[0, 1] / along
    x, y = (part.points @ u - low[0, 0]) / px, (part.points @ v - low[0, 1]) / py
    hits = columns.meet(x, y, z, part.facets, falls, across, along)
    begin, heights, owners = columns.by_line(*hits, across * along)
    ends = []
    for cell in np.flatnonzero(np.diff(begin)).tolist():
        i, j = cell // along, cell % along
        at = (low[0, 0] + (i + (columns.GOLDEN * j) % 1.0) * px) * u + (
            low[0, 1] + (j + (columns.SILVER * i) % 1.0) * py
        ) * v
        met = slice(begin[cell], begin[cell + 1])
        for foot, top in _drops(heights[met], kinds[owners[met]], layer_height):
            ends.append([at + (foot + low[0, 2]) * n, at + (top + low[0, 2]) * n])
    return np.array(ends).reshape(-1, 2, 3) + part.centre


def _drops(heights: np.ndarray, kinds: np.ndarray, layer: float) -> list[tuple[float, float]]:
    """Foot and top of every column on one line, from its hits in order upwards."""
    depth, floor, found = 0, 0.0, []
    for height, kind in zip(heights.tolist(), kinds.tolist(), strict=True):
        if kind == columns.UPWARD:
            depth -= 1
            floor = height if depth == 0 else floor
        else:
            if kind == columns.OVERHANG and height > layer and depth == 0:
                found.append((floor, height))
            depth += 1
    return found
