"""What heat and moisture take from a strength, as named steps with their source.

Heat: a heat-deflection temperature (ISO 75) is the temperature at which the modulus has fallen to a known value, so two
of them and the modulus at 23 degC are three points of a modulus curve. Strength is taken to fall as that curve does.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from printworthy.errors import CardError
from printworthy.evidence.values import ROOM, high_end, low_end, needed
from printworthy.inputs import MaterialCard
from printworthy.results import DesignValue, DesignValues, Step

Array = NDArray[np.float64]
STRAIN = 0.002  # [-] ISO 75: the flexural strain that is added while heating; 0.2 % from memory
STRESSES = {"hdt_180": 1.80, "hdt_045": 0.45}  # [MPa] ISO 75-2 methods A and B
HEAT = "heat, "  # begins the name of a heat step
MOIST = ("moist", "conditioned", "wet", "saturated", "equilibrium", "50 %")


@dataclass(frozen=True, slots=True)
class Retention:
    """Share of the strength at `tested` left at `temperature` [degC]: `factor` is used, `best` is the most possible.

    `decided` False: the card's points do not reach that far; `factor` then belongs to the hottest point.
    """

    factor: float
    best: float
    decided: bool
    reach: float
    words: str


def modulus_at_hdt(stress: float, modulus: float, strain: float = STRAIN) -> float:
    """Modulus [MPa] at a heat-deflection temperature: stress / (strain + stress / modulus), both in [MPa].

    ISO 75-1/-2: the strain INCREASES by 0.2 % while heating, over the strain the load made at the start; stress / 0.002
    would be an upper bound on the unsafe side. Includes the creep of a 120 K/h ramp.
    """
    return stress / (strain + stress / modulus)


def modulus_points(card: MaterialCard) -> tuple[tuple[float, float], ...]:
    """(temperature [degC], modulus [MPa]) from 23 degC up: the start modulus and the card's deflection temperatures.

    Low ends of the temperatures are used. CardError if they are in an impossible order.
    """
    start = needed(card, "modulus_in_layer").value
    points = [(ROOM, start)]
    for name, stress in STRESSES.items():
        if name in card.values:
            points.append((low_end(card.values[name]), modulus_at_hdt(stress, start)))
    for (cool, _), (hot, _) in pairwise(points):
        if hot <= cool:
            raise CardError(
                f"a heat-deflection temperature of {hot:g} degC does not lie above {cool:g} degC",
                where=f"card {card.name}",
                do="hdt_180 must exceed 23 degC and hdt_045 must exceed hdt_180",
            )
    return tuple(points)


def reach(card: MaterialCard) -> float:
    """Hottest temperature [degC] the card's points speak for: the last deflection temperature, never past melting, and
    for a polymer without a melting point never past its glass transition."""
    hottest = modulus_points(card)[-1][0]
    end = card.number("melting") if "melting" in card.values else card.number("glass_transition")
    return hottest if end is None else min(hottest, end)


def _log_retention(points: tuple[tuple[float, float], ...], temperature: float) -> float:
    """ln(E(T) / E(23 degC)) by straight lines in ln E; the first line also serves below 23 degC."""
    start = math.log(points[0][1])
    for (cool, low), (hot, high) in pairwise(points):
        if temperature <= hot or hot == points[-1][0]:
            share = (temperature - cool) / (hot - cool)
            return math.log(low) + share * math.log(high / low) - start
    return 0.0


def temperature_factor(card: MaterialCard, temperature: float, tested: float = ROOM) -> Retention:
    """Share [-] of a strength measured at `tested` [degC] that is left at `temperature` [degC].

    Straight lines in the logarithm of the modulus through 23 degC and the card's points (see `modulus_at_hdt`); that
     strength falls as the modulus does is assumed. A chord lies below the modulus of a glassy polymer, which stays
    high and then drops, so the factor is on the low side up to the glass transition; for filled polyamides it was
    compared with "about half the strength at 80 degC" (moulded, from memory) and lies below. No credit for cold.
    """
    points = modulus_points(card)
    if temperature <= tested:
        return Retention(1.0, 1.0, True, points[-1][0], f"tested at {tested:g} degC, which is not cooler than service")
    limit = reach(card)
    if len(points) == 1:
        words = f"the card has no heat-deflection temperature, so nothing is known above {tested:g} degC"
        return Retention(1.0, 1.0, False, tested, words)
    hot = min(temperature, limit)
    factor = min(1.0, math.exp(_log_retention(points, hot) - _log_retention(points, min(tested, limit))))
    words = f"from {tested:g} to {temperature:g} degC"
    if temperature > limit:
        words += f", NOT DECIDED: the card speaks only up to {limit:g} degC, the factor is for there"
    return Retention(factor, 1.0, temperature <= limit, limit, words)


def temperature_step(card: MaterialCard, temperature: float, tested: float = ROOM) -> Step | None:
    """The heat step to `temperature` [degC], or None where nothing is taken off."""
    kept = temperature_factor(card, temperature, tested)
    if kept.factor == 1.0 and kept.decided:
        return None
    source = "strength follows the modulus through the ISO 75 points of the card (assumed): sigma/(0.002 + sigma/E0)"
    return Step(f"{HEAT}{kept.words}", kept.factor, source, "heat")


def is_moist(words: str) -> bool:
    """True if a moisture state says that the polymer has taken up water."""
    return any(mark in words.lower() for mark in MOIST) and "not moist" not in words.lower()


def moisture_step(card: MaterialCard, tested: str) -> Step | None:
    """The moisture step for coupons whose moisture is stated as `tested`; None for moist coupons and for polymers whose
    card has no moisture factor. Coupons whose moisture nobody wrote down are taken as dry: that is the safe reading."""
    if "moisture_factor" not in card.values or is_moist(tested):
        return None
    quantity = card.values["moisture_factor"]
    state = tested or "moisture not recorded, taken as dry"
    source = f"{quantity.source} ({quantity.confidence})"
    return Step(f"moisture, coupons {state}", low_end(quantity), source, "moisture")


def best_moisture(card: MaterialCard) -> float:
    """Largest share [-] of the dry strength that may be left when moist."""
    return high_end(card.values["moisture_factor"]) if "moisture_factor" in card.values else 1.0


def relief(card: MaterialCard, design: DesignValues, hottest: float, temperatures: Array) -> dict[str, Array]:
    """What each strength of `design`, made for `hottest` [degC], gains at `temperatures` (p,) [degC]; by its field.

    The heat step again, at every point's own temperature (`temperature_factor`), but never more than the step took
    off: a point cooler than the coupons were tested at gains nothing beyond them.
    """
    points, limit = modulus_points(card), reach(card)
    knots = [t for t, _ in points]
    logs = [_log_retention(points, t) for t in knots]
    gain = np.exp(np.interp(np.minimum(temperatures, limit), knots, logs) - np.interp(min(hottest, limit), knots, logs))
    found = {}
    for item in fields(design):
        value = getattr(design, item.name)
        if isinstance(value, DesignValue):
            taken = math.prod(step.factor for step in value.steps if step.name.startswith(HEAT))
            found[item.name] = np.minimum(gain, 1 / taken)
    return found
