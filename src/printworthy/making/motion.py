"""How long a print head takes along a path: acceleration-limited, where stated jerk-limited, with a corner speed.

Closed forms for single moves are plain functions; the loops over paths are compiled. Lengths mm, times s.
"""

from __future__ import annotations

import math

import numpy as np

from printworthy.making.compiled import compiled

HALVINGS = 40  # of the bracket of a speed: to 1e-12 of it


def bead_area(width: float, layer: float) -> float:
    """Cross-section [mm2] of a bead of `width` [mm] with round ends in a layer [mm]: (w - h) h + pi h^2 / 4.

    Own derivation: a rectangle and two half circles. Holds for width >= layer.
    """
    return (width - layer) * layer + math.pi * layer * layer / 4


@compiled
def change_time(change: float, acceleration: float, jerk: float) -> float:
    """Time [s] to change the speed by `change` [mm/s] from and to constant speed; jerk [mm/s3] 0: no limit.

    Own derivation: acceleration rises and falls at `jerk`, symmetric, up to `acceleration` [mm/s2].
    """
    if jerk <= 0:
        return change / acceleration
    if change >= acceleration * acceleration / jerk:
        return change / acceleration + acceleration / jerk
    return 2 * math.sqrt(change / jerk)


@compiled
def reached(start: float, length: float, most: float, acceleration: float, jerk: float) -> float:
    """Highest speed [mm/s], at most `most`, reached from `start` within `length` [mm].

    A symmetric change of speed runs at its mean speed: (v0 + v1) / 2 times its time is the way it takes.
    """
    if jerk <= 0:
        return min(most, math.sqrt(start * start + 2 * acceleration * length))
    if most <= start or (start + most) / 2 * change_time(most - start, acceleration, jerk) <= length:
        return most
    low, high = start, most
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if (start + middle) / 2 * change_time(middle - start, acceleration, jerk) <= length:
            low = middle
        else:
            high = middle
    return low


@compiled
def move_time(length: float, start: float, end: float, most: float, acceleration: float, jerk: float) -> float:
    """Time [s] over `length` [mm] from speed `start` to `end` [mm/s], both within reach of each other, at most `most`.

    Without a jerk limit the trapezoid: rest to rest L/v + v/a where L >= v^2/a, else 2 sqrt(L/a) (own derivation).
    """
    if length <= 0:
        return 0.0
    if jerk <= 0:
        peak = min(most, math.sqrt(acceleration * length + (start * start + end * end) / 2))
    else:
        low, high = max(start, end), most
        for _ in range(HALVINGS):
            peak = (low + high) / 2
            up = (start + peak) / 2 * change_time(peak - start, acceleration, jerk)
            down = (end + peak) / 2 * change_time(peak - end, acceleration, jerk)
            if up + down <= length:
                low = peak
            else:
                high = peak
        peak = low
    peak = max(peak, start, end)
    up_time, down_time = change_time(peak - start, acceleration, jerk), change_time(peak - end, acceleration, jerk)
    way = length - (start + peak) / 2 * up_time - (end + peak) / 2 * down_time
    return up_time + down_time + max(0.0, way) / peak


def rest_to_rest(length: float, speed: float, acceleration: float, jerk: float = 0.0) -> tuple[float, float]:
    """Time [s] and peak speed [mm/s] of one move of `length` [mm] from rest to rest (jerk [mm/s3] 0: no limit)."""
    half = reached(0.0, length / 2, speed, acceleration, jerk)
    return move_time(length, 0.0, 0.0, speed, acceleration, jerk), half


def flow_limited(speed: float, flow: float, area: float) -> float:
    """Speed [mm/s] that the melt allows: the wanted one, or `flow` [mm3/s] over the bead's `area` [mm2]."""
    return min(speed, flow / area)


@compiled
def path_time(
    x: np.ndarray, y: np.ndarray, closed: bool, speed: float, acceleration: float, jerk: float, corner: float
) -> tuple[float, float]:
    """Time [s] and length [mm] of a path through points x, y (n,) [mm], from rest to rest.

    At a corner the velocity may jump by `corner` [mm/s]: it is passed at corner / (2 sin(turn / 2)) at most. Two sweeps
    lower these speeds to what the acceleration reaches between corners (look-ahead over the whole path).
    """
    n = len(x)
    count = n if closed else n - 1
    if n < 2:
        return 0.0, 0.0
    length, pass_speed = np.zeros(count), np.zeros(count + 1)
    for i in range(count):
        j = (i + 1) % n
        length[i] = math.hypot(x[j] - x[i], y[j] - y[i])
    for i in range(1, count):
        k = (i + 1) % n
        ax, ay, bx, by = x[i] - x[i - 1], y[i] - y[i - 1], x[k] - x[i], y[k] - y[i]
        turn = abs(math.atan2(ax * by - ay * bx, ax * bx + ay * by))
        jump = 2 * math.sin(turn / 2)
        pass_speed[i] = speed if jump * speed <= corner else corner / jump
    for i in range(count):
        pass_speed[i + 1] = min(pass_speed[i + 1], reached(pass_speed[i], length[i], speed, acceleration, jerk))
    for i in range(count - 1, -1, -1):
        pass_speed[i] = min(pass_speed[i], reached(pass_speed[i + 1], length[i], speed, acceleration, jerk))
    total = 0.0
    for i in range(count):
        total += move_time(length[i], pass_speed[i], pass_speed[i + 1], speed, acceleration, jerk)
    return total, length.sum()


