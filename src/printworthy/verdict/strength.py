"""Strength and stiffness as reasons: what is sure to hold, what is sure to fail, and what lies between."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from printworthy.evidence.knockdown import temperature_factor
from printworthy.evidence.values import high_end, low_end, rule, rule_source
from printworthy.inputs import ClampJoint, MaterialCard, Part, Rules
from printworthy.results import (
    CaseResult,
    Check,
    CriticalDistance,
    Deflection,
    DesignValue,
    DesignValues,
    DirectionResult,
    MeshBracket,
    MeshReport,
    Reason,
    Word,
)
from printworthy.strength.criteria import Strengths, by_mode

MODULI = ("modulus_in_layer", "modulus_through", "shear_modulus_through")


@dataclass(frozen=True, slots=True)
class Span:
    """Where the utilisation of a case lies once the mesh error is counted [-], and why."""

    low: float
    high: float
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Mesh:
    """What is known about the mesh error: the report, and for the governing case, where they were made, the bracket
    from refinement and the critical-distance value."""

    report: MeshReport
    bracket: MeshBracket | None = None
    distance: CriticalDistance | None = None


def span(case: CaseResult, mesh: Mesh, rules: Rules) -> Span:
    """Utilisation of a case with its mesh error.

    The bracket from refinement if there is one for the case; where that has no upper end (a singular peak), the
    critical-distance value, and without one a stated multiple of the highest peak taken, which only a lowly worked part
    can bear. Else a stated allowance, which is large where nothing could be refined, the peak lies at the edge of a
    support (no limit under refinement) or the thin wall has too few elements.
    """
    bracket, distance, u = mesh.bracket, mesh.distance, case.utilisation
    if bracket is not None and bracket.case == case.case:
        if bracket.high is not None:
            return Span(bracket.low, bracket.high, bracket.words, "mesh refined where it peaks")
        if distance is not None and distance.case == case.case and distance.valid and distance.value is not None:
            return _allowed(distance.value, "mesh_error", f"critical distance, {distance.words}", rules)
        rough = _allowed(u, "coarse_mesh_error", bracket.words, rules)
        if len(bracket.values) == 1:
            return rough
        share = rule(rules, "unresolved_peak")
        why = f"{bracket.words}: no upper end known, {share:g} times the highest value is taken"
        return Span(
            min(bracket.low, rough.low), share * max(*bracket.values, u), why, rule_source(rules, "unresolved_peak")
        )
    if case.at_support:
        return _allowed(u, "coarse_mesh_error", "the peak lies at the edge of a support", rules)
    across, wanted = mesh.report.across, rule(rules, "elements_across")
    if across < wanted:
        return _allowed(
            u, "coarse_mesh_error", f"{across:.2g} elements through the thin wall, {wanted:g} wanted", rules
        )
    return _allowed(u, "mesh_error", "ordinary mesh", rules)


def _allowed(u: float, name: str, why: str, rules: Rules) -> Span:
    error = rule(rules, name)
    return Span(u / (1 + error), u * (1 + error), f"{why}: {100 * error:g} % allowance", rule_source(rules, name))


def highest(result: DirectionResult, mesh: Mesh, rules: Rules) -> float:
    """Largest utilisation of any case with its mesh error [-]."""
    return max(span(case, mesh, rules).high for case in result.cases)


def relief(mode: str, design: DesignValues, best: DesignValues) -> float:
    """Smallest share [-] to which the utilisation of a mode can fall with the best strengths for the design ones.

    A lower bound: in the tension-with-shear mode both strengths are taken to gain what the luckier one gains.
    """

    def share(name: str) -> float:
        used: DesignValue | None = getattr(design, name)
        most: DesignValue | None = getattr(best, name)
        return 1.0 if used is None or most is None else used.value / most.value

    match mode:
        case "between layers, tension with shear":
            return min(share("between"), share("shear_between"))
        case "between layers, compression":
            return share("compression_between")
        case "in the layer, compression":
            return min(share("compression_in_layer"), share("compression_along"))
        case "in the layer, shear":
            return share("shear_in_layer")
        case _:
            return min(share("in_layer"), share("along"))


def best_share(case: CaseResult, design: DesignValues, best: DesignValues, factor: float) -> float:
    """Least share [-] of a case's utilisation, with `factor` on load, that the best strengths leave: no part with such
    evidence is below it.

    The larger of two lower bounds: every mode's own peak with the relief of its mode, and the stress at the governing
    point judged anew, where it is known how much of it is shear, and how much of heat's toll its own temperature took.
    """
    modes = {**case.by_mode, case.mode: case.utilisation}
    most = max(modes.values())
    peaks = max(u * relief(mode, design, best) for mode, u in modes.items()) / most if most > 0 else 0.0
    anew = factor * float(by_mode(np.array(case.stress), Strengths.of(best)).max())
    return max(peaks, anew / case.utilisation if case.utilisation > 0 else 0.0)


def strength_reason(
    card: MaterialCard, rules: Rules, design: DesignValues, best: DesignValues, result: DirectionResult,
    mesh: Mesh, n: int,
) -> Reason:  # fmt: skip
    """Utilisation against 1: below with the mesh error added, holds; above with the best strengths and the mesh error
    taken off, fails; between, not decided, unless `n` coupons make the design value well known. The case told is the
    one that comes highest with its mesh error."""
    spans = [(case, span(case, mesh, rules)) for case in result.cases]
    at, room = max(spans, key=lambda pair: pair[1].high)
    source = f"design values against factored load; mesh error: {room.source}"
    head = f"utilisation {at.utilisation:.2f} in {at.case} ({at.mode}), {room.low:.2f} to {room.high:.2f} ({room.why})"
    if room.high <= 1:
        return Reason("strength", f"{head}: holds", "print", source)
    sure, case = max((s.low * best_share(c, design, best, result.factor), c.case) for c, s in spans)
    if sure > 1:
        words = f"{head}; even with the best strengths {sure:.2f} and more in {case}"
        return Reason("strength", _example_words(words, card), _refused(card), source)
    if n >= rule(rules, "n_print") and any(s.low > 1 for _, s in spans):
        words = f"{head}: above 1, and {n} coupons leave little to learn"
        return Reason("strength", _example_words(words, card), _refused(card), source)
    return Reason("strength", f"{head}: {_between(room, n)}", "not decided", source)


def _between(room: Span, n: int) -> str:
    if room.low <= 1:
        return "not clear of 1: refine the mesh, or take load off"
    more = "more coupons would raise the limit" if n else "break coupons to know which of the two holds"
    return f"above 1 with design values, at most 1 with the best ones: {more}"


def _refused(card: MaterialCard) -> Word:
    return "not decided" if card.example_only else "do not print"


def _example_words(words: str, card: MaterialCard) -> str:
    return f"{words} (an example: the card has no source)" if card.example_only else words


def balance_reason(result: DirectionResult, rules: Rules) -> Iterator[Reason]:
    """Nothing can be decided from a solution whose reactions miss the load."""
    worst = max(result.cases, key=lambda c: c.imbalance)
    if not worst.imbalance <= rule(rules, "worst_imbalance"):
        words = f"the reactions miss the load by {100 * worst.imbalance:.2g} % in {worst.case}"
        yield Reason("equilibrium", words, "not decided", rule_source(rules, "worst_imbalance"))


def stiffness_reasons(card: MaterialCard, result: DirectionResult, high: float, rules: Rules) -> Iterator[Reason]:
    """Movement of faces against their limits, with the card's spread of moduli and the softening up to `high` [degC].

    Movement goes as one over modulus; the softest and the stiffest of the card's moduli bound it.
    """
    spread = [card.values[m] for m in MODULI if m in card.values]
    soft = max((q.value / low_end(q) for q in spread), default=1.0) / temperature_factor(card, high).factor
    stiff = min((q.value / high_end(q) for q in spread), default=1.0)
    for d in result.deflections:
        if d.limit is not None:
            yield _stiffness(d, d.limit, soft, stiff, high)


def _stiffness(d: Deflection, limit: float, soft: float, stiff: float, high: float) -> Reason:
    words = (
        f"face {d.face} moves {d.movement:.3g} mm in {d.case} "
        f"({d.movement * stiff:.3g} to {d.movement * soft:.3g} mm over the card's moduli and up to {high:g} degC), "
        f"limit {limit:g} mm"
    )
    effect: Word = "not decided"
    if d.movement * soft <= limit:
        effect = "print"
    elif d.movement * stiff > limit:
        effect = "do not print"
    return Reason("stiffness", words, effect, "limit stated for the face; moduli of the card")


def check_reasons(
    checks: tuple[Check, ...], design: DesignValues, best: DesignValues, *, harmless: bool, known: bool
) -> Iterator[Reason]:
    """Joint, slip and buckling checks. One that fails only with low strengths is refused if they are well `known`; one
    whose assumption is missing is a condition for a harmless part and leaves others undecided."""
    gain = min(used.value / most.value for used, most in zip(design.strengths, best.strengths, strict=True))
    for c in checks:
        words = f"{c.name}: {c.demand:.4g} of {c.capacity:.4g} {c.unit}, utilisation {c.utilisation:.2f}; {c.words}"
        effect: Word = "print"
        if not c.utilisation <= 1:
            sure = known or not c.of_strength or c.utilisation * gain > 1
            effect = "do not print" if c.decided and sure else "not decided"
        elif not c.decided:
            effect = "print with conditions" if harmless else "not decided"
        yield Reason("check", words, effect, c.source)


def open_questions(part: Part, result: DirectionResult, checks: tuple[Check, ...]) -> Iterator[Reason]:
    """What plain "print" asks for beside strength and life, where nobody has answered it."""

    def answered(kind: str) -> bool:
        return any(kind in c.name.lower() and c.decided for c in checks)

    source = "own rule: plain 'print' asks for strength, stiffness, buckling, slip and life"
    if not any(d.limit is not None for d in result.deflections):
        yield Reason(
            "stiffness", "no face has a deflection limit: stiffness was not asked", "print with conditions", source
        )
    if not answered("buckling"):
        yield Reason(
            "buckling", "buckling was not computed: look at thin walls under load", "print with conditions", source
        )
    if any(isinstance(j, ClampJoint) for j in part.joints) and not answered("slip"):
        yield Reason("slip", "slip of the clamp is not decided", "print with conditions", source)
