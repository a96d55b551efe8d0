"""Overhang of every facet, and the columns below it, for many build directions. Compiled.

Heights are counted from the bed. A column below an overhanging facet ends on the part's own surface or on the bed.
"""

from __future__ import annotations

import math

import numpy as np

from printworthy.making.compiled import compiled

UPWARD, STEEP, OVERHANG = 0, 1, 2  # kinds of facet where a line going up leaves (first) or enters (others) the part
GOLDEN = (math.sqrt(5) - 1) / 2
SILVER = math.sqrt(2) - 1
# columns of the sums
CONTACT, AREA, SHADE, FALL, ON_BED, ON_PART, DROP, LOST, LINES = range(9)


@compiled
def below(a: float, b: float, c: float, level: float) -> tuple[float, float]:
    """Share of a triangle's area below `level`, and mean height of the triangle times the part of it that lies there.

    a, b, c: heights of its corners in any order. Own derivation: a plane cuts a similar triangle off the lowest (or the
    highest) corner.
    """
    low, high = min(a, b, c), max(a, b, c)
    middle = a + b + c - low - high
    if level <= low:
        return 0.0, 0.0
    if level >= high:
        return 1.0, (a + b + c) / 3
    if level <= middle:
        share = (level - low) ** 2 / ((middle - low) * (high - low))
        return share, share * (low + 2 * level) / 3
    share = (high - level) ** 2 / ((high - middle) * (high - low))
    return 1 - share, (a + b + c) / 3 - share * (high + 2 * level) / 3


@compiled
def facet_sums(
    z: np.ndarray, facets: np.ndarray, falls: np.ndarray, areas: np.ndarray, members: np.ndarray, sine: float,
    layer: float, sums: np.ndarray, on_face: np.ndarray,
) -> np.ndarray:  # fmt: skip
    """Kind (m,) of every facet; adds to `sums` and `on_face` what needs no shadow: exact for these facets.

    z (n,) heights of the points; falls (m,) area as seen along the build direction, negative for facets that look down;
    members (m, F) share of each facet on each face.
    """
    kinds = np.zeros(len(facets), np.uint8)
    for t in range(len(facets)):
        if falls[t] >= 0:
            continue
        kinds[t] = STEEP
        a, b, c = z[facets[t, 0]], z[facets[t, 1]], z[facets[t, 2]]
        share, moment = below(a, b, c, layer)
        sums[CONTACT] -= falls[t] * share
        if -falls[t] > sine * areas[t]:
            kinds[t] = OVERHANG
            sums[AREA] += areas[t] * (1 - share)
            sums[SHADE] -= falls[t] * (1 - share)
            sums[FALL] -= falls[t] * ((a + b + c) / 3 - moment)
            for f in range(len(on_face)):
                on_face[f] += areas[t] * (1 - share) * members[t, f]
    return kinds


@compiled
def left(x: np.ndarray, y: np.ndarray, a: int, b: int, px: float, py: float) -> bool:
    """Whether a point lies left of the edge from a to b. The edge is always measured from its lower number, so that the
    two facets at an edge never both own a line, nor neither."""
    if a < b:
        return (x[b] - x[a]) * (py - y[a]) - (y[b] - y[a]) * (px - x[a]) >= 0
    return not (x[a] - x[b]) * (py - y[b]) - (y[a] - y[b]) * (px - x[b]) >= 0


@compiled
def height_at(x: np.ndarray, y: np.ndarray, z: np.ndarray, a: int, b: int, c: int, px: float, py: float) -> float:
    """Height of the plane through three points over (px, py), held between their heights."""
    det = (x[b] - x[a]) * (y[c] - y[a]) - (x[c] - x[a]) * (y[b] - y[a])
    low, high = min(z[a], z[b], z[c]), max(z[a], z[b], z[c])
    if det == 0:
        return low
    p = ((px - x[a]) * (y[c] - y[a]) - (x[c] - x[a]) * (py - y[a])) / det
    q = ((x[b] - x[a]) * (py - y[a]) - (px - x[a]) * (y[b] - y[a])) / det
    return min(high, max(low, z[a] + p * (z[b] - z[a]) + q * (z[c] - z[a])))


