"""Proof loads and the other conditions against hand formulae.

The cantilever is the textbook one: bending stress 6 P L / (b h^2), deflection P L^3 / (3 E I) (Gere and Timoshenko,
Mechanics of Materials, from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import log
from types import SimpleNamespace

import pytest
from scipy.stats import lognorm

from printworthy.inputs import BoltJoint, Load, LoadCase, Part, RideSpan, Rules
from printworthy.results import Deflection, DesignValues, DirectionResult, Life, Option, Step, Verdict
from printworthy.verdict.care import care
from printworthy.verdict.proof import kept_in_service, proofs

P, LENGTH, B, H, E, X = 60.0, 80.0, 12.0, 8.0, 2500.0, 34.2  # N, mm, MPa
STRESS = 6 * P * LENGTH / (B * H**2)  # 37.5 MPa at the root
SAG = P * LENGTH**3 / (3 * E * B * H**3 / 12)  # 8 mm at the tip
FACTOR = 1.5
CASE = LoadCase("tip", (Load("force", "end", (0.0, 0.0, -P)),), "steady", "by hand")


def held(make: SimpleNamespace, kept: float, share: float = 0.5, cv: float = 0.1) -> DesignValues:
    """In-layer strength: mean X / share, lower limit `share` of it, `kept` of that left in the heat."""
    design = make.design()
    steps = (Step("limit", share, "", "limit"), Step("heat, made up", kept, "", "heat"))
    value = replace(design.in_layer, start=X / share, value=X * kept, steps=steps, n=18, cv=cv)
    return replace(design, in_layer=value)


def cantilever(make: SimpleNamespace, design: DesignValues, scale: float = 0.4) -> tuple[Part, DirectionResult]:
    """Load `scale` times P: so many times the stress and the sag."""
    use = FACTOR * scale * STRESS / design.in_layer.value
    mode = "in the layer, tension"
    case = make.case(use, mode, case="tip", stress=(scale * STRESS, 0, 0, 0, 0, 0))
    moved = (Deflection("tip", "end", scale * SAG, None), Deflection("tip", "root", 99.0, None))
    stated = replace(CASE, loads=(replace(CASE.loads[0], vector=(0.0, 0.0, -scale * P)),))
    return make.part(cases=(stated,)), make.result(case, deflections=moved)


def test_the_hand_figures_are_those_of_the_book() -> None:
    assert pytest.approx(37.5) == STRESS
    assert pytest.approx(8.0) == SAG


@pytest.mark.parametrize("kept", [1.0, 0.8])
def test_a_cantilever_is_proved_at_its_load_over_what_service_leaves(
    make: SimpleNamespace, rules: Rules, kept: float
) -> None:
    design = held(make, kept)
    part, result = cantilever(make, design)
    (found,) = proofs(part, make.card(), rules, design, result)
    stress = 0.4 * STRESS  # 15 MPa, at the stated load
    assert kept_in_service(design.in_layer) == pytest.approx(kept)
    assert found.lowest == pytest.approx(1.03 / kept)
    assert found.highest == pytest.approx(0.8 * X / stress)  # 80 % of the lower limit on the bench
    assert found.level == pytest.approx(1.25 / kept)
    assert found.face == "end"  # the one that is loaded, not the one that moves most
    assert found.movement == pytest.approx(1.25 / kept * 0.4 * SAG)
    assert found.lasting == pytest.approx(0.05 * found.movement)
    assert found.finds == pytest.approx(1.25 / kept * stress / (X / 0.5))
    # moduli of the card 2000 to 3000 about 2500, through layers 1800 to 2200 about 2000
    assert found.soft == pytest.approx(found.movement * 2500 / 2000)
    assert found.stiff == pytest.approx(found.movement * 2500 / 3000)


def test_sound_pieces_that_break_are_counted_by_the_lognormal_law(make: SimpleNamespace, rules: Rules) -> None:
    design = held(make, 1.0, share=0.7, cv=0.15)
    part, result = cantilever(make, design, 0.7)
    (found,) = proofs(part, make.card(), rules, design, result)
    assert found.level == pytest.approx(0.8 * X / (0.7 * STRESS))  # less than 1.25: the ceiling holds
    stress, mean = found.level * 0.7 * STRESS, X / 0.7
    wide = 1 + 0.15**2  # scipy: s is the deviation of the logarithm, scale the median
    law = lognorm(s=log(wide) ** 0.5, scale=mean / wide**0.5)
    assert law.mean() == pytest.approx(mean)
    assert law.std() / law.mean() == pytest.approx(0.15)
    assert found.good_lost == pytest.approx(law.cdf(stress), rel=1e-9)


def test_where_the_window_is_empty_there_is_no_level(make: SimpleNamespace, rules: Rules) -> None:
    design = held(make, 1.0)
    part, result = cantilever(make, design, 0.9)  # 33.75 of 34.2 MPa at the stated load
    (found,) = proofs(part, make.card(), rules, design, result)
    assert found.level is None
    assert found.lowest > found.highest
    assert "without hurting it" in found.words


def test_a_place_that_stays_cool_is_not_pulled_harder_for_the_heat(make: SimpleNamespace, rules: Rules) -> None:
    design = held(make, 0.5)
    part, result = cantilever(make, design, 0.4)
    plain = proofs(part, make.card(), rules, design, result)[0]
    relieved = proofs(part, make.card(), rules, design, result, relieved=True)[0]
    assert relieved.highest == pytest.approx(0.5 * plain.highest)


@pytest.mark.parametrize("kind", ["gravity", "acceleration", "temperature"])
def test_what_a_bench_cannot_put_on_is_not_proved(make: SimpleNamespace, rules: Rules, kind: str) -> None:
    design = held(make, 1.0)
    part, result = cantilever(make, design)
    bare = replace(part, cases=(replace(CASE, loads=(Load(kind),)),))  # type: ignore[arg-type]
    (found,) = proofs(bare, make.card(), rules, design, result)
    assert found.level is None
    assert kind in found.words


def test_blows_are_not_proved_by_a_still_load(make: SimpleNamespace, rules: Rules) -> None:
    design = held(make, 1.0)
    part, result = cantilever(make, design)
    part = replace(part, cases=(replace(part.cases[0], kind="impact"),))
    assert proofs(part, make.card(), rules, design, result) == ()


def test_torque_stages_and_distances(make: SimpleNamespace, judge: Callable[..., Verdict], rules: Rules) -> None:
    design = held(make, 1.0)
    _, result = cantilever(make, design)
    weak = replace(result.cases[0], case="idle", utilisation=0.2 * result.utilisation)
    mid = replace(result.cases[0], case="kerb", utilisation=0.6 * result.utilisation)
    part = make.part(
        cases=tuple(replace(CASE, name=n) for n in ("tip", "idle", "kerb")),
        joints=(BoltJoint("m6", 6.0, 8.0, 10.0, 100.0, preload=5000.0),),
    )
    option = Option(replace(result, cases=(mid, *result.cases, weak)), design, (), judge(), 0.01)
    found = care(part, make.card(), make.vehicle(), rules, option)
    assert [s.cases for s in found.stages] == [("idle",), ("kerb",), ("tip",)]
    assert [s.share for s in found.stages] == pytest.approx([0.2, 0.6, 1.0])
    assert found.torques[0].torque == pytest.approx(0.2 * 5000 * 6)  # K F d: 6 N m
    assert "no sleeve" in found.torques[0].words
    assert {k.source: k.distance for k in found.keep_out}["disc"] == 150
    assert found.interval is None
    assert "every ride" in found.interval_words


def test_where_layers_govern_no_look_stands_in_for_retirement(
    make: SimpleNamespace, judge: Callable[..., Verdict], rules: Rules
) -> None:
    design = held(make, 1.0)
    part, result = cantilever(make, design)
    unknown = Life("h", None, None, None, False, (), (), ("no S-N set",), (), True)
    option = Option(result, design, (), judge(), 0.01, life=unknown)
    bare = care(part, make.card(), make.vehicle(), rules, option)
    assert (bare.interval, bare.retire) == (None, None)
    assert "no interval stands in for retirement" in bare.interval_words
    assert "state retirement_life before it is ridden" in bare.retire_words
    stated = care(replace(part, retirement_life="two seasons"), make.card(), make.vehicle(), rules, option)
    assert stated.retire_words == "as stated, not computed: two seasons"


def test_a_stated_interval_holds_where_the_layer_governs(
    make: SimpleNamespace, judge: Callable[..., Verdict], rules: Rules
) -> None:
    design = held(make, 1.0)
    part, result = cantilever(make, design)
    unknown = Life("h", None, None, None, False, (), (), ("no S-N set",), (), False)
    known = Life("h", None, 300.0, 9000.0, True, (), (), (), (), False)
    for life, stated, interval in (
        (unknown, None, None), (unknown, 10.0, 10.0), (known, None, 100.0), (known, 40.0, 40.0), (known, 200.0, 100.0),
        (replace(unknown, between_layers=True), 10.0, None),
    ):  # fmt: skip
        span = None if stated is None else RideSpan(stated, "h")
        option = Option(result, design, (), judge(), 0.01, life=life)
        found = care(replace(part, inspection_interval=span), make.card(), make.vehicle(), rules, option)
        assert found.interval == interval
