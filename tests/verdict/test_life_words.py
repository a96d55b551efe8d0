"""Life against the life wanted, by hand: a bar whose layers are opened by 5 MPa again and again.

The S-N line is drawn through lives made from log10 N = 11 - 8 log10 amplitude with a scatter laid out by hand, so that
its middle is known: at amplitude 2.5 MPa, 10^(11 - 8 log10 2.5) = 6.55e7 cycles.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from printworthy.errors import Place
from printworthy.inputs import Cycle, Duty, FatigueSet, LoadCase, Part, RideSpan, Rules
from printworthy.results import CaseResult, Life, Verdict
from printworthy.verdict import Mesh, life
from printworthy.verdict.lasting import life_reason, ride

UP = "between layers, tension with shear"
AMPLITUDES = np.repeat([2.0, 3.0, 4.0], 6)
SPREAD = np.tile([-0.3, -0.2, -0.1, 0.1, 0.2, 0.3], 3)
LIVES = 10 ** (11 - 8 * np.log10(AMPLITUDES) + SPREAD)
Judge = Callable[..., Verdict]


def tired(direction: str = "between layers", material: str = "stuff", **changed: object) -> FatigueSet:
    made = FatigueSet(
        direction, material, direction, 0.0, tuple(AMPLITUDES), tuple(LIVES), (False,) * 18, 23.0, "", "drawn", False,
        Place(Path("t.csv"), 2),
    )  # fmt: skip
    return replace(made, **changed)  # type: ignore[arg-type]


def duty(cycles: float, level: float = 1.0) -> Duty:
    return Duty("h", (Cycle.swing(level, 0.0, cycles),), "test")


def peg(make: SimpleNamespace, cycles: float | None = 100.0, wanted: float | None = 500.0, **more: object) -> Part:
    case = LoadCase("standing", (), "steady", "test", duty=None if cycles is None else duty(cycles))
    span = None if wanted is None else RideSpan(wanted, "h")
    return make.part(cases=(case,), design_life=span, **more)


def lasting(make: SimpleNamespace, rules: Rules, part: Part, *sets: FatigueSet, case: CaseResult | None = None) -> Life:
    """Stress at the peak 5 MPa: index 5/Z, utilisation 1.5 x special factor 2 x index."""
    design = make.design((make.coupons("between layers", 18),))
    index = 5.0 / design.between.value
    result = replace(make.result(case or make.case(3.0 * index)), factor=3.0)
    return life(part, make.card(), make.vehicle(), rules, design, result, Mesh(make.mesh()), sets)


def test_the_middle_is_the_line_at_the_stress_of_the_case(make: SimpleNamespace, rules: Rules) -> None:
    """Amplitude 2.5 over 1.1, the mesh allowance taken off; 100 cycles an hour; half of the pieces at the upper end."""
    found = lasting(make, rules, peg(make), tired())
    line = 10 ** (11 - 8 * np.log10(2.5 / 1.1)) / 100
    assert found.middle is not None
    assert line < found.middle < 1.5 * line  # t(0.95, 16) s sqrt(h) adds up to 0.15 to log10 N here


def test_the_low_end_counts_every_factor(make: SimpleNamespace, rules: Rules) -> None:
    """Mesh allowance 1.1, special factor 2, damage sum 0.5, and scatter: below the bare line by all of them."""
    found = lasting(make, rules, peg(make), tired())
    bare = 0.5 * 10 ** (11 - 8 * np.log10(2.5 * 1.1 * 2)) / 100
    # least scatter of strength, 12 % along a slope of 8: 0.415 in log10 N; 1.28 of it for any n, about 2.1 for n = 18
    assert found.low is not None
    assert 10 ** (-2.6 * 0.415) * bare < found.low < 10 ** (-1.28 * 0.415) * bare
    (row,) = found.rows
    assert (row.stress, row.amplitude, row.cycles) == pytest.approx((11.0, 5.5, 100.0))


def test_twice_the_cycles_is_half_the_life(make: SimpleNamespace, rules: Rules) -> None:
    once, twice = (lasting(make, rules, peg(make, n), tired()) for n in (100.0, 200.0))
    assert once.low == pytest.approx(2 * twice.low)  # type: ignore[operator]
    assert once.middle == pytest.approx(2 * twice.middle)  # type: ignore[operator]


def test_heat_and_moisture_cost_life(make: SimpleNamespace, rules: Rules) -> None:
    part = peg(make)
    cool = lasting(make, rules, part, tired())
    hot = lasting(make, rules, replace(part, service_high=40.0), tired())
    assert hot.low < 0.5 * cool.low  # type: ignore[operator]
    assert hot.middle == pytest.approx(cool.middle)  # nothing is sure to be lost


def test_coupons_tired_along_their_beads_speak_less_for_the_layer(make: SimpleNamespace, rules: Rules) -> None:
    """Stress over the share of the rule, 0.79: at a slope of -8 about 0.79^8 = 0.15 of the life."""
    mode = "in the layer, tension"
    case = make.case(0.5, mode, stress=(5.0, 0.0, 0.0, 0.0, 0.0, 0.0))
    plain, along = (lasting(make, rules, peg(make), tired("in layer", beads=b), case=case) for b in ("", "along"))
    assert along.low / plain.low == pytest.approx(0.79**8, rel=0.2)  # type: ignore[operator]
    assert along.middle == pytest.approx(plain.middle)


def test_of_two_sets_of_a_direction_the_worse_is_promised(make: SimpleNamespace, rules: Rules) -> None:
    short = tired(name="short", cycles=tuple(LIVES / 20))
    one, both = lasting(make, rules, peg(make), tired()), lasting(make, rules, peg(make), tired(), short)
    assert both.low == pytest.approx(one.low / 20)  # type: ignore[operator]
    assert both.middle == pytest.approx(one.middle)


@pytest.mark.parametrize(
    ("cycles", "sets", "words"),
    [
        (None, (tired(),), "nobody has said how often 'standing' comes"),
        (100.0, (), "no S-N set of stuff 'between layers' is at hand: tire 6 to 12 coupons 'between layers'"),
        (100.0, (tired("in layer"),), "no S-N set of stuff 'between layers' is at hand, only in layer"),
        (100.0, (tired(material="other"),), "no S-N set of stuff 'between layers'"),
    ],
)
def test_what_is_missing_is_not_guessed(
    make: SimpleNamespace, rules: Rules, cycles: float | None, sets: tuple[FatigueSet, ...], words: str
) -> None:
    part = peg(make, cycles)
    found = lasting(make, rules, part, *sets)
    assert (found.low, found.middle) == (None, None)
    assert any(words in m for m in found.missing)
    reason = life_reason(part, found, rules)
    assert reason.effect == "not decided"
    assert "life is not decided" in reason.words
    assert "state a retirement life, an age or ride that will be kept (retirement_life)" in reason.words
    assert "look for cracks" not in reason.words.lower()


AGE = {"retirement_life": "one season"}
LOOKS = {"inspection_interval": RideSpan(10.0, "h")}


@pytest.mark.parametrize(
    ("role", "layers", "stated", "effect", "words"),
    [
        ("cover", True, {}, "print with conditions", "which harms nobody; retire it at an age of your own choice"),
        ("cover", True, AGE, "print with conditions", "retire it as stated: one season"),
        ("cover", False, {}, "print with conditions", "look for cracks and sag before every ride"),
        ("peg", True, {}, "not decided", "state a retirement life"),
        ("peg", True, LOOKS, "not decided", "an inspection interval does not stand in for it"),
        ("peg", True, AGE, "print with conditions", "stated and not computed: one season. Retire it then, whether or"),
        ("peg", False, {}, "print with conditions", "look for cracks and sag before every ride"),
        ("peg", False, LOOKS, "print with conditions", "look for cracks and sag every 10 h (stated)"),
        ("peg", False, LOOKS | AGE, "print with conditions", "and retire it as stated: one season"),
        ("hand lever", True, AGE, "not decided", "The stated retirement life (one season) rests on no test"),
        ("hand lever", False, AGE | LOOKS, "not decided", "must be computed from such tests"),
    ],
)
def test_an_unknown_life_leaves(
    make: SimpleNamespace, rules: Rules, role: str, layers: bool, stated: dict[str, object], effect: str, words: str
) -> None:
    """The written rule, spelled out by hand: who is harmed, whether layers govern, what a person states."""
    unknown = Life("h", None, None, None, False, (), (), ("no S-N set",), (), layers)
    part = make.part(role=role, **stated)
    for found in (unknown, None):
        reason = life_reason(part, found, rules, layers=layers)
        assert reason.effect == effect
        assert words in reason.words


def test_the_plane_that_governs_is_told_from_the_result(make: SimpleNamespace, rules: Rules) -> None:
    mode = "in the layer, tension"
    flat = make.case(0.5, mode, stress=(5.0, 0.0, 0.0, 0.0, 0.0, 0.0))
    part = peg(make, None)
    assert life_reason(part, lasting(make, rules, part, case=flat), rules).effect == "print with conditions"
    assert life_reason(part, lasting(make, rules, part), rules).effect == "not decided"


def test_the_verdict_carries_the_stated_age(judge: Judge, make: SimpleNamespace) -> None:
    coupons = (make.coupons("between layers", 18), make.coupons("interlayer shear", 18, 12.0))
    unknown = Life("h", None, None, None, False, (), (), ("no S-N set",), (), True)
    assert judge(coupons=coupons, life=unknown).word == "not decided"
    assert judge(coupons=coupons, life=None).word == "not decided"
    held = judge(coupons=coupons, life=unknown, part=make.part(**AGE))
    assert held.word == "print with conditions"
    assert any(c == "retire it: one season" for c in held.conditions)
    both = judge(coupons=coupons, life=known(600.0, 9000.0), part=make.part(**AGE))
    assert "retire it: one season, or at the computed life, whichever comes first" in both.conditions


def test_a_direction_worked_at_half_is_asked_for_its_life_too(make: SimpleNamespace, rules: Rules) -> None:
    part = peg(make)
    for share, asked in ((0.55, True), (0.45, False)):
        case = replace(make.case(0.5), by_mode={UP: 0.5, "in the layer, tension": 0.5 * share})
        found = lasting(make, rules, part, tired(), case=case)
        assert any("'in layer'" in m for m in found.missing) == asked


WANTED = RideSpan(500.0, "h")


def known(low: float, middle: float, wanted: RideSpan | None = WANTED, *, tested: bool = True) -> Life:
    return Life("h", wanted, low, middle, tested, (), (), (), (), True)


@pytest.mark.parametrize(
    ("found", "effect", "words"),
    [
        (known(500.0, 9000.0), "print", "lasts 500 h of ride (90 % of pieces with 95 % confidence), 500 h wanted"),
        (known(900.0, 9000.0, tested=False), "print with conditions", "beyond what was tested"),
        (known(499.0, 9000.0), "print with conditions", "retire it after 490 h, cracks or not"),
        (known(51.0, 9000.0), "print with conditions", "retire it after 51 h"),
        (known(49.0, 9000.0), "not decided", "too short to be useful"),
        (known(49.0, 499.0), "do not print", "half of the pieces break within 490 h even without any factor"),
        (known(300.0, 9000.0, None), "print with conditions", "no design_life is stated: retire it after 300 h"),
        (known(0.2, 9000.0, None), "not decided", "too short to be useful"),
    ],
)
def test_the_effect(make: SimpleNamespace, rules: Rules, found: Life, effect: str, words: str) -> None:
    reason = life_reason(make.part(), found, rules)
    assert reason.effect == effect
    assert words in reason.words


def test_a_harmless_part_is_not_held_up_by_a_short_promise(make: SimpleNamespace, rules: Rules) -> None:
    assert life_reason(make.part(role="cover"), known(49.0, 9000.0), rules).effect == "print with conditions"


def test_a_part_that_lasts_retires_at_its_design_life(judge: Judge, make: SimpleNamespace) -> None:
    coupons = (make.coupons("between layers", 18), make.coupons("interlayer shear", 18, 12.0))
    kept = judge(coupons=coupons, life=known(600.0, 9000.0)).conditions
    assert any("retire it after 500 h of ride" in c for c in kept)
    refused = judge(coupons=coupons, life=known(49.0, 499.0))
    assert refused.word == "do not print"
    assert not any("retire it after 500" in c for c in judge(coupons=coupons, life=known(300.0, 900.0)).conditions)


def test_an_invented_set_is_said_to_be_invented(judge: Judge, make: SimpleNamespace, rules: Rules) -> None:
    found = lasting(make, rules, peg(make), tired(invented=True))
    words = next(r.words for r in judge(life=found).reasons if r.screen == "invented")
    assert "S-N sets" in words


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1239.0, "1200 h"),
        (0.0471, "0.047 h"),
        (99.9, "99 h"),
        (82345.0, "82\u202f000 h"),
        (2e9, "1\u202f000\u202f000\u202f000 h and more"),
        (0.0, "0 h"),
    ],
)
def test_a_length_of_ride_is_rounded_down(value: float, text: str) -> None:
    assert ride(value, known(1, 1)) == text
