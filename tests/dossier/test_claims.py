"""Claims of the trade: each gets one of three answers from the figures of the part, none without figures."""

from __future__ import annotations

from dataclasses import replace

import synthetic

from printworthy.dossier.claims import claims
from printworthy.inputs import Quantity
from printworthy.results import MetalOption, PartAssessment
from printworthy.workspace.cards import read_cards
from printworthy.workspace.rules import read_rules

CARDS = read_cards()
RULES = read_rules()


def answers(part: PartAssessment) -> list[str]:
    return [row.cells[1].text for row in claims(part, CARDS, RULES).rows]


def test_without_figures_a_claim_is_not_decided() -> None:
    part = synthetic.assessment().parts[0]
    bare = replace(part, metals=())
    assert answers(bare) == ["not decided"] * 3


def test_the_peak_load_is_that_of_the_same_solid() -> None:
    part = synthetic.assessment().parts[0]
    used, mass = part.option.result.utilisation, part.option.mass
    strong = MetalOption("al-6061-t6", mass / 0.5, 0.5 * used, "c")  # the metal bears twice as much
    weak = MetalOption("al-6061-t6", mass / 0.5, 1.1 * used, "c")
    heavy = MetalOption("al-6061-t6", mass / 0.7, 1.1 * used, "c")
    told = [answers(replace(part, metals=(m,)))[2] for m in (strong, weak, heavy)]
    assert told == ["does not hold", "holds", "does not hold"]


def test_a_share_of_moulded_is_answered_by_its_interval() -> None:
    """20 coupons, scatter 6 %: t(0.95; 19) 1.729, so that the mean is known to 1.729 x 6 / sqrt(20) = 2.3 %."""
    part = synthetic.assessment().parts[0]
    option = part.option
    x = replace(option.design.in_layer, start=86.0, n=20, cv=0.06)
    held = replace(part, options=(replace(option, design=replace(option.design, in_layer=x)),), chosen=0)
    cards = dict(CARDS)
    own = cards[option.result.material] if option.result.material in cards else cards["pa-cf"]

    def answer(moulded: float) -> str:
        stated = replace(own, values={**own.values, "moulded_strength": Quantity(moulded, "MPa", "t", "published")})
        return claims(held, {**cards, option.result.material: stated}, RULES).rows[0].cells[1].text

    assert [answer(m) for m in (97.0, 100.0, 105.0)] == ["holds", "not decided", "does not hold"]
