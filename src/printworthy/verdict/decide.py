"""From screens, evidence and utilisation to one of four words."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from printworthy.errors import CardError, LoadError, NotComputed
from printworthy.evidence import best_values
from printworthy.evidence.values import rule
from printworthy.inputs import MaterialCard, Part, Rules, Vehicle
from printworthy.results import (
    Check,
    CriticalDistance,
    DesignValues,
    DirectionResult,
    HeatResult,
    Life,
    MeshBracket,
    MeshReport,
    Reason,
    Verdict,
    Weight,
)
from printworthy.verdict import strength
from printworthy.verdict.conditions import conditions
from printworthy.verdict.hollow import fill_reason, unsure
from printworthy.verdict.lasting import life_reason
from printworthy.verdict.life import LAYERS
from printworthy.verdict.need import need_reason
from printworthy.verdict.screens import screens
from printworthy.verdict.table import evidence_reason, governing
from printworthy.verdict.weight import weight_reasons
from printworthy.verdict.words import consequence, consequence_reason, service_range, worst


def decide(
    part: Part, card: MaterialCard, vehicle: Vehicle, rules: Rules, design: DesignValues, result: DirectionResult,
    checks: tuple[Check, ...], mesh: MeshReport, *, bracket: MeshBracket | None = None,
    distance: CriticalDistance | None = None, life: Life | None = None, weight: Weight | None = None,
    heat: tuple[HeatResult, ...] = (), solid: DirectionResult | None = None,
) -> Verdict:  # fmt: skip
    """The word for one part in one printed polymer, built one way, with every reason in the order asked.

    The word is the worst of all effects (`words.worst`); the row of the decision table caps it from above. `result`
    must carry the product of `factors` on load and `design` must belong to `service_range`. Raises LoadError without
    a load case, CardError for a metal or results of another material, NotComputed for a result that is no number.

    `bracket`, `distance`: mesh error and critical-distance value of the governing case of this direction, where made.
    `life`: under repeated load; `weight`: of a solid piece and of weighed ones; None: not computed. `heat`: the part's
    hot states in this material and direction.
    `solid`: the result of a part with infill were it printed solid.
    """
    _checked(card, design, result)
    serious = consequence(part, rules)
    best = best_values(card, design, rules)
    strengths = governing(result, design, rules)
    n = min(g.value.n for g in strengths)
    service = service_range(part, vehicle, heat)
    known = n >= rule(rules, "n_print")
    known_mesh = strength.Mesh(mesh, bracket, distance)
    reasons = (
        *screens(part, card, vehicle, rules, heat, blows=design.impact),
        consequence_reason(part, rules),
        *_invented(card, vehicle, design, life),
        *strength.balance_reason(result, rules),
        strength.strength_reason(card, rules, design, best, result, known_mesh, n),
        evidence_reason(serious, part, rules, design, result),
        *_shear_hint(design, result, rules),
        *strength.stiffness_reasons(card, result, service[1], rules),
        *strength.check_reasons(checks, design, best, harmless=serious == "harmless", known=known),
        *strength.open_questions(part, result, checks),
        life_reason(part, life, rules, layers=any(g.direction in LAYERS for g in strengths)),
        *weight_reasons(part, weight, rules),
        *fill_reason(part, serious),
    )
    if part.fill is not None:
        full = () if solid is None else (
            strength.strength_reason(card, rules, design, best, solid, strength.Mesh(mesh), n),
            *strength.stiffness_reasons(card, solid, service[1], rules),
        )  # fmt: skip
        reasons = unsure(reasons, part.fill, full)
    told = worst(r.effect for r in reasons if r.screen in ("strength", "evidence"))
    reasons += tuple(need_reason(serious, rules, design, result, strength.highest(result, known_mesh, rules), told))
    word = worst(r.effect for r in reasons)
    if word == "do not print":
        return Verdict(word, card.name, result.direction, reasons, ())
    kept = conditions(part, card, rules, design, result, reasons, serious, service, life, relieved=bool(heat))
    return Verdict(word, card.name, result.direction, reasons, kept)


def _checked(card: MaterialCard, design: DesignValues, result: DirectionResult) -> None:
    if not result.cases:
        raise LoadError("no load case was solved", do="State at least one [[case]]")
    for case in result.cases:
        if not all(map(isfinite, (case.utilisation, *case.by_mode.values(), *case.stress))):
            raise NotComputed(f"the result of case '{case.case}' is not a number", do="Solve it again on another mesh")
    if card.kind == "metal":
        raise CardError(f"{card.name} is a metal", where=f"card {card.name}", do="Metals are compared, not printed")
    if not card.name == design.material == result.material:
        names = f"{card.name}, {design.material}, {result.material}"
        raise CardError(f"card, design values and result are of different materials ({names})")


def _invented(card: MaterialCard, vehicle: Vehicle, design: DesignValues, life: Life | None) -> Iterator[Reason]:
    values = (design.in_layer, design.between, design.shear_between)
    found = [f"vehicle {vehicle.name}"] if vehicle.invented else []
    if any(q.confidence == "invented" for q in card.values.values()):
        found.append(f"card {card.name}")
    if any(v.invented for v in values):
        found.append("coupons")
    if life is not None and any(c.invented for c in life.curves):
        found.append("S-N sets")
    if found:
        words = f"INVENTED inputs: {', '.join(found)}. The word is an example and holds for nothing that is built"
        yield Reason("invented", words, "print with conditions", "marked invented in the workspace")


def _shear_hint(design: DesignValues, result: DirectionResult, rules: Rules) -> Iterator[Reason]:
    """Where shear between layers plays a part and only a bound is known, say what to test next."""
    share = rule(rules, "governing_share")
    mode = "between layers, tension with shear"
    acts = any(c.by_mode.get(mode, 0.0) >= share * c.utilisation for c in result.cases)
    used = design.shear_between
    if acts and used.n == 0:
        words = f"shear between layers plays a part and no coupon measured it ({used.basis}): test 45 degrees next"
        yield Reason("shear", words, "print with conditions", used.source)
