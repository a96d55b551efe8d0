"""Cycles of many sizes: counting them in a course of load, and adding up their damage."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import rainflow
from numpy.typing import ArrayLike, NDArray

from printworthy.inputs import Cycle, Duty

Array = NDArray[np.float64]


def rainflow_cycles(course: Sequence[float], *, repeats: bool = False) -> tuple[Cycle, ...]:
    """Cycles and half cycles of a course of load (n,), counted by ASTM E1049-85 5.4.4.

    `repeats`: the course runs again and again (5.4.5): it is entered at its largest value and closed, and only whole
    cycles are left.
    """
    x = [float(v) for v in course]
    if repeats and x:
        top = x.index(max(x))
        x = [*x[top:], *x[: top + 1]]
    return tuple(Cycle(r, mean, count) for r, mean, count, _, _ in rainflow.extract_cycles(x) if r > 0)


def spectrum(duty: Duty, *, gentle: bool = False) -> Array:
    """Range, mean (shares of the case's load) and count per h or km of every cycle of a duty (n, 3); `gentle`: at the
    low end of what is known.

    The history starts and ends unloaded: between two passes the load is off.
    """
    rows = [(c.range, c.mean, c.count) for c in (duty.gentle if gentle and duty.gentle else duty.cycles)]
    if duty.history:
        passed = rainflow_cycles((0.0, *duty.history, 0.0), repeats=True)
        rows += [(c.range, c.mean, c.count * duty.passes) for c in passed]
    return np.array([r for r in rows if r[0] > 0 and r[2] > 0], dtype=float).reshape(-1, 3)


def miner(counts: ArrayLike, lives: ArrayLike) -> float:
    """Damage sum n/N of `counts` (n,) of cycles with `lives` (n,) in cycles; 1 is failure.

    A. Palmgren 1924, M. A. Miner 1945 (from memory). The order of loads does not count; sums at failure of 0.3 to 3
    have been measured on metals (from memory).
    """
    return float((np.asarray(counts, dtype=float) / np.asarray(lives, dtype=float)).sum())


def equivalent_range(ranges: ArrayLike, counts: ArrayLike, exponent: float) -> float:
    """The one range (ranges' unit) that does as much damage in as many cycles as `ranges` (n,) with `counts` (n,).

    (sum n r^m / sum n)^(1/m), m = -1 / `exponent`, with Basquin's exponent b [-] of the S-N line; means are left out.
    """
    r, n, m = np.asarray(ranges, dtype=float), np.asarray(counts, dtype=float), -1 / exponent
    top = float(r.max())
    return top * float((n * (r / top) ** m).sum() / n.sum()) ** (1 / m)  # shares of the largest: no power overflows
