"""Weighed pieces against what they should weigh: fill ratio, under-extrusion, what is left of the strength."""

from __future__ import annotations

from collections.abc import Sequence

from printworthy.errors import CardError
from printworthy.evidence.bead import bonded_fraction, fill_ratio, print_mass, void_fraction
from printworthy.evidence.values import high_end, low_end, needed, rule
from printworthy.inputs import MaterialCard, Rules, Weighing
from printworthy.results import Finding, Weighed, Weight

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
    most, least = rule(rules, "heaviest_fill"), rule(rules, "lightest_fill")
    if low > most or high < least:
        solid = 1000 * print_mass(volume, (light + heavy) / 2)
        what = f"{1000 * w.mass:.4g} g cannot be {w.part}: a solid one of {card.name} weighs {solid:.4g} g"
        raise CardError(what, where=w.place, do="Check the mass, its unit, the part and the density")
    planned = 1.0 if w.bead is None else min(1.0, 1 - void_fraction(*w.bead))
    under, over = rule(rules, "under_extruded"), rule(rules, "over_extruded")
    share = (low / planned, high / planned)
    finding: Finding = "not decided"
    if share[1] < under:
        finding = "under-extruded"
    elif share[0] > over:
        finding = "over-extruded"
    elif share[0] >= under and share[1] <= over:
        finding = "as planned"
    left = (min(1.0, share[0]) ** SPARSE, min(1.0, share[1]))
    return Weighed(w.piece, w.mass, low, high, planned, finding, left, _between(w, share, left), w.source, w.invented)


def _between(w: Weighing, share: tuple[float, float], left: tuple[float, float]) -> tuple[float, float]:
    """Share of the strength between layers that is left: at most that of the fill, at least that of the bonded plane
    where the bead is stated."""
    if w.bead is None:
        return left
    _, height, pitch = w.bead
    planned = max(0.0, void_fraction(*w.bead))
    void = 1 - min(1.0, share[0]) * (1 - planned)
    bonded = bonded_fraction(height, pitch, void) / bonded_fraction(height, pitch, planned)
    return min(bonded, left[0]), left[1]
