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
TINY = 1e-300  # so that a facet without width divides by no zero
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
def edge(x: np.ndarray, y: np.ndarray, a: int, b: int) -> tuple[float, float, float, bool]:
    """Numbers u, v, w of the edge from a to b, and whether u py - v px + w is 0 or more for points (px, py) on its left
    (else below 0). The edge is always measured from its lower number, so that the two facets at an edge never both own
    a line, nor neither."""
    first, last = min(a, b), max(a, b)
    u, v = x[last] - x[first], y[last] - y[first]
    return u, v, v * x[first] - u * y[first], a < b


@compiled
def meet(
    x: np.ndarray, y: np.ndarray, z: np.ndarray, facets: np.ndarray, falls: np.ndarray, across: int, along: int
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Where upright lines meet the skin: cell, height and facet (k,) of every hit. x, y (n,) in cells of the grid,
    falls (m,) above 0 for facets that look up.

    One line in each cell. Its place in the cell moves by an irrational share from row to row and from column to column,
    so that straight edges of the part, which mostly lie along the grid, cut the rows and columns at evenly spread
    places. The height of a hit is the mean of its facet's corners, each weighed by the hit's distance from the side
    across. Hits are written first and counted then: whether a line is hit cannot be foreseen, and waits for wrong
    guesses would take as long as everything else.
    """
    shift_x, shift_y = (GOLDEN * np.arange(along)) % 1.0, (SILVER * np.arange(across)) % 1.0
    room, count = 8 * across * along, 0
    cells, heights, owners = np.empty(room, np.int64), np.empty(room), np.empty(room, np.int64)
    for t in range(len(facets)):
        a, b, c = facets[t, 0], facets[t, 1], facets[t, 2]
        if falls[t] < 0:
            b, c = c, b  # counter-clockwise as seen from above
        i0, i1 = max(0, int(min(x[a], x[b], x[c]))), min(across - 1, int(max(x[a], x[b], x[c])))
        j0, j1 = max(0, int(min(y[a], y[b], y[c]))), min(along - 1, int(max(y[a], y[b], y[c])))
        while count + (i1 - i0 + 1) * (j1 - j0 + 1) > room:
            cells, heights = np.concatenate((cells, cells)), np.concatenate((heights, heights))
            owners, room = np.concatenate((owners, owners)), 2 * room
        ua, va, wa, left_a = edge(x, y, b, c)
        ub, vb, wb, left_b = edge(x, y, c, a)
        uc, vc, wc, left_c = edge(x, y, a, b)
        for i in range(i0, i1 + 1):
            for j in range(j0, j1 + 1):
                px, py = i + shift_x[j], j + shift_y[i]
                p, q, r = ua * py - va * px + wa, ub * py - vb * px + wb, uc * py - vc * px + wc
                inside = ((p >= 0) == left_a) & ((q >= 0) == left_b) & ((r >= 0) == left_c)
                p, q, r = abs(p), abs(q), abs(r)
                cells[count], owners[count] = i * along + j, t
                heights[count] = (p * z[a] + q * z[b] + r * z[c]) / max(p + q + r, TINY)
                count += inside
    return cells[:count], heights[:count], owners[:count]


@compiled
def by_line(
    cells: np.ndarray, heights: np.ndarray, owners: np.ndarray, lines: int
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Hits in order of their lines, on each from below: first hit (lines + 1,) of every line, heights and facets."""
    begin = np.zeros(lines + 1, np.int64)
    for k in range(len(cells)):
        begin[cells[k] + 1] += 1
    begin = np.cumsum(begin)
    free = begin.copy()
    sorted_heights, sorted_owners = np.empty_like(heights), np.empty_like(owners)
    for k in range(len(cells)):
        place = free[cells[k]]
        free[cells[k]] += 1
        while place > begin[cells[k]] and sorted_heights[place - 1] > heights[k]:
            sorted_heights[place], sorted_owners[place] = sorted_heights[place - 1], sorted_owners[place - 1]
            place -= 1
        sorted_heights[place], sorted_owners[place] = heights[k], owners[k]
    return begin, sorted_heights, sorted_owners


@compiled
def from_above(begin: np.ndarray, heights: np.ndarray, owners: np.ndarray, top: float) -> tuple[np.ndarray, np.ndarray]:
    """Heights and facets of hits `by_line` for the opposite direction: read from `top` down."""
    turned_heights, turned_owners = np.empty_like(heights), np.empty_like(owners)
    for line in range(len(begin) - 1):
        for k in range(begin[line], begin[line + 1]):
            from_end = begin[line] + begin[line + 1] - 1 - k
            turned_heights[k], turned_owners[k] = top - heights[from_end], owners[from_end]
    return turned_heights, turned_owners


@compiled
def column(
    heights: np.ndarray, owners: np.ndarray, kinds: np.ndarray, begin: int, end: int, layer: float
) -> tuple[bool, float, float, float, float]:
    """One line, read upwards: does it leave the part as often as it enters; heights of its overhangs over the bed;
    lengths of the columns below them; numbers of columns that stand on the bed and on the part."""
    depth, floor, lands = 0, 0.0, True
    falls, drops, on_bed, on_part = 0.0, 0.0, 0.0, 0.0
    for k in range(begin, end):
        height, kind = heights[k], kinds[owners[k]]
        if kind == UPWARD:
            depth -= 1
            if depth == 0:
                floor, lands = height, False
        else:
            if kind == OVERHANG and height > layer:
                falls += height
                if depth == 0:
                    drops += height - floor
                    on_bed, on_part = on_bed + lands, on_part + (not lands)
            depth += 1
    return depth == 0, falls, drops, on_bed, on_part


@compiled
def shadows(
    begin: np.ndarray, heights: np.ndarray, owners: np.ndarray, kinds: np.ndarray, along: int, layer: float,
    sums: np.ndarray, ends: np.ndarray,
) -> np.ndarray:  # fmt: skip
    """Adds the columns of all lines to `sums`; ends (along, 2) takes the first and last cell of every row that has a
    support on the bed. Returns sums over lines (5,): fall, shadowed part of it, and their squares and product."""
    seen = np.zeros(5)
    for cell in range(len(begin) - 1):
        if begin[cell] == begin[cell + 1]:
            continue
        sound, fall, drop, on_bed, on_part = column(heights, owners, kinds, begin[cell], begin[cell + 1], layer)
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
    axes: np.ndarray, U: np.ndarray, V: np.ndarray, low: np.ndarray, size: np.ndarray, sine: float, layer: float,
    rays: int,
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:  # fmt: skip
    """For each axis (N, 3) built along it and built against it: sums (N, 2, 9), overhang on faces (N, 2, F), error of
    the support volume (N, 2) [mm3], places (N, 2, 2 q, 2) [mm] along U and V where supports stand on the bed (nan:
    none). `rays`: how many lines cross the least rectangle; both ways up are read off the same lines."""
    n, rows = len(axes), int(math.sqrt(rays)) + 2
    sums, on_face = np.zeros((n, 2, 9)), np.zeros((n, 2, members.shape[1]))
    error, landing = np.zeros((n, 2)), np.full((n, 2, 2 * rows, 2), np.nan)
    for d in range(n):
        z = points @ axes[d] - low[d, 2]
        top, falls = size[d, 2], vectors @ axes[d]
        upright = facet_sums(z, facets, falls, areas, members, sine, layer, sums[d, 0], on_face[d, 0])
        turned = facet_sums(top - z, facets, -falls, areas, members, sine, layer, sums[d, 1], on_face[d, 1])
        if sums[d, 0, FALL] == 0 and sums[d, 1, FALL] == 0:
            continue
        pitch = math.sqrt(size[d, 0] * size[d, 1] / rays)
        across, along = math.ceil(size[d, 0] / pitch), math.ceil(size[d, 1] / pitch)
        px, py = size[d, 0] / across, size[d, 1] / along
        x, y = (points @ U[d] - low[d, 0]) / px, (points @ V[d] - low[d, 1]) / py
        begin, heights, owners = by_line(*meet(x, y, z, facets, falls, across, along), across * along)
        for way, kinds in enumerate((upright, turned)):
            if way == 1:
                heights, owners = from_above(begin, heights, owners, top)
            if sums[d, way, FALL] == 0:
                continue
            ends = np.full((along, 2), -1)
            seen = shadows(begin, heights, owners, kinds, along, layer, sums[d, way], ends)
            error[d, way] = scaled(sums[d, way], seen)
            for j in range(along):
                for k in range(2):
                    if ends[j, k] >= 0:
                        landing[d, way, 2 * j + k, 0] = low[d, 0] + (ends[j, k] + (GOLDEN * j) % 1.0) * px
                        landing[d, way, 2 * j + k, 1] = low[d, 1] + (j + (SILVER * ends[j, k]) % 1.0) * py
    return sums, on_face, error, landing
