"""Which coupons of which direction to break next, over a vehicle: those that settle its worst part first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from printworthy.inputs import Part, Rules
from printworthy.results import PartAssessment, Word
from printworthy.verdict.need import SCREEN
from printworthy.verdict.table import governing, missing

OPEN: tuple[Word, ...] = (
    "not decided",
    "print with conditions",
)  # no coupon makes a refused part better, or a good one
BY_COUPONS = (SCREEN, "strength", "evidence")  # what broken coupons alone may answer


@dataclass(frozen=True, slots=True)
class NextTest:
    """What the coupons of one part would do: `used` utilisation [-], `strengths` that govern with the coupons behind
    each; `settles`: coupons alone stand between "not decided" and "print with conditions"."""

    part: str
    title: str
    word: Word
    used: float
    strengths: tuple[str, ...]
    settles: bool
    words: tuple[str, ...]


def next_tests(parts: Sequence[PartAssessment], stated: Mapping[str, Part], rules: Rules) -> tuple[NextTest, ...]:
    """One for each part that coupons could take further; those that coupons settle first, the most utilised first."""
    found = (_of(p, stated[p.part], rules) for p in parts if p.verdict.word in OPEN and p.part in stated)
    return tuple(sorted((n for n in found if n.words), key=lambda n: (not n.settles, -n.used)))


def _of(part: PartAssessment, stated: Part, rules: Rules) -> NextTest:
    option, word = part.option, part.verdict.word
    strengths = governing(option.result, option.design, rules)
    asked = tuple(r.words for r in option.verdict.reasons if r.screen == SCREEN)
    harmless = part.consequence == "harmless"  # a card is enough there
    shear = () if harmless else tuple(r.words for r in option.verdict.reasons if r.screen == "shear")
    more = missing(part.consequence, strengths, stated, rules) if not asked else ()
    words = (*asked, *(w for w in more if w.startswith("break")), *shear)
    have = tuple(f"{g.value.name}: {g.value.n or 'no'} coupons" for g in strengths)
    other = any(r.effect == "not decided" and r.screen not in BY_COUPONS for r in option.verdict.reasons)
    settles = word == "not decided" and not other and any(w.startswith("break") for w in asked)
    return NextTest(part.part, part.title, word, option.result.utilisation, have, settles, words)
