"""Infill and the word: solid coupons say nothing about it, and a law alone refuses nothing."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace

import pytest

from printworthy.inputs import Fill
from printworthy.results import Verdict

BY_LAW, MEASURED = Fill(1.6, 0.25), Fill(1.6, 0.25, 0.12, 0.08, "own bars")
Judge = Callable[..., Verdict]


def effect(verdict: Verdict, screen: str) -> str:
    return next(r.effect for r in verdict.reasons if r.screen == screen)


@pytest.mark.parametrize(
    ("fill", "word"), [(None, "print"), (BY_LAW, "not decided"), (MEASURED, "print with conditions")]
)
def test_a_peg_with_infill_needs_measured_shares(make: SimpleNamespace, judge: Judge, fill: Fill, word: str) -> None:
    coupons = tuple(make.coupons(d, 20) for d in ("in layer", "between layers", "45 degrees"))
    found = judge(part=make.part(fill=fill), coupons=coupons)
    assert next((r.effect for r in found.reasons if r.screen == "infill"), "print") == word


def test_a_cover_with_infill_prints_with_its_walls_as_condition(make: SimpleNamespace, judge: Judge) -> None:
    found = judge(part=make.part(role="cover", fill=BY_LAW), result=make.result(make.case(0.1)))
    assert found.word == "print with conditions"
    assert (
        "print it with walls, bottom and top of at least 1.6 mm, square to the surface, and infill of at least 25 %"
        in found.conditions
    )
    assert not any("print it solid" in c for c in found.conditions)


def test_a_law_alone_refuses_nothing(make: SimpleNamespace, judge: Judge) -> None:
    over, under = make.result(make.case(9.0)), make.result(make.case(0.3))
    assert effect(judge(result=over), "strength") == "do not print"
    assert effect(judge(part=make.part(fill=MEASURED), result=over), "strength") == "do not print"
    assert effect(judge(part=make.part(fill=BY_LAW), result=over), "strength") == "not decided"
    assert effect(judge(part=make.part(fill=BY_LAW), result=over, solid=under), "strength") == "not decided"
    assert effect(judge(part=make.part(fill=BY_LAW), result=over, solid=over), "strength") == "do not print"
