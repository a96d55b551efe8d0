"""What the scale says, as reasons and conditions."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace

import pytest

from printworthy.inputs import Rules
from printworthy.results import Finding, Verdict, Weighed, Weight
from printworthy.verdict.weight import weight_reasons

Judge = Callable[..., Verdict]


def piece(finding: Finding, low: float = 0.9, high: float = 0.9) -> Weighed:
    return Weighed("one", 0.0223, low, high, 0.98, finding, (0.81, 0.9), (0.63, 0.9), "scale", False)


@pytest.mark.parametrize(
    ("finding", "effect", "words"),
    [
        ("as planned", "print", "piece one weighs 22.3 g, 90 % of the solid (98 % planned)"),
        (
            "under-extruded",
            "print with conditions",
            "reject it; 81 to 90 % of the strength in the layer and 63 to",
        ),
        ("over-extruded", "print with conditions", "look at its dimensions"),
        ("not decided", "print with conditions", "weigh a length of strand for its density"),
    ],
)
def test_a_weighed_piece(make: SimpleNamespace, rules: Rules, finding: Finding, effect: str, words: str) -> None:
    (reason,) = weight_reasons(make.part(), Weight(0.024, 0.025, (piece(finding),)), rules)
    assert reason.effect == effect
    assert words in reason.words


def test_where_inspection_counts_on_the_scale_the_mass_to_find_is_a_condition(
    judge: Judge, make: SimpleNamespace
) -> None:
    part = make.part(role="cover", inspection="weighed and measured")
    kept = judge(part=part, weight=Weight(0.024, 0.025, ())).conditions
    # 0.97 of the lightest, 1.03 of the heaviest solid
    assert any("weigh each piece: 23.28 to 25.75 g pass" in c for c in kept)
    assert not any("weigh each piece" in c for c in judge(weight=Weight(0.024, 0.025, ())).conditions)


def test_nothing_is_said_where_the_card_has_no_density(make: SimpleNamespace, rules: Rules) -> None:
    assert list(weight_reasons(make.part(), None, rules)) == []