@compiled
def meet(
    x: np.ndarray, y: np.ndarray, z: np.ndarray, facets: np.ndarray, kinds: np.ndarray, across: int, along: int
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Where upright lines meet the skin: first (across * along,) hit of each line, and for every hit the next one up,
    its height and its facet's kind. x, y (n,) in cells of the grid.

    One line in each cell. Its place in the cell moves by an irrational share from row to row and from column to column,
    so that straight edges of the part, which mostly lie along the grid, cut the rows and columns at evenly spread
    places.
    """
    first = np.full(across * along, -1)
    shift_x, shift_y = (GOLDEN * np.arange(along)) % 1.0, (SILVER * np.arange(across)) % 1.0
    room = 8 * across * along + 64
    after, heights, types, count = np.zeros(room, np.int64), np.zeros(room), np.zeros(room, np.uint8), 0
    for t in range(len(facets)):
        a, b, c = facets[t, 0], facets[t, 1], facets[t, 2]
        i0, i1 = max(0, int(min(x[a], x[b], x[c]))), min(across - 1, int(max(x[a], x[b], x[c])))
        j0, j1 = max(0, int(min(y[a], y[b], y[c]))), min(along - 1, int(max(y[a], y[b], y[c])))
        up = kinds[t] == UPWARD
        for i in range(i0, i1 + 1):
            for j in range(j0, j1 + 1):
                px, py = i + shift_x[j], j + shift_y[i]
                if left(x, y, a, b, px, py) != up or left(x, y, b, c, px, py) != up or left(x, y, c, a, px, py) != up:
                    continue
                if count == room:
                    after, heights = np.concatenate((after, after)), np.concatenate((heights, heights))
                    types, room = np.concatenate((types, types)), 2 * room
                height = height_at(x, y, z, a, b, c, px, py)
                before, here = -1, first[i * along + j]
                while here >= 0 and heights[here] < height:
                    before, here = here, after[here]
                after[count], heights[count], types[count] = here, height, kinds[t]
                if before < 0:
                    first[i * along + j] = count
                else:
                    after[before] = count
                count += 1
    return first, after, heights, types


@compiled
def column(
    start: int, after: np.ndarray, heights: np.ndarray, types: np.ndarray, layer: float
) -> tuple[bool, float, float, float, float]:
    """One line, read upwards: does it leave the part as often as it enters; heights of its overhangs over the bed;
    lengths of the columns below them; numbers of columns that stand on the bed and on the part."""
    depth, floor, lands = 0, 0.0, True
    falls, drops, on_bed, on_part = 0.0, 0.0, 0.0, 0.0
    here = start
    while here >= 0:
        height = heights[here]
        if types[here] == UPWARD:
            depth -= 1
            if depth == 0:
                floor, lands = height, False
        else:
            if types[here] == OVERHANG and height > layer:
                falls += height
                if depth == 0:
                    drops += height - floor
                    on_bed, on_part = on_bed + lands, on_part + (not lands)
            depth += 1
        here = after[here]
    return depth == 0, falls, drops, on_bed, on_part


@compiled
def shadows(
    first: np.ndarray, after: np.ndarray, heights: np.ndarray, types: np.ndarray, along: int, layer: float,
    sums: np.ndarray, ends: np.ndarray,
) -> np.ndarray:  # fmt: skip
    """Adds the columns of all lines to `sums`; ends (along, 2) takes the first and last cell of every row that has a
    support on the bed. Returns sums over lines (5,): fall, shadowed part of it, and their squares and product."""
    seen = np.zeros(5)
    for cell in range(len(first)):
        if first[cell] < 0:
            continue
        sound, fall, drop, on_bed, on_part = column(first[cell], after, heights, types, layer)
        sums[LINES] += 1
        if not sound:
            sums[LOST] += 1
            continue
        sums[ON_BED] += on_bed
        sums[ON_PART] += on_part
        shadow = fall - drop
        seen[0], seen[1] = seen[0] + fall, seen[1] + shadow
        seen[2], seen[3], seen[4] = seen[2] + fall * fall, seen[3] + shadow * shadow, seen[4] + fall * shadow
        if on_bed > 0:
            i, j = cell // along, cell % along
            ends[j, 0] = i if ends[j, 0] < 0 else ends[j, 0]
            ends[j, 1] = i
    return seen


@compiled
def scaled(sums: np.ndarray, seen: np.ndarray) -> float:
    """Turns counts of lines into areas and volumes by the exact facet sums; returns the estimated error of the volume.

    The lines give only the SHARE of the fall to the bed that is shadowed, and of the overhang's shade that lands on the
    bed: where nothing lies below, the volume is exact. Overhangs that no line met count as open.
    The error is the standard error of a ratio of sums over lines drawn by lot (Cochran, Sampling Techniques, ratio
    estimate; from memory) and one line's worth, as a shadow may hide between lines. The lines are spread more evenly
    than by lot: `docs/method/making.md` has what it covers.
    """
    lines = sums[ON_BED] + sums[ON_PART]
    if lines == 0 or seen[0] == 0:
        sums[DROP] = sums[FALL]
        sums[ON_BED], sums[ON_PART] = sums[SHADE], 0.0
        return sums[FALL]
    share = seen[1] / seen[0]
    sums[DROP] = sums[FALL] * (1 - share)
    sums[ON_BED], sums[ON_PART] = sums[SHADE] * sums[ON_BED] / lines, sums[SHADE] * sums[ON_PART] / lines
    residual = seen[3] - 2 * share * seen[4] + share * share * seen[2]
    return sums[FALL] * (math.sqrt(max(0.0, residual)) / seen[0] + 1 / lines)


@compiled
def columns(
    points: np.ndarray, facets: np.ndarray, vectors: np.ndarray, areas: np.ndarray, members: np.ndarray,
    directions: np.ndarray, U: np.ndarray, V: np.ndarray, low: np.ndarray, size: np.ndarray, sine: float, layer: float,
    rays: int,
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:  # fmt: skip
    """Sums (N, 9), overhang on faces (N, F) [mm2], error of the support volume (N,) [mm3], places (N, 2 q, 2) [mm]
    along U and V where supports stand on the bed (nan: none). `rays`: how many lines cross the least rectangle."""
    n, rows = len(directions), int(math.sqrt(rays)) + 2
    sums, on_face = np.zeros((n, 9)), np.zeros((n, members.shape[1]))
    error, landing = np.zeros(n), np.full((n, 2 * rows, 2), np.nan)
    for d in range(n):
        z = points @ directions[d] - low[d, 2]
        falls = vectors @ directions[d]
        kinds = facet_sums(z, facets, falls, areas, members, sine, layer, sums[d], on_face[d])
        if sums[d, FALL] == 0:
            continue
        pitch = math.sqrt(size[d, 0] * size[d, 1] / rays)
        across, along = math.ceil(size[d, 0] / pitch), math.ceil(size[d, 1] / pitch)
        px, py = size[d, 0] / across, size[d, 1] / along
        x, y = (points @ U[d] - low[d, 0]) / px, (points @ V[d] - low[d, 1]) / py
        first, after, heights, types = meet(x, y, z, facets, kinds, across, along)
        ends = np.full((along, 2), -1)
        seen = shadows(first, after, heights, types, along, layer, sums[d], ends)
        error[d] = scaled(sums[d], seen)
        for j in range(along):
            for k in range(2):
                if ends[j, k] >= 0:
                    landing[d, 2 * j + k, 0] = low[d, 0] + (ends[j, k] + (GOLDEN * j) % 1.0) * px
                    landing[d, 2 * j + k, 1] = low[d, 1] + (j + (SILVER * ends[j, k]) % 1.0) * py
    return sums, on_face, error, landing
