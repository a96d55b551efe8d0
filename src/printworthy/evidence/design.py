"""Design values: from coupons where they are enough, else the low end of the card, else a stated low bound."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from printworthy.errors import CardError
from printworthy.evidence import coupons as statistics
from printworthy.evidence.knockdown import moisture_step, temperature_step
from printworthy.evidence.values import low_end, needed, rule, rule_source
from printworthy.inputs import Confidence, CouponDirection, CouponSet, MaterialCard, Rules
from printworthy.results import DesignValue, DesignValues, Step

TRUST: tuple[Confidence, ...] = (
    "measured",
    "published",
    "from memory",
    "common practice, no source",
    "assumed",
    "invented",
)


@dataclass(frozen=True, slots=True)
class _Question:
    """One strength: its words, card property, coupon direction and the rule that holds its least scatter."""

    name: str
    property: str
    direction: CouponDirection
    scatter: str


IN_LAYER = _Question("in the layer, tension", "strength_in_layer", "in layer", "minimum_cv_in_layer")
BETWEEN = _Question("between layers, tension", "strength_through", "between layers", "minimum_cv_between")
SHEAR = _Question("between layers, shear", "shear_between_layers", "interlayer shear", "minimum_cv_between")
OBLIQUE = _Question("between layers, shear", "shear_between_layers", "45 degrees", "minimum_cv_between")


def design_values(
    card: MaterialCard, coupons: Sequence[CouponSet], rules: Rules, *, low: float, high: float
) -> DesignValues:
    """Strengths of a printed polymer in layer axes for service between `low` and `high` [degC].

    Coupons of that material: lower limit (share and confidence of the rules, lognormal, stated minimum scatter), then
    moisture and heat steps to `high`. Cold gives no credit. Fewer than three coupons: low end of the card, or the
    weakest coupon if that is lower. CardError for a metal, a crossed range, or a strength that nothing states.
    """
    if card.kind != "printed polymer":
        raise CardError(f"{card.name} is a metal", where=f"card {card.name}", do="Metals are compared, not printed")
    if not low <= high:
        raise CardError(f"service range {low:g} to {high:g} degC is crossed", do="State the lower temperature first")
    own = [s for s in coupons if s.material == card.name]
    x = _strength(IN_LAYER, card, own, rules, high)
    z = _strength(BETWEEN, card, own, rules, high)
    s12 = _bound("in the layer, shear", "shear_in_layer", card, rules, high, x, "in_layer_shear_share")
    xc = _bound("in the layer, compression", "compression_in_layer", card, rules, high, x, "compression_share")
    zc = _bound("between layers, compression", "compression_through", card, rules, high, x, "closing_share")
    if zc.value < z.value:  # pressing layers together is never worse than pulling them apart
        zc = _scaled(
            "between layers, compression", z, Step("not below tension between layers", 1.0, "own reasoning"), z.n
        )
    return DesignValues(card.name, x, z, _shear(card, own, rules, high, z), s12, xc, zc)


def _shear(card: MaterialCard, own: Sequence[CouponSet], rules: Rules, high: float, z: DesignValue) -> DesignValue:
    """S from interlayer shear coupons, else 45 degree coupons, else the card, else a share of Z."""
    for question in (SHEAR, OBLIQUE):
        found = _from_coupons(question, card, own, rules, high)
        if found is not None and question is OBLIQUE:
            half = Step(
                "half of a 45 degree pull is shear on the layers",
                0.5,
                "statics; the tension that acts with it is left out, so this is a low bound",
            )
            found = _scaled(OBLIQUE.name, found, half, found.n)
        if found is not None:
            return found
    if "shear_between_layers" in card.values:
        return _from_card(SHEAR, card, high)
    share = rule(rules, "interlayer_shear_share")
    step = Step("low bound as a share of tension between layers", share, rule_source(rules, "interlayer_shear_share"))
    return _scaled(SHEAR.name, z, step, 0, "assumed low bound")


def _bound(
    name: str, property: str, card: MaterialCard, rules: Rules, high: float, of: DesignValue, share: str
) -> DesignValue:
    """A strength no coupon of this tool measures: a stated share of the in-layer strength, or the card's if that is
    lower or if no coupons stand behind the in-layer value.

    The share keeps the number of coupons of the in-layer value: it is a bound for any material with that tension.
    """
    step = Step("low bound as a share of tension in the layer", rule(rules, share), rule_source(rules, share))
    bound = _scaled(name, of, step, of.n, f"assumed low bound on {of.basis}")
    if property not in card.values:
        return bound
    stated = _from_card(_Question(name, property, "in layer", ""), card, high)
    if of.n == 0:
        return stated
    return replace(stated, n=of.n) if stated.value < bound.value else bound


def _scaled(name: str, of: DesignValue, step: Step, n: int, basis: str = "") -> DesignValue:
    confidence: Confidence = (
        "invented" if of.invented else _worst((of.confidence, "assumed" if basis else of.confidence))
    )
    return DesignValue(
        name,
        of.value * step.factor,
        of.start,
        (*of.steps, step),
        basis or of.basis,
        of.source,
        confidence,
        n,
        of.invented,
    )


def _strength(
    question: _Question, card: MaterialCard, own: Sequence[CouponSet], rules: Rules, high: float
) -> DesignValue:
    found = _from_coupons(question, card, own, rules, high)
    if found is not None:
        return found
    value = _from_card(question, card, high)
    few = [(s, min(s.strengths)) for s in own if s.direction == question.direction and s.strengths]
    count = sum(len(s.strengths) for s, _ in few)
    if not few:
        return value
    weakest, least = min(((s, m * _product(_steps(card, s, high))) for s, m in few), key=lambda pair: pair[1])
    too_few = f"{count} coupons are too few for a limit"
    if least >= value.value:
        return DesignValue(
            value.name, value.value, value.start, value.steps, f"{value.basis}; {too_few}", value.source,
            value.confidence, count, value.invented,
        )  # fmt: skip
    steps = _steps(card, weakest, high)
    return DesignValue(
        value.name, least, min(weakest.strengths), steps, f"weakest coupon, below the card; {too_few}",
        f"coupons {weakest.name}: {weakest.source}", _trust(weakest), count, weakest.invented,
    )  # fmt: skip


def _from_card(question: _Question, card: MaterialCard, high: float) -> DesignValue:
    quantity = needed(card, question.property)
    end = low_end(quantity)
    steps: tuple[Step, ...] = ()
    if end != quantity.value:
        steps = (Step("low end of the card", end / quantity.value, quantity.source),)
    heat = temperature_step(card, high)
    steps = steps if heat is None else (*steps, heat)
    return DesignValue(
        name=question.name,
        value=quantity.value * _product(steps),
        start=quantity.value,
        steps=steps,
        basis="low end of the card, no coupons",
        source=quantity.source,
        confidence=quantity.confidence,
        n=0,
        invented=quantity.confidence == "invented",
    )


def _from_coupons(
    question: _Question, card: MaterialCard, own: Sequence[CouponSet], rules: Rules, high: float
) -> DesignValue | None:
    """Limit from the coupons that need the fewest steps to service conditions; among those the lowest. None below 3."""
    conditions: dict[tuple[float, str], list[CouponSet]] = defaultdict(list)
    for s in own:
        if s.direction == question.direction:
            conditions[(s.temperature, s.moisture)].append(s)
    candidates = []
    for sets in conditions.values():
        if sum(len(s.strengths) for s in sets) >= statistics.SMALLEST:
            steps = _steps(card, sets[0], high)
            candidates.append((len(steps), _limit(question, sets, steps, rules)))
    if not candidates:
        return None
    fewest = min(count for count, _ in candidates)
    return min((value for count, value in candidates if count == fewest), key=lambda value: value.value)


def _limit(question: _Question, sets: Sequence[CouponSet], steps: tuple[Step, ...], rules: Rules) -> DesignValue:
    """Lower limit of one or several sets tested alike, with the steps that follow it."""
    batches = [s.strengths for s in sets]
    p, confidence = rule(rules, "tolerance_part"), rule(rules, "tolerance_confidence")
    minimum = rule(rules, question.scatter)
    promise = f"{100 * p:g} % of parts with {100 * confidence:g} % confidence"
    pooled = [x for b in batches for x in b]
    value, n, words = _several(batches, pooled, p, confidence, minimum)
    mean = float(np.mean(pooled))
    limit = Step(f"lower limit of {n} coupons: {promise} ({words})", value / mean, "CMH-17-1G ch. 8; non-central t")
    names = ", ".join(s.name for s in sets)
    return DesignValue(
        name=question.name,
        value=mean * limit.factor * _product(steps),
        start=mean,
        steps=(limit, *steps),
        basis=f"lower limit of {n} coupons, {promise}",
        source=f"coupons {names}: " + "; ".join(dict.fromkeys(s.source for s in sets)),
        confidence=_worst(_trust(s) for s in sets),
        n=n,
        invented=any(s.invented for s in sets),
    )


def _several(
    batches: Sequence[Sequence[float]], pooled: Sequence[float], p: float, confidence: float, minimum: float
) -> tuple[float, int, str]:
    """Limit [MPa], coupons behind it, and how: pooled while the batch means agree, else the lowest honest answer.

    Batches that differ: the lowest limit of any batch of three or more; with three batches or more also the random
    effects limit, which speaks for batches not yet made; a smaller batch with a lower coupon takes over (and its few
    coupons then stand behind the value).
    """
    logs = [tuple(math.log(x) for x in b) for b in batches]
    if not statistics.batches_differ(logs):
        found = statistics.lower_limit(pooled, p=p, confidence=confidence, minimum_cv=minimum)
        return found.value, found.n, found.words + (f", {len(batches)} batches that agree" if len(batches) > 1 else "")
    options = []
    for b in batches:
        if len(b) >= statistics.SMALLEST:
            one = statistics.lower_limit(b, p=p, confidence=confidence, minimum_cv=minimum)
            options.append((one.value, one.n, f"batches differ, lowest one used; {one.words}"))
        else:
            options.append((min(b), len(b), "batches differ, weakest coupon of a small batch"))
    if len(batches) >= 3:
        least = statistics.log_deviation(minimum)
        across = statistics.between_batch_limit(logs, p=p, confidence=confidence, minimum_deviation=least)
        options.append((math.exp(across), len(pooled), f"{len(batches)} batches that differ, random effects"))
    return min(options)


def _steps(card: MaterialCard, tested: CouponSet, high: float) -> tuple[Step, ...]:
    found = (moisture_step(card, tested.moisture), temperature_step(card, high, tested.temperature))
    return tuple(step for step in found if step is not None)


def _product(steps: Iterable[Step]) -> float:
    return math.prod(step.factor for step in steps)


def _trust(s: CouponSet) -> Confidence:
    return "invented" if s.invented else "measured"


def _worst(found: Iterable[Confidence]) -> Confidence:
    return max(found, key=TRUST.index)
