"""Design values: from coupons where they are enough, else the low end of the card, else a stated low bound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from printworthy.errors import CardError
from printworthy.evidence.limits import Question, limit_of, product, trust, worst_trust
from printworthy.evidence.service import Service, service_steps, untaken
from printworthy.evidence.values import low_end, needed, rule, rule_source
from printworthy.inputs import CouponSet, MaterialCard, Rules
from printworthy.results import DesignValue, DesignValues, Step

IN_LAYER = Question("in the layer, tension", "strength_in_layer", "in layer", "minimum_cv_in_layer")
ALONG = Question("along the beads, tension", "strength_along", "in layer", "minimum_cv_in_layer")
BETWEEN = Question("between layers, tension", "strength_through", "between layers", "minimum_cv_between")
SHEAR = Question("between layers, shear", "shear_between_layers", "interlayer shear", "minimum_cv_between")
OBLIQUE = Question("between layers, shear", "shear_between_layers", "45 degrees", "minimum_cv_between")


def design_values(
    card: MaterialCard, coupons: Sequence[CouponSet], rules: Rules, *, low: float, high: float, hours: float = 0.0,
    exposure: tuple[str, ...] = (), impact: bool = False,
) -> DesignValues:  # fmt: skip
    """Strengths of a printed polymer in layer axes for service between `low` and `high` [degC].

    Coupons of that material: lower limit (share and confidence of the rules, lognormal, stated minimum scatter), then
    the knock-downs to service: moisture, heat to `high`, a load that lasts `hours` [h], weathering by `exposure`. Cold
    gives no credit. `impact`: the part takes blows, so notched, fast, cold coupons lower the tensions where they are at
    hand. Fewer than three coupons: low end of the card, or the weakest coupon if that is lower. CardError for a metal,
    a crossed range, or a strength that nothing states.
    """
    if card.kind != "printed polymer":
        raise CardError(f"{card.name} is a metal", where=f"card {card.name}", do="Metals are compared, not printed")
    if not low <= high:
        raise CardError(f"service range {low:g} to {high:g} degC is crossed", do="State the lower temperature first")
    service = Service(low, high, hours, exposure, impact)
    every = [s for s in coupons if s.material == card.name]
    own = [s for s in every if not s.impact]
    blows = [s for s in every if s.impact and s.temperature <= low] if impact else []
    beads: tuple[DesignValue, DesignValue] | tuple[()] = ()
    if "strength_along" in card.values:
        along, across = ([s for s in own if _along(s) == way] for way in (True, False))
        beads = _beads(card, along, [s for s in blows if _along(s)], rules, service)
        own, blows = across, [s for s in blows if not _along(s)]
    x, hit_x = _with_blows(IN_LAYER, _strength(IN_LAYER, card, own, rules, service), blows, rules)
    z, hit_z = _with_blows(BETWEEN, _strength(BETWEEN, card, own, rules, service), blows, rules)
    s12 = _bound("in the layer, shear", "shear_in_layer", card, rules, service, x, "in_layer_shear_share")
    xc = _bound("in the layer, compression", "compression_in_layer", card, rules, service, x, "compression_share")
    zc = _bound("between layers, compression", "compression_through", card, rules, service, x, "closing_share")
    if zc.value < z.value:  # pressing layers together is never worse than pulling them apart
        step = Step("not below tension between layers", 1.0, "own reasoning", "share")
        zc = _scaled("between layers, compression", z, step, z.n)
    shear = _shear(card, own, rules, service, z)
    left = untaken(card, own, service, impact=hit_x and hit_z)
    return DesignValues(card.name, x, z, shear, s12, xc, zc, left, hit_x and hit_z, *beads)


def _along(coupons: CouponSet) -> bool:
    """Whether coupons speak of the strength along the beads alone."""
    return coupons.direction == "in layer" and coupons.beads == "along"


def _beads(
    card: MaterialCard, own: Sequence[CouponSet], blows: Sequence[CouponSet], rules: Rules, service: Service
) -> tuple[DesignValue, DesignValue]:
    """Tension and compression along the beads."""
    x1, _ = _with_blows(ALONG, _strength(ALONG, card, own, rules, service), blows, rules)
    name, share = "along the beads, compression", "compression_share"
    return x1, _bound(name, "compression_along", card, rules, service, x1, share)


def _with_blows(
    question: Question, value: DesignValue, blows: Sequence[CouponSet], rules: Rules
) -> tuple[DesignValue, bool]:
    """The value lowered to the limit of notched, fast, cold coupons where that is lower; whether there were enough.

    Such coupons were tested as the part is hit: no knock-down follows their limit.
    """
    found = limit_of(question, blows, rules, lambda _: ())
    if found is None:
        return value, False
    share = min(1.0, found.value / value.value)
    step = Step(f"blows: notched, fast, cold coupons, {found.basis}", share, found.source, "impact")
    lowered = replace(
        value, value=value.value * share, steps=(*value.steps, step), n=min(value.n, found.n),
        invented=value.invented or found.invented, confidence=worst_trust((value.confidence, found.confidence)),
    )  # fmt: skip
    return lowered, True


def _shear(card: MaterialCard, own: Sequence[CouponSet], rules: Rules, service: Service, z: DesignValue) -> DesignValue:
    """S from interlayer shear coupons, else 45 degree coupons, else the card, else a share of Z."""
    for question in (SHEAR, OBLIQUE):
        found = limit_of(question, own, rules, lambda tested: service_steps(card, rules, service, tested))
        if found is not None and question is OBLIQUE:
            why = "statics; the tension that acts with it is left out, so this is a low bound"
            half = Step("half of a 45 degree pull is shear on the layers", 0.5, why, "share")
            found = _scaled(OBLIQUE.name, found, half, found.n)
        if found is not None:
            return found
    if "shear_between_layers" in card.values:
        return _from_card(SHEAR, card, rules, service)
    share, source = rule(rules, "interlayer_shear_share"), rule_source(rules, "interlayer_shear_share")
    step = Step("low bound as a share of tension between layers", share, source, "bound")
    return _scaled(SHEAR.name, z, step, 0, "assumed low bound")


def _bound(
    name: str, property: str, card: MaterialCard, rules: Rules, service: Service, of: DesignValue, share: str
) -> DesignValue:
    """A strength no coupon of this tool measures: a stated share of the in-layer strength, or the card's if that is
    lower or if no coupons stand behind the in-layer value.

    The share keeps the number of coupons of the in-layer value: it is a bound for any material with that tension.
    """
    step = Step("low bound as a share of tension in the layer", rule(rules, share), rule_source(rules, share), "share")
    bound = _scaled(name, of, step, of.n, f"assumed low bound on {of.basis}")
    if property not in card.values:
        return bound
    stated = _from_card(Question(name, property, "in layer", ""), card, rules, service)
    if of.n == 0:
        return stated
    return replace(stated, n=of.n) if stated.value < bound.value else bound


def _scaled(name: str, of: DesignValue, step: Step, n: int, basis: str = "") -> DesignValue:
    trusted = worst_trust((of.confidence, "assumed" if basis else of.confidence))
    return replace(
        of, name=name, value=of.value * step.factor, steps=(*of.steps, step), basis=basis or of.basis, n=n,
        confidence="invented" if of.invented else trusted,
    )  # fmt: skip


def _strength(
    question: Question, card: MaterialCard, own: Sequence[CouponSet], rules: Rules, service: Service
) -> DesignValue:
    found = limit_of(question, own, rules, lambda tested: service_steps(card, rules, service, tested))
    if found is not None:
        return found
    value = _from_card(question, card, rules, service)
    few = [s for s in own if s.direction == question.direction and s.strengths]
    if not few:
        return value
    count = sum(len(s.strengths) for s in few)
    served = [(s, service_steps(card, rules, service, s)) for s in few]
    weakest, steps = min(served, key=lambda pair: min(pair[0].strengths) * product(pair[1]))
    least = min(weakest.strengths) * product(steps)
    too_few = f"{count} coupons are too few for a limit"
    if least >= value.value:
        return replace(value, basis=f"{value.basis}; {too_few}", n=count)
    return DesignValue(
        value.name, least, min(weakest.strengths), steps, f"weakest coupon, below the card; {too_few}",
        f"coupons {weakest.title}: {weakest.source}", trust(weakest), count, weakest.invented,
    )  # fmt: skip


def _from_card(question: Question, card: MaterialCard, rules: Rules, service: Service) -> DesignValue:
    quantity = needed(card, question.property)
    end = low_end(quantity)
    low: tuple[Step, ...] = ()
    if end != quantity.value:
        low = (Step("low end of the card", end / quantity.value, quantity.source, "low end"),)
    steps = (*low, *service_steps(card, rules, service))
    return DesignValue(
        name=question.name,
        value=quantity.value * product(steps),
        start=quantity.value,
        steps=steps,
        basis="low end of the card, no coupons",
        source=quantity.source,
        confidence=quantity.confidence,
        n=0,
        invented=quantity.confidence == "invented",
    )
