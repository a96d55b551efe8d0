"""What a sequence of values on ever finer meshes says: it settles, it contracts, or it grows without limit.

Each step halves the element size where the value peaks. A value with a limit changes by less and less. A value at a
re-entrant corner, a fixed edge or a point load grows as size^-k: every step multiplies it by the same 2^k, and its
steps grow too.

Two values are followed: the peak over everything sampled, which is extrapolated to the skin and may overshoot, and the
peak inside the elements, at a depth proportional to the element size, which comes from below at first order. Where they
disagree about the limit, the band is as wide as they disagree.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

SETTLED = 0.01  # of the value: a last change below it counts as no change
CONTRACTS = 0.75  # each change at most this part of the one before: the rest then is at most three times the last
SINGULAR = 0.95  # steps that shrink less than this, or grow, are those of a power of the size
STEEPEST = 0.7  # a corner or crack grows as size^-0.5 at most, with some room for early meshes
ORDER = 0.25  # smallest ratio that is believed: the theoretical one of stress from second-order elements
SAFETY = 1.25  # on the extrapolated rest, for three meshes, and for two (Roache 1994, from memory)
SAFETY_OF_TWO = 3.0
NEARLY = 0.03  # of the value: largest single change from which two meshes tell anything


@dataclass(frozen=True, slots=True)
class Judged:
    """Ends of the converged value (`high` None: unknown), extrapolated `limit`, and the finding in words."""

    low: float
    high: float | None
    limit: float | None
    converging: bool
    singular: bool
    words: str
    power: float | None = None  # of the element size in the steps, where singular


def judged(values: Sequence[float], inner: Sequence[float], sizes: Sequence[float]) -> Judged:
    """Judge peaks on meshes of falling element size [mm] at the peak, coarse to fine; the last three count."""
    if len(values) == 1:
        return Judged(values[0], None, None, False, False, "one mesh alone says nothing about its error")
    limit = inner[-1] + (inner[-1] - inner[-2]) * sizes[-1] / (sizes[-2] - sizes[-1])
    if len(values) == 2:
        return _two(values[0], values[1], limit)
    first, middle, last = values[-3:]
    before, after = middle - first, last - middle
    ratio = abs(after) / max(abs(before), 1e-12 * abs(last))
    if abs(after) <= SETTLED * abs(last):
        return _contracting(last, after, min(ratio, CONTRACTS), limit, "settled")
    if ratio <= CONTRACTS:
        return _contracting(last, after, ratio, limit, "contracting")
    if before > 0 and after > 0 and ratio >= SINGULAR:
        # From the steps, not the values: what does not grow (a constant beside the power) drops out of them.
        power = log(ratio) / log(sizes[-2] / sizes[-1])
        if power > STEEPEST:
            words = (
                "does not converge: grows faster than at any corner, as under a point load or where elements are folded"
            )
            return Judged(last, None, None, False, False, words)
        words = (
            f"does not converge: singular; grows by {last / middle - 1:.0%} at every halving, its steps as "
            f"size^-{power:.2f}, as at a re-entrant corner, a fixed edge or a point load"
        )
        return Judged(last, None, None, False, True, words, power)
    words = f"does not converge: the last halvings changed it by {before:+.2g} and {after:+.2g}"
    return Judged(min(middle, last), None, None, False, False, words)


def _two(first: float, last: float, limit: float) -> Judged:
    change = last - first
    if abs(change) > NEARLY * abs(last):
        words = f"one halving changed it by {change / first:+.0%}, which does not tell whether it converges"
        return Judged(min(first, last), None, None, False, False, words)
    rest = max(SAFETY_OF_TWO * abs(change), SAFETY * abs(last - limit))
    words = f"one halving changed it by {change / first:+.1%}"
    return Judged(last - rest, last + rest, None, True, False, words)


def _contracting(last: float, after: float, ratio: float, limit: float, how: str) -> Judged:
    """A band about the last value: the geometric rest of its steps or the gap to the inner limit, whichever is more."""
    believed = max(ratio, ORDER)
    rest = SAFETY * max(abs(after) * believed / (1 - believed), abs(last - limit))
    words = f"{how}: the last halving changed it by {after / last:+.1%}"
    return Judged(last - rest, last + rest, limit, True, False, words)
