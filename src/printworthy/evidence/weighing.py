"""Weighed pieces against what they should weigh: fill ratio, under-extrusion, what is left of the strength."""

from __future__ import annotations

from collections.abc import Sequence

from printworthy.errors import CardError
from printworthy.evidence.bead import bonded_fraction, fill_ratio, print_mass, void_fraction
from printworthy.evidence.values import high_end, low_end, needed, rule
from printworthy.inputs import Laid, MaterialCard, Rules, Weighing
from printworthy.results import Finding, Range, Weighed, Weight

SPARSE = 2.0  # highest power of density by which strength of a cellular solid falls (Gibson and Ashby; from memory)


def weight(card: MaterialCard, volume: float, weighings: Sequence[Weighing], rules: Rules) -> Weight | None:
    """What a solid piece of `volume` [mm3] weighs over the card's density range, and what its weighed pieces say.

    None for a card without a density. CardError for a mass no print of that part can have.
    """
    if "density" not in card.values:
        return None
    density = needed(card, "density")
    low, high = (print_mass(volume, end) for end in (low_end(density), high_end(density)))
    pieces = tuple(_weighed(w, volume, card, rules) for w in weighings if w.material == card.name)
    return Weight(low, high, pieces)


def _weighed(w: Weighing, volume: float, card: MaterialCard, rules: Rules) -> Weighed:
    density = card.values["density"]
    light, heavy = (w.density, w.density) if w.density else (low_end(density), high_end(density))
    low, high = (fill_ratio(w.mass, volume, d) for d in (heavy, light))
    if not possible((low, high), rules):
        solid = 1000 * print_mass(volume, (light + heavy) / 2)
        what = f"{1000 * w.mass:.4g} g cannot be {w.part}: a solid one of {card.name} weighs {solid:.4g} g"
        raise CardError(what, where=w.place, do="Check the mass, its unit, the part and the density")
    planned = planned_fill(w.bead)
    share = (low / planned, high / planned)
    in_layer, between = strength_left(share, w.bead)
    return Weighed(w.piece, w.mass, low, high, planned, judged(share, rules), in_layer, between, w.source, w.invented)


def possible(fill: Range, rules: Rules) -> bool:
    """Whether a print of the part can be filled by some share between `fill` (low, high)."""
    return fill[0] <= rule(rules, "heaviest_fill") and fill[1] >= rule(rules, "lightest_fill")


def planned_fill(bead: Laid | None) -> float:
    """Share [-] of the volume that beads of width, height, pitch [mm] and flow [-] were to fill; None: all of it."""
    return 1.0 if bead is None else min(1.0, 1 - void_fraction(*bead))


def judged(share: Range, rules: Rules) -> Finding:
    """What a fill of `share` (low, high) of the planned one says of the extrusion."""
    under, over = rule(rules, "under_extruded"), rule(rules, "over_extruded")
    if share[1] < under:
        return "under-extruded"
    if share[0] > over:
        return "over-extruded"
    return "as planned" if share[0] >= under and share[1] <= over else "not decided"


def strength_left(share: Range, bead: Laid | None) -> tuple[Range, Range]:
    """Shares of the strength in the layer and between layers that a fill of `share` (low, high) of the planned one
    leaves: at most that of the fill; at least its square, or between layers that of the bonded plane if less."""
    left = (min(1.0, share[0]) ** SPARSE, min(1.0, share[1]))
    if bead is None:
        return left, left
    _, height, pitch, _ = bead
    planned = max(0.0, void_fraction(*bead))
    void = 1 - min(1.0, share[0]) * (1 - planned)
    bonded = bonded_fraction(height, pitch, void) / bonded_fraction(height, pitch, planned)
    return left, (min(bonded, left[0]), left[1])
