"""What infill does to the word: coupons printed solid say nothing about it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from printworthy.inputs import Consequence, Fill, Part
from printworthy.results import Reason
from printworthy.strength.zones import LAW, shares

RECKONED = ("strength", "stiffness", "check", "life")  # screens whose numbers hang on the infill


def fill_reason(part: Part, serious: Consequence) -> Iterator[Reason]:
    """The infill as a reason: measured, it leaves conditions; by the law, all but harmless parts are undecided."""
    fill = part.fill
    if fill is None:
        return
    stiffness, strength = shares(fill)
    has = f"{100 * stiffness:.3g} % of the stiffness, {100 * strength:.3g} % of the strength"
    words = f"{walls(fill)}: the infill has {has}"
    if any(case.duty is not None for case in part.cases):
        words += ", tiring as the solid print does (assumed)"
    if fill.measured:
        yield Reason("infill", f"{words}, as measured", "print with conditions", fill.source)
        return
    words += "; both shares by a law for foams, while coupons printed solid say nothing about it"
    if serious == "harmless":
        yield Reason("infill", words, "print with conditions", LAW)
    else:
        do = "measure both on pieces with the same infill and state them under [fill], or print it solid"
        yield Reason("infill", f"{words}: {do}", "not decided", LAW)


def walls(fill: Fill) -> str:
    """A fill in words."""
    return f"walls, bottom and top of {fill.wall:.3g} mm and infill of {100 * fill.density:.3g} %"


def unsure(reasons: tuple[Reason, ...], fill: Fill, solid: tuple[Reason, ...]) -> tuple[Reason, ...]:
    """Reasons in which no refusal rests on a law alone: one stands where the infill is measured, or where a reason of
    the same screen refuses the part even printed `solid`; otherwise it is not decided."""
    if fill.measured:
        return reasons
    sure = {r.screen for r in solid if r.effect == "do not print"}
    return tuple(
        replace(r, effect="not decided", words=f"{r.words}; but the infill's shares are not measured")
        if r.effect == "do not print" and r.screen in RECKONED and r.screen not in sure
        else r
        for r in reasons
    )
