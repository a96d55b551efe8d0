"""Over a vehicle: coupons that settle a part come first, the most utilised on top; refused parts are left out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from types import SimpleNamespace

from printworthy.inputs import Part
from printworthy.results import DirectionResult, Verdict
from printworthy.verdict import next_tests
from printworthy.workspace.rules import read_rules

RULES = read_rules()
Judge = Callable[..., Verdict]


@dataclass(frozen=True)
class Option:
    verdict: Verdict
    result: DirectionResult
    design: object


@dataclass(frozen=True)
class Assessed:
    part: str
    title: str
    consequence: str
    option: Option

    @property
    def verdict(self) -> Verdict:
        return self.option.verdict


def test_the_worst_part_that_coupons_settle_comes_first(judge: Judge, make: SimpleNamespace) -> None:
    def assessed(name: str, used: float, n: int, role: str = "peg", **more: object) -> tuple[Assessed, Part]:
        part, result = make.part(name=name, role=role), make.result(make.case(used))
        coupons = (make.coupons("between layers", n), make.coupons("in layer", n, 50.0)) if n else ()
        design = make.design(coupons=coupons)
        verdict = judge(part=part, coupons=coupons, result=result, **more)
        kind = RULES.roles[role]
        return Assessed(name, name, kind, Option(verdict, result, design)), part

    every = [assessed("low", 0.3, 0), assessed("high", 0.8, 0), assessed("enough", 0.9, 5), assessed("over", 30.0, 5),
             assessed("harmless", 0.5, 0, "cover"), assessed("ageless", 0.7, 0, life=None)]  # fmt: skip
    found = next_tests([a for a, _ in every], {p.name: p for _, p in every}, RULES)  # type: ignore[misc]
    assert every[3][0].verdict.word == "do not print"
    # the ageless one stays open after its coupons: its life is not known and no age is stated
    assert [(n.part, n.settles) for n in found] == [
        ("high", True),
        ("low", True),
        ("enough", False),
        ("ageless", False),
    ]
    assert "break 5 more coupons 'between layers' (5 in all)" in found[0].words[0]
    assert any("break 13 more coupons 'between layers' (18 in all) for 'print'" in w for w in found[2].words)
