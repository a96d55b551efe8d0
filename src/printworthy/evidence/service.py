"""What service takes from a strength: every knock-down asked by name, taken with its source or left with its reason."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from printworthy.errors import CardError
from printworthy.evidence.knockdown import moisture_step, temperature_step
from printworthy.evidence.values import low_end, rule, rule_source
from printworthy.inputs import CouponSet, FatigueSet, MaterialCard, Rules
from printworthy.results import Step

LONGEST = 1e5  # [h] the rule for lasting loads reaches no further


@dataclass(frozen=True, slots=True)
class Service:
    """What a part must bear: `low` to `high` [degC], `hours` [h] of its longest lasting load (0: none stated),
    exposures in words, and whether it takes blows."""

    low: float
    high: float
    hours: float = 0.0
    exposure: tuple[str, ...] = ()
    impact: bool = False


def service_steps(
    card: MaterialCard, rules: Rules, service: Service, tested: CouponSet | None = None
) -> tuple[Step, ...]:
    """Knock-downs from the state of coupons `tested` (None: values of the card) to service conditions."""
    temperature = {} if tested is None else {"tested": tested.temperature}
    asked = (
        None if card.number("strength_along") else bead_step(rules, tested),  # else each way has its own strength
        None if tested is None else moisture_step(card, tested.moisture),
        temperature_step(card, service.high, **temperature),
        lasting_step(rules, service.hours),
        weathering_step(card, service),
    )
    return tuple(step for step in asked if step is not None)


def bead_step(rules: Rules, tested: CouponSet | FatigueSet | None) -> Step | None:
    """Coupons in the layer pulled along their beads, where X is the weakest direction in the layer; else None."""
    if tested is None or tested.direction != "in layer" or tested.beads != "along":
        return None
    share = rule(rules, "across_beads_share")
    return Step("coupons pulled along their beads", share, rule_source(rules, "across_beads_share"), "beads")


def lasting_factor(hours: float, per_decade: float, start: float) -> float:
    """Share [-] of the short-time strength that bears a load for `hours`: 1 - per_decade log10(hours / start), `start`
    [h]. A straight line in log time, as creep-rupture data of plastics are drawn (design guides, from memory).

    CardError beyond 1e5 h, or where the line comes below a fifth.
    """
    if not 0 <= hours <= LONGEST:
        raise CardError(f"a load that lasts {hours:g} h is out of range", do=f"Taken are 0 to {LONGEST:g} h")
    kept = 1.0 if hours <= start else 1 - per_decade * math.log10(hours / start)
    if kept < 0.2:
        raise CardError(f"a load that lasts {hours:g} h leaves {kept:.2f} of the strength", do="Test coupons that long")
    return kept


def lasting_step(rules: Rules, hours: float) -> Step | None:
    """The step for a load that stays on; None where none is stated."""
    kept = lasting_factor(hours, rule(rules, "lasting_per_decade"), rule(rules, "lasting_start") / 3600)
    if kept == 1.0:
        return None
    return Step(f"load that lasts {hours:g} h", kept, rule_source(rules, "lasting_per_decade"), "lasting load")


def weathering_step(card: MaterialCard, service: Service) -> Step | None:
    """The card's share for sunlight and rain, if the part is exposed and the card has one."""
    if "sunlight" not in service.exposure or "weathering_factor" not in card.values:
        return None
    quantity = card.values["weathering_factor"]
    return Step("weathering", low_end(quantity), f"{quantity.source} ({quantity.confidence})", "weathering")


def untaken(card: MaterialCard, own: Sequence[CouponSet], service: Service, *, impact: bool) -> tuple[Step, ...]:
    """Knock-downs that were asked and not taken, factor 1, with the reason where a source would stand."""
    return tuple(Step(name, 1.0, why) for name, why in _left(card, own, service, impact))


def _left(card: MaterialCard, own: Sequence[CouponSet], service: Service, impact: bool) -> Iterator[tuple[str, str]]:
    if "moisture_factor" not in card.values:
        yield "moisture", "the card names no loss: the polymer takes up little water"
    if not any(s.direction == "in layer" and s.beads for s in own):
        yield "bead direction", "nobody said how coupons in the layer were pulled against their beads: taken as weakest"
    if service.hours == 0:
        yield "lasting load", "no lasting load is stated for the part (lasting_load)"
    if "sunlight" not in service.exposure:
        yield "weathering", "the part is not stated to stand in sunlight"
    elif "weathering_factor" not in card.values:
        yield "weathering", "sunlight is stated and the card has no weathering_factor: a condition, not a figure"
    if service.impact and not impact:
        yield "blows in the cold", "no notched impact coupons of both directions at the cold end of service"
    yield "notch", "peaks of stress are in the finite elements, the skin as printed is in the coupons"
    yield "size", "the stressed volume of the part is not compared with that of a coupon"


# ---- creep and size as curves, for joints, seats and coupons ---------------------------------------------------------


def findley_factor(hours: float, amplitude: float, exponent: float) -> float:
    """Share [-] of the short-time modulus left after `hours` [h] under load: 1 / (1 + m t^n).

    W. N. Findley, Polym. Eng. Sci. 27 (1987) 582 (26 years of creep; from memory): strain = strain0 + m t^n at constant
    stress, in the linear range. CardError for a negative time or constants out of 0 < n < 1, m >= 0.
    """
    if hours < 0 or amplitude < 0 or not 0 < exponent < 1:
        raise CardError("creep needs t >= 0, m >= 0 and 0 < n < 1", do="Correct creep_amplitude and creep_exponent")
    return float(1 / (1 + amplitude * hours**exponent))


def shift_factor(temperature: float, reference: float, c1: float = 17.44, c2: float = 51.6) -> float:
    """log10 aT [-] of time-temperature superposition at `temperature` [degC] against `reference` [degC].

    M. L. Williams, R. F. Landel, J. D. Ferry, J. Amer. Chem. Soc. 77 (1955) 3701: -c1 (T - Tr) / (c2 + T - Tr), with
    the universal constants for Tr at the glass transition, good from there to 100 K above; CardError outside.
    """
    away = temperature - reference
    if not 0 <= away <= 100:
        raise CardError(f"{temperature:g} degC is not 0 to 100 K above {reference:g} degC", do="WLF holds only there")
    return -c1 * away / (c2 + away)


def size_factor(shape: float, tested: float, stressed: float) -> float:
    """Share [-] of a strength left where the stressed volume grows from `tested` to `stressed` [mm3]: weakest link,
    (tested / stressed)^(1 / shape). W. Weibull, J. Appl. Mech. 18 (1951) 293. Positive arguments."""
    return float((tested / stressed) ** (1 / shape))
