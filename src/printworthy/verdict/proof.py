"""The load that proves a piece: it finds a bad one and hurts no good one."""

from __future__ import annotations

from math import log, prod, sqrt

from scipy.special import ndtr

from printworthy.evidence.values import high_end, low_end, rule
from printworthy.inputs import LoadCase, MaterialCard, Part, Rules
from printworthy.results import CaseResult, DesignValue, DesignValues, DirectionResult, ProofTest
from printworthy.verdict.strength import MODULI
from printworthy.verdict.table import strength_of

SERVICE = ("moisture", "heat", "lasting load", "weathering", "impact")  # steps that a dry bench at room warmth lacks
BENCH = ("force", "bearing", "moment", "bearing moment", "pressure")  # loads that can be put on there


def proofs(
    part: Part, card: MaterialCard, rules: Rules, design: DesignValues, result: DirectionResult, *,
    relieved: bool = False,
) -> tuple[ProofTest, ...]:  # fmt: skip
    """The proof test of every steady case of one option, hardest worked case first.

    Levels are multiples of the stated loads (expected maximum, without the load factor). Let k be the share of the
    bench strength left in service, u the utilisation with the factor j on load. Own derivation:

    * a piece that bears level L on the bench bears L k of the expected maximum in service: L >= (1 + e) / k, with e the
      error of the load measured;
    * the stress at L, as a share of the lower limit of the bench strength, is L k u / j; it stays below the share s
      that leaves no mark: L <= s j / (k u).

    Wanted is `proof_factor` / k, within these. Where they cross there is no level: the piece would be hurt before it is
    proved. Strengths of all modes within the governing share of the case count, the worst of each bound is taken.
    `relieved`: places cooler than the hottest were judged by their own strength, so that the place that governs may
    have lost nothing to heat: the upper bound then takes k without heat.
    """
    kinds = {c.name: c for c in part.cases}
    steady = [c for c in result.cases if c.case in kinds and kinds[c.case].kind == "steady"]
    order = sorted(steady, key=lambda c: -c.utilisation)
    return tuple(_proof(c, kinds[c.case], card, rules, design, result, relieved) for c in order)


def _proof(
    case: CaseResult, stated: LoadCase, card: MaterialCard, rules: Rules, design: DesignValues, result: DirectionResult,
    relieved: bool,
) -> ProofTest:  # fmt: skip
    hold = rule(rules, "proof_hold")
    strengths = [(v, u / result.factor) for v, u in _strengths(case, design, rules)]
    bounds = [_bounds(v, use, rules, relieved) for v, use in strengths]
    lowest, highest = max(b[0] for b in bounds), min(b[1] for b in bounds)
    kept = min(kept_in_service(v) for v, _ in strengths)
    odd: list[str] = [load.kind for load in stated.loads if load.kind not in BENCH]
    level = min(max(rule(rules, "proof_factor") / kept, lowest), highest)
    why = _refusal(odd, bare=bool(odd) and len(odd) == len(stated.loads), crossed=lowest > highest)
    if why:
        return ProofTest(case.case, None, lowest, highest, kept, None, None, hold, "", None, None, None, None, why)
    chances = [_found(v, use, level, relieved) for v, use in strengths]
    finds = max(c[0] for c in chances)
    lost = [c[1] for c in chances]
    face, movement, stiff, soft = _movement(case, stated, card, result, level)
    lasting = None if movement is None else max(
        rule(rules, "proof_set_share") * movement, rule(rules, "gauge_reading")
    )  # fmt: skip
    return ProofTest(
        case.case, level, lowest, highest, kept, finds,
        None if any(x is None for x in lost) else max(x for x in lost if x is not None),
        hold, face, movement, stiff, soft, lasting, _words(odd, kept),
    )  # fmt: skip


def kept_in_service(value: DesignValue, *, heat: bool = True) -> float:
    """Share [-] of the strength on the bench, dry and at room temperature, that is left in service; without `heat`,
    that of a place that stays cool."""
    return prod(step.factor for step in value.steps if step.kind in SERVICE and (heat or step.kind != "heat"))


def _strengths(case: CaseResult, design: DesignValues, rules: Rules) -> list[tuple[DesignValue, float]]:
    """Strengths that govern the case or come near it, each with its utilisation."""
    modes = {**case.by_mode, case.mode: case.utilisation}
    least = rule(rules, "governing_share") * case.utilisation
    return [(strength_of(mode, case, design).value, max(u, 1e-9)) for mode, u in modes.items() if u >= least]


def _bounds(value: DesignValue, use: float, rules: Rules, relieved: bool) -> tuple[float, float]:
    """Lowest and highest level; `use`: stress at the stated loads over the design value."""
    low = (1 + rule(rules, "proof_load_error")) / kept_in_service(value)
    return low, rule(rules, "proof_harmless_share") / (kept_in_service(value, heat=not relieved) * use)


def _found(value: DesignValue, use: float, level: float, relieved: bool) -> tuple[float, float | None]:
    """Stress at the level over the mean strength on the bench, and the share of pieces like the coupons that it breaks:
    lognormal, scatter as the limit was taken with."""
    mean = prod(step.factor for step in value.steps if step.kind in ("limit", "low end"))
    ratio = level * use * kept_in_service(value) * mean
    if value.cv <= 0:
        return ratio, None
    worst = level * use * kept_in_service(value, heat=not relieved) * mean
    spread = sqrt(log(1 + value.cv**2))
    return ratio, float(ndtr((log(worst) + spread**2 / 2) / spread))


def _movement(
    case: CaseResult, stated: LoadCase, card: MaterialCard, result: DirectionResult, level: float
) -> tuple[str, float | None, float | None, float | None]:
    """The loaded face that moves most: its name, movement at the level [mm], at the stiff and at the soft end."""
    loaded = {load.face for load in stated.loads if load.face}
    moved = [d for d in result.deflections if d.case == case.case and d.face in loaded]
    if not moved:
        return "", None, None, None
    most = max(moved, key=lambda d: d.movement)
    spread = [card.values[m] for m in MODULI if m in card.values]
    soft = max((q.value / low_end(q) for q in spread), default=1.0)
    stiff = min((q.value / high_end(q) for q in spread), default=1.0)
    x = level * most.movement
    return most.face, x, x * stiff, x * soft


def _refusal(odd: list[str], *, bare: bool, crossed: bool) -> str:
    if bare:
        return f"its loads ({', '.join(dict.fromkeys(odd))}) cannot be put on by a bench: ride it in stages"
    if crossed:
        return "no level proves a piece without hurting it: prove it hot and moist, or make it stronger"
    return ""


def _words(odd: list[str], kept: float) -> str:
    left = f"; {', '.join(dict.fromkeys(odd))} of this case not put on" if odd else ""
    return (
        f"dry, at room temperature, held as in service; stands for {100 * kept:.3g} % of the strength "
        f"left there{left}. Behind a shield, loaded and read from a distance; nobody beside it until it is unloaded"
    )