@compiled
def closed_paths(
    points: np.ndarray, begin: np.ndarray, speed: float, travel: float, acceleration: float, jerk: float,
    corner: float, pause: float,
) -> tuple[float, float, float, int]:  # fmt: skip
    """Closed paths through points (n, 2) [mm], path r from begin[r] to begin[r + 1], each begun at its point nearest to
    where the last one began. Returns time printing [s], length printed [mm], time travelling [s] with a `pause` [s]
    each for drawing the strand back, number of travels."""
    printing, printed, travelling, x0, y0 = 0.0, 0.0, 0.0, points[0, 0], points[0, 1]
    for r in range(len(begin) - 1):
        x, y = points[begin[r] : begin[r + 1], 0], points[begin[r] : begin[r + 1], 1]
        start = np.argmin((x - x0) ** 2 + (y - y0) ** 2)
        travelling += move_time(math.hypot(x[start] - x0, y[start] - y0), 0.0, 0.0, travel, acceleration, jerk) + pause
        x, y = np.roll(x, -start), np.roll(y, -start)
        seconds, length = path_time(x, y, True, speed, acceleration, jerk, corner)
        printing, printed, x0, y0 = printing + seconds, printed + length, x[0], y[0]
    return printing, printed, travelling, len(begin) - 1


@compiled
def row_of(edges: np.ndarray, i: int, k: int, pitch: float, start: float) -> tuple[bool, float]:
    """Whether edge i meets line k, each of its ends counted once over a closed outline, and where along x [mm]."""
    level = (k + start) * pitch
    a, b = min(edges[i, 1], edges[i, 3]), max(edges[i, 1], edges[i, 3])
    if not a <= level < b:
        return False, 0.0
    share = (level - edges[i, 1]) / (edges[i, 3] - edges[i, 1])
    return True, edges[i, 0] + share * (edges[i, 2] - edges[i, 0])


@compiled
def cuts(edges: np.ndarray, pitch: float, start: float) -> tuple[np.ndarray, np.ndarray]:
    """Where lines at y = (k + start) pitch meet edges (m, 4: x0 y0 x1 y1) [mm]: begin (rows + 1,) of each line's own,
    and x of all, in order along each line."""
    low, high = np.inf, -np.inf
    for i in range(len(edges)):
        low, high = min(low, edges[i, 1], edges[i, 3]), max(high, edges[i, 1], edges[i, 3])
    first, last = math.ceil(low / pitch - start), math.floor(high / pitch - start)
    rows = max(0, last - first + 1)
    counts = np.zeros(rows + 1, np.int64)
    places = np.zeros(0)
    filled = np.zeros(rows, np.int64)
    for again in range(2):  # count, then fill
        for i in range(len(edges)):
            a, b = min(edges[i, 1], edges[i, 3]), max(edges[i, 1], edges[i, 3])
            for k in range(max(first, math.floor(a / pitch - start)), min(last, math.ceil(b / pitch - start)) + 1):
                meets, x = row_of(edges, i, k, pitch, start)
                if meets and again == 0:
                    counts[k - first + 1] += 1
                elif meets:
                    place = counts[k - first] + filled[k - first]
                    filled[k - first] += 1
                    while place > counts[k - first] and places[place - 1] > x:
                        places[place] = places[place - 1]
                        place -= 1
                    places[place] = x
        if again == 0:
            counts = np.cumsum(counts)
            places = np.zeros(counts[-1])
    return counts, places


@compiled
def hatch(
    edges: np.ndarray, pitch: float, start: float, speed: float, travel: float, acceleration: float, jerk: float,
    corner: float, pause: float,
) -> tuple[float, float, float, int]:  # fmt: skip
    """Straight lines along x that fill a region bounded by edges (m, 4: x0 y0 x1 y1) [mm], read to and fro.

    Lines lie at y = (k + start) pitch. A piece of a line follows the piece of the line before that lies beside it: the
    head goes over along the border, printing where the ends are no further apart than three pitches, else without. A
    piece with none beside it begins a new run of lines, reached by a travel with a `pause` [s] for drawing the strand
    back. Returns time printing [s], length printed [mm], time travelling [s] with its pauses, number of travels.
    """
    begin, places = cuts(edges, pitch, start)
    printing, printed, travelling, travels = 0.0, 0.0, 0.0, 0
    turn = min(speed, corner / math.sqrt(2.0))  # a right angle at most
    last = 0.0
    for row in range(len(begin) - 1):
        line = places[begin[row] : begin[row + 1]]
        before = places[begin[row - 1] : begin[row]] if row > 0 else places[:0]
        side = row % 2  # the end at which this line is entered, and the one before was left
        q = 0
        for p in range(len(line) // 2):
            while 2 * q + 1 < len(before) and before[2 * q + 1] < line[2 * p]:
                q += 1
            if 2 * q + 1 < len(before) and before[2 * q] <= line[2 * p + 1]:
                gap = math.hypot(line[2 * p + side] - before[2 * q + side], pitch)
                q += 1  # the next piece of this line needs another one
                if gap <= 3 * pitch:
                    joint = reached(0.0, gap, turn, acceleration, jerk)
                    printing += move_time(gap, joint, joint, speed, acceleration, jerk)
                else:
                    travelling += move_time(gap, 0.0, 0.0, travel, acceleration, jerk)
            elif printed > 0:
                travelling += move_time(abs(line[2 * p + side] - last), 0.0, 0.0, travel, acceleration, jerk) + pause
                travels += 1
            length = line[2 * p + 1] - line[2 * p]
            ends = reached(0.0, length, turn, acceleration, jerk)
            printing += move_time(length, ends, ends, speed, acceleration, jerk)
            printed += length
            last = line[2 * p + 1 - side]
    return printing, printed, travelling, travels
