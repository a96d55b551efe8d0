"""Each row of the decision table: consequence and evidence -> word. The expected words are the written rule, spelled
out here by hand, not read from the table."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace

import pytest

from printworthy.inputs import RideSpan, Rules
from printworthy.results import Check, Deflection, Life, Verdict
from printworthy.verdict import TABLE, row_for

Judge = Callable[..., Verdict]
HARMLESS, INJURE, SINGLE = "cover", "peg", "hand lever"
EVERYTHING = {"proof_test_each": True, "retirement_life": "after 2 years or 5000 km"}


def full(make: SimpleNamespace, n: int) -> tuple[object, ...]:
    return make.coupons("between layers", n), make.coupons("in layer", n, 50.0), make.coupons("45 degrees", n, 30.0)


@pytest.mark.parametrize(
    ("role", "n", "extra", "word"),
    [
        (HARMLESS, 0, {}, "print with conditions"),
        (HARMLESS, 18, {}, "print with conditions"),
        (INJURE, 0, {}, "not decided"),
        (INJURE, 2, {}, "not decided"),
        (INJURE, 4, {}, "not decided"),
        (INJURE, 5, {}, "print with conditions"),
        (INJURE, 17, {}, "print with conditions"),
        (SINGLE, 0, {}, "do not print"),
        (SINGLE, 18, {}, "do not print"),
        (SINGLE, 5, {"proof_test_each": True}, "do not print"),
        (SINGLE, 5, {"retirement_life": "1 year"}, "do not print"),
        (SINGLE, 4, EVERYTHING, "do not print"),
        (SINGLE, 5, EVERYTHING, "print with conditions"),
        (SINGLE, 18, EVERYTHING, "print with conditions"),
    ],
)
def test_rows(judge: Judge, make: SimpleNamespace, role: str, n: int, extra: dict[str, object], word: str) -> None:
    part = make.part(role=role, **extra)
    assert judge(part=part, coupons=full(make, n) if n else ()).word == word


def answered() -> dict[str, object]:
    wanted = RideSpan(500.0, "h")
    lasts = Life("h", wanted, 900.0, 9000.0, True, (), (), (), (), True)
    return {"checks": (Check("buckling", 1.0, 2.0, "", 0.5, "test", ""),), "life": lasts}


def test_plain_print_asks_for_eighteen_coupons_and_every_question(judge: Judge, make: SimpleNamespace) -> None:
    limit = make.result(deflections=(Deflection("standing", "tread", 0.5, 3.0),))
    best = judge(coupons=full(make, 18), result=limit, **answered())
    assert best.word == "print", [r for r in best.reasons if r.effect != "print"]
    assert judge(coupons=full(make, 17), result=limit, **answered()).word == "print with conditions"
    aged = make.part(retirement_life="after 300 h of ride")
    for missing in ({"checks": ()}, {"life": None, "part": aged}, {"result": make.result()}):
        given = {"result": limit, **answered(), **missing}
        assert judge(coupons=full(make, 18), **given).word == "print with conditions"


def test_a_harmless_part_never_gets_plain_print(judge: Judge, make: SimpleNamespace) -> None:
    limit = make.result(deflections=(Deflection("standing", "tread", 0.5, 3.0),))
    harmless = judge(part=make.part(role=HARMLESS), coupons=full(make, 18), result=limit, **answered())
    assert [r.screen for r in harmless.reasons if r.effect != "print"] == ["evidence"]
    assert harmless.word == "print with conditions"


def test_missing_coupons_are_told_by_number_and_direction(judge: Judge, make: SimpleNamespace) -> None:
    none = next(r for r in judge().reasons if r.screen == "evidence").words
    assert "break 5 more coupons 'between layers' (5 in all)" in none
    some = judge(coupons=(make.coupons("between layers", 3),))
    assert "break 2 more coupons 'between layers'" in next(r for r in some.reasons if r.screen == "evidence").words


def test_coupons_of_another_direction_do_not_settle_it(judge: Judge, make: SimpleNamespace) -> None:
    assert judge(coupons=(make.coupons("in layer", 18, 50.0),)).word == "not decided"
    assert judge(coupons=(make.coupons("between layers", 18),)).word != "not decided"


def test_where_shear_governs_45_degree_coupons_are_asked(judge: Judge, make: SimpleNamespace) -> None:
    sheared = make.result(make.case(stress=(0.0, 0.0, 1.0, 0.0, 3.0, 0.0)))
    between = (make.coupons("between layers", 18),)
    verdict = judge(coupons=between, result=sheared)
    assert verdict.word == "not decided"
    assert "'45 degrees'" in next(r for r in verdict.reasons if r.screen == "evidence").words
    assert (
        judge(coupons=(*between, make.coupons("45 degrees", 5, 30.0)), result=sheared).word == "print with conditions"
    )


def test_a_second_direction_close_behind_governs_too(judge: Judge, make: SimpleNamespace) -> None:
    between = (make.coupons("between layers", 18),)
    close = make.case(by_mode={"between layers, tension with shear": 0.5, "in the layer, tension": 0.45})
    far = make.case(by_mode={"between layers, tension with shear": 0.5, "in the layer, tension": 0.30})
    assert judge(coupons=between, result=make.result(close)).word == "not decided"
    assert judge(coupons=between, result=make.result(far)).word == "print with conditions"


@pytest.mark.parametrize("consequence", ["harmless", "may injure", "single point of failure"])
def test_more_evidence_never_gives_a_worse_row(make: SimpleNamespace, rules: Rules, consequence: str) -> None:
    order = ["print", "print with conditions", "not decided", "do not print"]
    for extra in ({}, EVERYTHING):
        ranks = [order.index(row_for(consequence, n, make.part(**extra), rules).word) for n in range(30)]  # type: ignore[arg-type]
        assert ranks == sorted(ranks, reverse=True)


def test_each_consequence_ends_with_a_row_that_asks_for_nothing() -> None:
    for consequence in ("harmless", "may injure", "single point of failure"):
        last = [row for row in TABLE if row.consequence == consequence][-1]
        assert (last.coupons, last.proof_and_life) == ("", False)
