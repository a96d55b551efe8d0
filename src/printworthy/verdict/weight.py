"""What the scale says, as reasons: the mass to look for, and pieces that lack polymer."""

from __future__ import annotations

from collections.abc import Iterator

from printworthy.evidence.values import rule, rule_source
from printworthy.inputs import Part, Rules
from printworthy.results import Reason, Weighed, Weight, Word

BY_SCALE = "weighed and measured"  # the inspection class that counts on the scale


def weight_reasons(part: Part, weight: Weight | None, rules: Rules) -> Iterator[Reason]:
    """The range of masses a piece must lie in, where the inspection counts on it, and every weighed piece."""
    if weight is None:
        return
    if part.inspection == BY_SCALE:
        under, over = rule(rules, "under_extruded"), rule(rules, "over_extruded")
        words = (
            f"weigh each piece: {1000 * under * weight.low:.4g} to {1000 * over * weight.high:.4g} g pass; below, "
            "polymer is missing"
        )
        yield Reason("weight", words, "print with conditions", "volume of the solid times the card's range of density")
    for piece in weight.pieces:
        yield _piece(piece, rules)


def _piece(piece: Weighed, rules: Rules) -> Reason:
    mass, planned = f"{1000 * piece.mass:.4g} g", f"{100 * piece.planned:.3g} % planned"
    ends = f"{100 * piece.low:.3g}", f"{100 * piece.high:.3g}"
    share = " to ".join(dict.fromkeys(ends)) + " %"
    words = f"piece {piece.piece} weighs {mass}, {share} of the solid ({planned})"
    effect: Word = "print"
    if piece.finding == "under-extruded":
        words += (
            f": under-extruded, reject it; {_left(piece.in_layer)} of the strength in the layer and "
            f"{_left(piece.between)} between layers are left"
        )
        effect = "print with conditions"
    elif piece.finding == "over-extruded":
        words += ": over-extruded, look at its dimensions"
        effect = "print with conditions"
    elif piece.finding == "not decided":
        words += ": whether polymer is missing is not decided; weigh a length of strand for its density"
        effect = "print with conditions"
    return Reason("weight", words, effect, f"{piece.source}; {rule_source(rules, 'under_extruded')}")


def _left(share: tuple[float, float]) -> str:
    return f"{100 * share[0]:.0f} to {100 * share[1]:.0f} %"
