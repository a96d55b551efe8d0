"""What to test next: how many coupons of which direction, and what they must show, before anyone breaks one."""

from __future__ import annotations

import math
from collections.abc import Iterator

from printworthy.evidence.need import MOST, Need, needed
from printworthy.evidence.values import rule
from printworthy.inputs import Consequence, Rules
from printworthy.results import DesignValues, DirectionResult, Reason, Word
from printworthy.verdict.table import governing

SCREEN = "next test"
SOURCE = "tolerance factor for the number of coupons (CMH-17-1G ch. 8), knock-downs to service as they stand"


def need_reason(
    consequence: Consequence, rules: Rules, design: DesignValues, result: DirectionResult, highest: float,
    word: Word,
) -> Iterator[Reason]:  # fmt: skip
    """Coupons that would settle a part whose `word` so far is "not decided" for want of them.

    `highest`: largest utilisation with its mesh error [-]. The strength that governs must become `highest` times what
    it is; strengths bound to it follow, the others are taken not to fall behind.
    """
    if word != "not decided" or (consequence == "harmless" and highest <= 1):
        return
    least, told = int(rule(rules, "n_conditions")), set()
    for g in governing(result, design, rules):
        wanted = g.value.value * highest
        if g.value.n >= least and highest <= 1:
            continue
        line = words(needed(g.value, g.direction, wanted, rules, least=least), g.value.n)
        if line not in told:
            yield Reason(SCREEN, line, "print", SOURCE)
        told.add(line)


def words(need: Need, have: int) -> str:
    """A need as one line; the mean is rounded up."""
    if need.n == 0:
        return (
            f"no number of coupons '{need.direction}' up to {MOST} with the mean ({need.mean:.3g} MPa) and scatter "
            f"({100 * need.cv:.0f} %) at hand is enough: take load off, turn it, or choose another polymer"
        )
    if have >= 3 and need.more == 0:
        return f"the coupons '{need.direction}' at hand are enough in number"
    mean = math.ceil(need.mean * 10) / 10
    shown = "with the mean and scatter of those at hand" if have >= 3 else f"with a mean of {mean:g} MPa or more"
    return (
        f"break {need.more} more coupons '{need.direction}' ({need.n} in all) {shown} and a scatter up to "
        f"{100 * need.cv:.0f} %, tested in the state of those at hand or of the card: then strength holds and "
        "'print with conditions' is within reach"
    )
