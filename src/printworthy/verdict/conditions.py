"""The conditions a word carries: what a person must keep for it to stay true."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from printworthy.evidence.knockdown import is_moist
from printworthy.inputs import Consequence, MaterialCard, Part, Rules
from printworthy.results import DesignValues, DirectionResult, Life, ProofTest, Reason
from printworthy.verdict.proof import proofs
from printworthy.verdict.table import governing


def conditions(
    part: Part, card: MaterialCard, rules: Rules, design: DesignValues, result: DirectionResult,
    reasons: tuple[Reason, ...], consequence: Consequence, service: tuple[float, float], life: Life | None = None,
    *, relieved: bool = False,
) -> tuple[str, ...]:  # fmt: skip
    """All conditions, in the order in which one meets them: making, testing, riding, retiring."""
    found = [
        *_making(part, card, design, result),
        *_testing(part, rules, design, result, consequence),
        *(_proving(proofs(part, card, rules, design, result, relieved=relieved)) if part.proof_test_each else ()),
        f"keep it between {service[0]:g} and {service[1]:g} degC",
        *(r.words for r in reasons if r.effect == "print with conditions" and r.screen != "evidence"),
        *_retiring(part, life),
    ]
    return tuple(dict.fromkeys(found))


def _making(part: Part, card: MaterialCard, design: DesignValues, result: DirectionResult) -> Iterator[str]:
    x, y, z = (round(v, 3) + 0.0 for v in result.direction)
    yield f"print it with the build direction ({x:g}, {y:g}, {z:g}) of the part's axes, or its opposite, and no other"
    if result.raster is not None and result.along is not None:
        x, y, z = (round(v, 3) + 0.0 for v in result.along)
        turned = [] if part.raster is None else [f"{a:g}" for a in part.raster.layers]
        stack = f", layers in turn at {', '.join(turned)} deg to it" if len(turned) > 1 else " in every layer"
        yield f"lay its beads along ({x:g}, {y:g}, {z:g}) of the part's axes{stack}, with as few walls as it takes"
    if (fill := part.fill) is not None:
        least = f"of at least {fill.wall:.3g} mm, square to the surface, and infill of at least"
        yield f"print it with walls, bottom and top {least} {100 * fill.density:.3g} %"
    elif any(v.n for v in (design.in_layer, design.between, design.shear_between)):
        yield "print it solid, with the polymer batch, machine and settings of the coupons"
    else:
        yield "print it solid: the card knows nothing of sparse infill"
    if is_moist(card.moisture_state):
        yield f"moisture: {card.moisture_state}: weigh a witness piece, test again in wetter air"


def _testing(
    part: Part, rules: Rules, design: DesignValues, result: DirectionResult, consequence: Consequence
) -> Iterator[str]:
    if part.inspection == "none":
        yield "look every piece over before use: the process factor is that of castings inspected by eye"
    else:
        yield f"inspect by class '{part.inspection}', which the process factor counts on"
    if consequence != "harmless":
        strengths = governing(result, design, rules)
        names = ", ".join(dict.fromkeys(f"'{g.direction}'" for g in strengths))
        yield f"break coupons {names} again for every new batch of polymer, machine or settings"


def _proving(found: Iterable[ProofTest]) -> Iterator[str]:
    for p in found:
        if p.level is None:
            yield f"proof test of case '{p.case}': {p.words}"
            continue
        gauge = "" if p.lasting is None or p.movement is None else (
            f"; face {p.face} moves about {p.movement:.2g} mm and comes back to within {p.lasting:.2g} mm"
        )  # fmt: skip
        yield (
            f"proof-test each piece before use with case '{p.case}' at {p.level:.2f} times its stated loads for "
            f"{p.hold:g} s, shielded and from a distance{gauge}; reject it at any crack, noise or larger lasting set"
        )


def _retiring(part: Part, life: Life | None) -> Iterator[str]:
    if life is not None and life.low is not None and life.wanted is not None and life.low >= life.wanted.value:
        yield f"retire it after {life.wanted} of ride, for which its life was computed"
    if stated := part.retirement_life.strip():
        sooner = ", or at the computed life, whichever comes first" if life is not None and life.low is not None else ""
        yield f"retire it: {stated}{sooner}"
