"""Lower limits from coupon sets: which sets count, how batches are joined, what distribution is believed."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from printworthy.evidence import coupons as statistics
from printworthy.evidence.basis import CONFIDENCE, hanson_koopmans_limit
from printworthy.evidence.batches import apart
from printworthy.evidence.fits import fits
from printworthy.evidence.outliers import largest_residual
from printworthy.evidence.recommend import REDUCED, B, recommended
from printworthy.evidence.values import rule
from printworthy.inputs import Confidence, CouponDirection, CouponSet, Rules
from printworthy.results import DesignValue, Step

TRUST: tuple[Confidence, ...] = (
    "measured",
    "published",
    "from memory",
    "common practice, no source",
    "assumed",
    "invented",
)
Steps = Callable[[CouponSet], tuple[Step, ...]]


@dataclass(frozen=True, slots=True)
class Question:
    """One strength: its words, card property, coupon direction and the rule that holds its least scatter."""

    name: str
    property: str
    direction: CouponDirection
    scatter: str


@dataclass(frozen=True, slots=True)
class Limit:
    """A lower limit [MPa], the coupons behind it, the scatter it was taken with [-] and how it was found."""

    value: float
    n: int
    cv: float
    words: str


def limit_of(question: Question, own: Sequence[CouponSet], rules: Rules, steps: Steps) -> DesignValue | None:
    """Limit from the coupons that need the fewest `steps` to service conditions; among those the lowest. None below
    three coupons."""
    conditions: dict[tuple[float, str, str], list[CouponSet]] = defaultdict(list)
    for s in own:
        if s.direction == question.direction:
            conditions[(s.temperature, s.moisture, s.beads)].append(s)
    candidates = []
    for sets in conditions.values():
        if sum(len(s.strengths) for s in sets) >= statistics.SMALLEST:
            taken = steps(sets[0])
            candidates.append((len(taken), _limit(question, sets, taken, rules)))
    if not candidates:
        return None
    fewest = min(count for count, _ in candidates)
    return min((value for count, value in candidates if count == fewest), key=lambda value: value.value)


def _limit(question: Question, sets: Sequence[CouponSet], steps: tuple[Step, ...], rules: Rules) -> DesignValue:
    """Lower limit of one or several sets tested alike, with the steps that follow it."""
    p, confidence = rule(rules, "tolerance_part"), rule(rules, "tolerance_confidence")
    minimum = rule(rules, question.scatter)
    batches = [s.strengths for s in sets]
    promise = f"{100 * p:g} % of parts with {100 * confidence:g} % confidence"
    found = joined(batches, p, confidence, minimum)
    mean = float(np.mean([x for b in batches for x in b]))
    words = f"lower limit of {found.n} coupons: {promise} ({found.words})"
    limit = Step(words, found.value / mean, "CMH-17-1G ch. 8; non-central t", "limit")
    names = ", ".join(s.title for s in sets)
    return DesignValue(
        name=question.name,
        value=mean * limit.factor * product(steps),
        start=mean,
        steps=(limit, *steps),
        basis=f"lower limit of {found.n} coupons, {promise}",
        source=f"coupons {names}: " + "; ".join(dict.fromkeys(s.source for s in sets)),
        confidence=worst_trust(trust(s) for s in sets),
        n=found.n,
        invented=any(s.invented for s in sets),
        cv=found.cv,
    )


def joined(batches: Sequence[Sequence[float]], p: float, confidence: float, minimum: float) -> Limit:
    """Limit [MPa] of batches (k, n_i) [MPa]: pooled while they are one population, else the lowest honest answer.

    Batches that differ (`batches.apart`, on logarithms): the lowest limit of any batch of three or more; with three
    batches or more also the random effects limit, which speaks for batches not yet made; a smaller batch with a lower
    coupon takes over (and its few coupons then stand behind the value). From 18 values on, where the handbook's flow
    stands on enough of them, never more than the B-basis it recommends (`recommend`).
    """
    found = _joined(batches, p, confidence, minimum)
    if sum(len(b) for b in batches) < REDUCED or (p, confidence) != (B, CONFIDENCE):
        return found
    flow = recommended(batches)
    if flow is None or flow.b is None or not 0 < flow.b < found.value:
        return found
    return Limit(flow.b, found.n, found.cv, f"{found.words}; the lower recommended B-basis is used ({flow.method})")


def _joined(batches: Sequence[Sequence[float]], p: float, confidence: float, minimum: float) -> Limit:
    logs = [tuple(math.log(x) for x in b) for b in batches]
    pooled = [x for b in batches for x in b]
    why = apart(logs)
    if not why:
        agree = f", {len(batches)} batches that agree" if len(batches) > 1 else ""
        return _one(pooled, p, confidence, minimum, agree)
    options = []
    for b in batches:
        if len(b) >= statistics.SMALLEST:
            one = _one(b, p, confidence, minimum)
            options.append(Limit(one.value, one.n, one.cv, f"batches differ ({why}), lowest one used; {one.words}"))
        else:
            options.append(Limit(min(b), len(b), minimum, f"batches differ ({why}), weakest coupon of a small batch"))
    if len(batches) >= 3:
        least = statistics.log_deviation(minimum)
        across = statistics.between_batch_limit(logs, p=p, confidence=confidence, minimum_deviation=least)
        words = f"{len(batches)} batches that differ ({why}), random effects"
        options.append(Limit(math.exp(across), len(pooled), minimum, words))
    return min(options, key=lambda option: (option.value, option.n))


def _one(values: Sequence[float], p: float, confidence: float, minimum: float, more: str = "") -> Limit:
    """Lognormal limit of one population; where the values are not lognormal, no more than the distribution-free one.

    An outlier is named and kept: taking it out is for the person who finds its cause.
    """
    found = statistics.lower_limit(values, p=p, confidence=confidence, minimum_cv=minimum)
    value, words = found.value, found.words + more
    odd = largest_residual(values)
    if odd is not None and odd.outlier:
        words += f"; {odd.value:.4g} MPa is an outlier (maximum normed residual) and is kept: find its cause"
    shapes = {fit.family: fit for fit in fits(values)}
    if "lognormal" in shapes and shapes["lognormal"].rejected and len(values) <= 28 and (p, confidence) == (0.90, 0.95):
        free = hanson_koopmans_limit(values, p)
        words += f"; not lognormal (significance {shapes['lognormal'].significance:.2g})"
        if free < value:
            value, words = free, f"{words}: the lower Hanson-Koopmans limit is used"
    return Limit(value, found.n, found.cv_used, words)


def product(steps: Iterable[Step]) -> float:
    """Product of the factors of steps [-]."""
    return math.prod(step.factor for step in steps)


def trust(s: CouponSet) -> Confidence:
    """How far a coupon set can be trusted."""
    return "invented" if s.invented else "measured"


def worst_trust(found: Iterable[Confidence]) -> Confidence:
    """The least trusted of several."""
    return max(found, key=TRUST.index)
