"""Life under repeated load as a reason: what is sure to last, what is sure to tire, and what a person must keep."""

from __future__ import annotations

import math

from printworthy.evidence.values import rule
from printworthy.inputs import Part, Rules
from printworthy.results import LONGEST, Life, Reason
from printworthy.verdict.words import consequence

SOURCE = "Miner's sum over the stated duties, S-N sets by direction (see Life)"
OWN = "own rule: plain 'print' asks for life, and a crack between layers is not waited for (docs/method/fatigue.md)"


def life_reason(part: Part, life: Life | None, rules: Rules, *, layers: bool = False) -> Reason:
    """Life against the life wanted; `layers`: whether strength between layers governs, where no life was computed.

    Reached by the share of pieces of the rules: holds. Missed by half of the pieces even without any factor: fails.
    Between, the part retires early, unless that were too early to be of use. Without figures: a single point of failure
    is not decided; a part that may injure and whose layers govern needs a stated retirement life, because a crack
    between layers runs before anyone sees it; where the plane of the layer governs it is looked over at intervals;
    what harms nobody may break.
    """
    if life is None or life.low is None or life.middle is None:
        between = layers if life is None else life.between_layers
        return _undecided(part, life, rules, layers=between)
    sure = f"{100 * rule(rules, 'tolerance_part'):g} % of pieces with {100 * rule(rules, 'tolerance_confidence'):g} %"
    low = f"{ride(life.low, life)} of ride ({sure} confidence)"
    harmless = consequence(part, rules) == "harmless"
    if life.wanted is None and life.low >= 1:
        words = f"lasts {low}; no design_life is stated: retire it after {ride(life.low, life)}, cracks or not"
        return Reason("life", words, "print with conditions", SOURCE)
    if life.wanted is not None and life.middle < life.wanted.value:
        words = (
            f"half of the pieces break within {ride(life.middle, life)} even without any factor, {life.wanted} wanted; "
            f"a design_life of {ride(life.low, life)} would hold"
        )
        return Reason("life", words, "do not print", SOURCE)
    if life.wanted is None or life.low < rule(rules, "shortest_retirement") * life.wanted.value:
        words = (
            f"lasts {low}, too short to be useful, while half of the pieces may reach {ride(life.middle, life)}: tire "
            "more coupons, or work the part less"
        )
        return Reason("life", words, "print with conditions" if harmless else "not decided", SOURCE)
    if life.low < life.wanted.value:
        words = (
            f"lasts {low}, less than the {life.wanted} wanted: retire it after {ride(life.low, life)}, cracks or not"
        )
        return Reason("life", words, "print with conditions", SOURCE)
    if not life.tested:
        words = (
            f"lasts {low}, {life.wanted} wanted, by a line drawn on beyond what was tested: retire it after "
            f"{life.wanted}, and tire coupons at more levels and for longer"
        )
        return Reason("life", words, "print with conditions", SOURCE)
    return Reason("life", f"lasts {low}, {life.wanted} wanted", "print", SOURCE)


def _undecided(part: Part, life: Life | None, rules: Rules, *, layers: bool) -> Reason:
    """What an unknown life leaves: by whom it harms, and by whether a crack can be seen before the part breaks."""
    missing = "; ".join(life.missing) if life is not None else "it was not computed"
    stated, serious = part.retirement_life.strip(), consequence(part, rules)
    open_ = f"life is not decided: {missing}"
    if serious == "single point of failure":
        age = f" The stated retirement life ({stated}) rests on no test." if stated else ""
        words = f"{open_}.{age} One failure is one accident: an age to retire at must be computed from such tests"
        return Reason("life", words, "not decided", OWN)
    if not layers:
        every = f"every {part.inspection_interval} (stated)" if part.inspection_interval else "before every ride"
        age = f", and retire it as stated: {stated}" if stated else ""
        words = f"{open_}. The plane of the layer governs: look for cracks and sag {every}{age}"
        return Reason("life", words, "print with conditions", OWN)
    runs = f"{open_}. Strength between layers governs, and a crack there runs before it is seen"
    if serious == "harmless":
        age = f"as stated: {stated}" if stated else "at an age of your own choice"
        words = f"{runs}: it may break on any ride, which harms nobody; retire it {age}, whether or not a crack shows"
        return Reason("life", words, "print with conditions", OWN)
    if stated:
        words = (
            f"{runs}: the word stands on the retirement life that was stated and not computed: {stated}. Retire it "
            "then, whether or not a crack shows; look for sag"
        )
        return Reason("life", words, "print with conditions", OWN)
    instead = " (an inspection interval does not stand in for it)" if part.inspection_interval else ""
    words = (
        f"{runs}: state a retirement life, an age or ride that will be kept (retirement_life){instead}, or tire coupons"
    )
    return Reason("life", words, "not decided", OWN)


def ride(value: float, life: Life) -> str:
    """A length of ride in words, two digits, rounded down."""
    if value >= LONGEST:
        return f"{_plain(LONGEST)} {life.per} and more"
    if value <= 0:
        return f"0 {life.per}"
    unit = 10.0 ** (math.floor(math.log10(value)) - 1)
    return f"{_plain(math.floor(value / unit * (1 + 1e-12)) * unit)} {life.per}"


def _plain(value: float) -> str:
    return f"{value:.6g}" if value < 1e4 else f"{value:,.0f}".replace(",", "\u202f")
