"""Strength and stiffness as reasons: what is sure to hold, what is sure to fail, and what lies between."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

from printworthy.evidence.knockdown import temperature_factor
from printworthy.evidence.values import high_end, low_end, rule, rule_source
from printworthy.inputs import ClampJoint, MaterialCard, Part, Rules
from printworthy.results import (
    CaseResult,
    Check,
    Deflection,
    DesignValue,
    DesignValues,
    DirectionResult,
    MeshReport,
    Reason,
    Word,
)

MODULI = ("modulus_in_layer", "modulus_through", "shear_modulus_through")


def allowance(case: CaseResult, mesh: MeshReport, rules: Rules) -> float:
    """Relative allowance on utilisation for mesh error [-]: large where the peak lies at the edge of a support (it has
    no limit under refinement) or where the thin wall has fewer than two elements, so near 1 nothing is decided."""
    rough = case.at_support or mesh.across < rule(rules, "elements_across")
    return rule(rules, "coarse_mesh_error" if rough else "mesh_error")


def relief(mode: str, design: DesignValues, best: DesignValues) -> float:
    """Smallest share [-] to which the utilisation of a mode can fall with the best strengths for the design ones.

    A lower bound: in the tension-with-shear mode both strengths are taken to gain what the luckier one gains.
    """

    def share(name: str) -> float:
        used: DesignValue = getattr(design, name)
        most: DesignValue = getattr(best, name)
        return used.value / most.value

    match mode:
        case "between layers, tension with shear":
            return min(share("between"), share("shear_between"))
        case "between layers, compression":
            return share("compression_between")
        case "in the layer, compression":
            return share("compression_in_layer")
        case "in the layer, shear":
            return share("shear_in_layer")
        case _:
            return share("in_layer")


def best_utilisation(case: CaseResult, design: DesignValues, best: DesignValues) -> float:
    """Utilisation [-] of a case with the best strengths: no part with such evidence can be below it."""
    modes = {**case.by_mode, case.mode: case.utilisation}
    return max(u * relief(mode, design, best) for mode, u in modes.items())


def strength_reason(
    card: MaterialCard, rules: Rules, design: DesignValues, best: DesignValues, result: DirectionResult,
    mesh: MeshReport, n: int,
) -> Reason:  # fmt: skip
    """Utilisation against 1: below with the mesh allowance added, holds; above with the best strengths and the
    allowance taken off, fails; between, not decided, unless `n` coupons make the design value well known. The case
    told is the one that comes highest with its allowance."""
    at = max(result.cases, key=lambda c: c.utilisation * (1 + allowance(c, mesh, rules)))
    room = allowance(at, mesh, rules)
    source = f"design values against factored load; mesh allowance {100 * room:g} %: {_mesh_source(room, rules)}"
    head = f"utilisation {at.utilisation:.2f} in {at.case} ({at.mode})"
    if all(c.utilisation * (1 + allowance(c, mesh, rules)) <= 1 for c in result.cases):
        return Reason("strength", f"{head}, below 1 with {100 * room:g} % mesh allowance", "print", source)
    sure = [c for c in result.cases if best_utilisation(c, design, best) > 1 + allowance(c, mesh, rules)]
    if sure:
        worst = max(sure, key=lambda c: best_utilisation(c, design, best))
        words = f"{head}; even with the best strengths {best_utilisation(worst, design, best):.2f} in {worst.case}"
        return Reason("strength", _example_words(words, card), _refused(card), source)
    if n >= rule(rules, "n_print") and any(c.utilisation > 1 + allowance(c, mesh, rules) for c in result.cases):
        words = f"{head}: above 1, and {n} coupons leave little to learn"
        return Reason("strength", _example_words(words, card), _refused(card), source)
    return Reason("strength", f"{head}: {_between(at, room, n)}", "not decided", source)


def _between(at: CaseResult, room: float, n: int) -> str:
    why = "the peak lies at the edge of a support" if at.at_support else f"the mesh allowance is {100 * room:g} %"
    if at.utilisation <= 1:
        return f"too near 1, because {why}"
    if at.utilisation <= 1 + room:
        return f"not clear of 1, because {why}"
    more = "more coupons would raise the limit" if n else "break coupons to know which of the two holds"
    return f"above 1 with design values, at most 1 with the best ones; {more}"


def _mesh_source(room: float, rules: Rules) -> str:
    return rule_source(rules, "mesh_error" if room == rule(rules, "mesh_error") else "coarse_mesh_error")


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
    gain = min(getattr(design, f.name).value / getattr(best, f.name).value for f in fields(design)[1:])
    for c in checks:
        words = f"{c.name}: {c.demand:.4g} of {c.capacity:.4g} {c.unit}, utilisation {c.utilisation:.2f}; {c.words}"
        effect: Word = "print"
        if not c.utilisation <= 1:
            effect = "do not print" if c.decided and (known or c.utilisation * gain > 1) else "not decided"
        elif not c.decided:
            effect = "print with conditions" if harmless else "not decided"
        yield Reason("check", words, effect, c.source)


def open_questions(part: Part, result: DirectionResult, checks: tuple[Check, ...]) -> Iterator[Reason]:
    """What plain "print" asks for beside strength, where nobody has answered it."""

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
    if not answered("life"):
        words = "repeated and lasting loads were not computed: inspect for cracks and sag, and set a retirement life"
        yield Reason("life", words, "print with conditions", source)
