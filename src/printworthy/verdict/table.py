"""The decision table: consequence and evidence -> the best word. The numbers stand in `cards/rules.toml`."""

from __future__ import annotations

from dataclasses import dataclass

from printworthy.evidence.values import rule
from printworthy.inputs import Consequence, CouponDirection, Part, Rules
from printworthy.results import CaseResult, DesignValue, DesignValues, DirectionResult, Mode, Reason, Word


@dataclass(frozen=True, slots=True)
class Row:
    """Best word for a consequence once the evidence is there: coupons of every governing direction (name of the rule
    that holds their number; "" none), a proof test of each piece, a retirement life. `why` explains the row."""

    consequence: Consequence
    coupons: str
    proof_and_life: bool
    word: Word
    why: str


# Read from the top; the first row whose evidence is there holds. The last row of each consequence asks for nothing.
TABLE: tuple[Row, ...] = (
    Row("harmless", "", False, "print with conditions", "a material card is enough where failure harms nobody"),
    Row("may injure", "n_print", False, "print", "enough coupons of every governing direction"),
    Row("may injure", "n_conditions", False, "print with conditions", "coupons of every governing direction"),
    Row("may injure", "", False, "not decided", "failure may injure and the governing direction lacks coupons"),
    Row(
        "single point of failure",
        "n_conditions",
        True,
        "print with conditions",
        "coupons, a proof test of each piece and a retirement life are all there",
    ),
    Row(
        "single point of failure", "", False, "do not print", "one failure is one accident: refused unless all is there"
    ),
)


@dataclass(frozen=True, slots=True)
class Governing:
    """A strength that governs in some case: the coupons that would settle it and how many there are."""

    value: DesignValue
    direction: CouponDirection


def governing(result: DirectionResult, design: DesignValues, rules: Rules) -> tuple[Governing, ...]:
    """Strengths whose mode comes within the governing share of the largest utilisation, each once, in mode order.

    Between the layers in tension, shear governs where it makes up half or more of the index at the point.
    """
    share = rule(rules, "governing_share")
    largest = max(max(case.by_mode.values(), default=case.utilisation) for case in result.cases)
    found: dict[str, Governing] = {}
    for case in result.cases:
        for mode, u in {**case.by_mode, case.mode: case.utilisation}.items():
            if u >= share * largest:
                one = strength_of(mode, case, design)
                found.setdefault(one.value.name, one)
    return tuple(found.values())


def strength_of(mode: Mode | str, case: CaseResult, design: DesignValues) -> Governing:
    """The strength a mode of failure asks for in a case."""
    match mode:
        case "between layers, tension with shear":
            if mode == case.mode and _shear_share(case, design) >= 0.5:
                return Governing(design.shear_between, "45 degrees")
            return Governing(design.between, "between layers")
        case "between layers, compression":
            return Governing(design.compression_between, "in layer")
        case "in the layer, compression":
            return Governing(_less_known(design.compression_in_layer, design.compression_along), "in layer")
        case "in the layer, shear":
            return Governing(design.shear_in_layer, "in layer")
        case _:
            return Governing(_less_known(design.in_layer, design.along), "in layer")


def _less_known(across: DesignValue, along: DesignValue | None) -> DesignValue:
    """That of two strengths in the layer with fewer coupons behind it; where they are told apart, either may govern."""
    return across if along is None or across.n <= along.n else along


def _shear_share(case: CaseResult, design: DesignValues) -> float:
    """Part of shear in the squared index between layers [-]."""
    opening = (max(case.stress[2], 0.0) / design.between.value) ** 2
    shear = (case.stress[3] ** 2 + case.stress[4] ** 2) / design.shear_between.value**2
    return shear / (opening + shear) if shear > 0 else 0.0


def row_for(consequence: Consequence, n: int, part: Part, rules: Rules) -> Row:
    """The row of `TABLE` that holds with `n` coupons behind the weakest-known governing strength."""
    complete = part.proof_test_each and bool(part.retirement_life.strip())
    for row in TABLE:
        wanted = rule(rules, row.coupons) if row.coupons else 0
        if row.consequence == consequence and n >= wanted and (complete or not row.proof_and_life):
            return row
    raise AssertionError(f"the table has no last row for {consequence}")


def evidence_reason(
    consequence: Consequence, part: Part, rules: Rules, design: DesignValues, result: DirectionResult
) -> Reason:
    """What the evidence at hand lets the table say, and what would let it say more."""
    strengths = governing(result, design, rules)
    row = row_for(consequence, min(g.value.n for g in strengths), part, rules)
    have = "; ".join(f"{g.value.name}: {_counted(g.value)}" for g in strengths)
    lacking = missing(consequence, strengths, part, rules)
    words = f"{row.why}. Governing: {have}." + (f" For more: {'; '.join(lacking)}." if lacking else "")
    return Reason("evidence", words, row.word, f"decision table; {rules.evidence.get(consequence, consequence)}")


def _counted(value: DesignValue) -> str:
    coupons = f"{value.n} coupons" if value.n else "no coupons"
    return f"{coupons}, {value.basis}" if value.confidence == "assumed" or value.n < 3 else coupons


def missing(consequence: Consequence, strengths: tuple[Governing, ...], part: Part, rules: Rules) -> tuple[str, ...]:
    """What would let the table say more of a part, a line each; nothing where harm cannot come of it."""
    if consequence == "harmless":
        return ()
    first, last = int(rule(rules, "n_conditions")), int(rule(rules, "n_print"))
    words = []
    for g in strengths:
        goal = first if g.value.n < first or consequence == "single point of failure" else last
        if g.value.n < goal:
            then = "print" if goal == last else "print with conditions"
            words.append(f"break {goal - g.value.n} more coupons '{g.direction}' ({goal} in all) for '{then}'")
    if consequence == "single point of failure":
        if not part.proof_test_each:
            words.append("proof-test each piece (proof_test_each = true)")
        if not part.retirement_life.strip():
            words.append("state a retirement life")
    return tuple(dict.fromkeys(words))
