"""Life under repeated load as a reason: what is sure to last, what is sure to tire, and what a person must keep."""

from __future__ import annotations

import math

from printworthy.evidence.values import rule
from printworthy.inputs import Part, Rules
from printworthy.results import LONGEST, Life, Reason
from printworthy.verdict.words import consequence

SOURCE = "Miner's sum over the stated duties, S-N sets by direction (see Life)"
OWN = "own rule: plain 'print' asks for strength, stiffness, buckling, slip and life"


def life_reason(part: Part, life: Life | None, rules: Rules) -> Reason:
    """Life against the life wanted.

    Reached by the share of pieces of the rules: holds. Missed by half of the pieces even without any factor: fails.
    Between, the part retires early, unless that were too early to be of use. Without figures it is a condition; for a
    part whose layers govern that is a retirement, because a crack between layers runs before anyone sees it.
    """
    if life is None or life.low is None or life.middle is None:
        return _undecided(part, life)
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


def _undecided(part: Part, life: Life | None) -> Reason:
    missing = "; ".join(life.missing) if life is not None else "it was not computed"
    if life is not None and life.between_layers:
        age = "" if part.retirement_life.strip() else " (state retirement_life)"
        words = (
            f"life is not decided: {missing}. Strength between layers governs, and a crack there runs before "
            f"it is seen: retire the part at a stated age or ride{age}, whether or not a crack shows; look for sag"
        )
    else:
        words = f"life is not decided: {missing}. Inspect for cracks and sag, and set a retirement life"
    return Reason("life", words, "print with conditions", OWN)


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
