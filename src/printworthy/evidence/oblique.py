"""Shear between layers, G13 and the criterion's exponent from all coupons of a material: measured with an interval, or
a low bound that says it is assumed and which coupon would settle it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from printworthy.errors import CardError
from printworthy.evidence.coupons import SMALLEST
from printworthy.evidence.shear import Fitted, exponent, interval, shear_modulus, shear_strength
from printworthy.evidence.values import high_end, low_end, rule
from printworthy.inputs import CouponDirection, CouponSet, MaterialCard, Rules

POISSON = (0.30, 0.48)  # of polymers solid, reviews from memory; taken where no card states poisson_through
MODULUS_SHARE = 0.6  # of the estimate from E1, E3, nu13: the lower of the shares the cards take, assumed
NEXT = "test 45 degrees next"


@dataclass(frozen=True, slots=True)
class ObliqueFigure:
    """One figure: `value` in `unit` with its 90 % interval; None where nothing is known. `assumed`: a low bound."""

    name: str
    unit: str
    value: float | None
    low: float | None
    high: float | None
    words: str
    assumed: bool


@dataclass(frozen=True, slots=True)
class Oblique:
    """Figures of one material in one state."""

    title: str
    figures: tuple[ObliqueFigure, ...]


@dataclass(frozen=True, slots=True)
class _Pulls:
    """Strengths and moduli [MPa] by direction."""

    strengths: Mapping[CouponDirection, tuple[float, ...]]
    moduli: Mapping[CouponDirection, tuple[float, ...]]

    def enough(self, kind: str, *directions: CouponDirection) -> bool:
        """Whether each direction has three values or more of `kind`."""
        found = self.strengths if kind == "strength" else self.moduli
        return all(len(found.get(d, ())) >= SMALLEST for d in directions)


def oblique_studies(sets: Sequence[CouponSet], cards: Mapping[str, MaterialCard], rules: Rules) -> tuple[Oblique, ...]:
    """One for each material, temperature and moisture that was pulled across, between or obliquely to its layers."""
    groups: dict[tuple[str, float, str], list[CouponSet]] = defaultdict(list)
    for s in sets:
        if not s.impact:
            groups[(s.material, s.temperature, s.moisture)].append(s)
    found = []
    for (material, temperature, moisture), group in groups.items():
        if {s.direction for s in group} == {"in layer"}:
            continue
        pulls = _Pulls(_by_direction(group, "strengths"), _by_direction(group, "moduli"))
        card = cards.get(material)
        nu = _poisson(card)
        figures = (_strength(pulls, card, rules), _modulus(pulls, card, nu), _exponent(pulls))
        state = "moisture not stated" if moisture in ("", "not stated") else moisture
        found.append(Oblique(f"{material}, {temperature:g} degC, {state}", figures))
    return tuple(found)


def _by_direction(sets: Sequence[CouponSet], field: str) -> dict[CouponDirection, tuple[float, ...]]:
    found: dict[CouponDirection, tuple[float, ...]] = {}
    for s in sets:
        found[s.direction] = found.get(s.direction, ()) + tuple(getattr(s, field))
    return found


def _poisson(card: MaterialCard | None) -> tuple[float, float]:
    if card is None or "poisson_through" not in card.values:
        return POISSON
    return low_end(card.values["poisson_through"]), high_end(card.values["poisson_through"])


def _strength(pulls: _Pulls, card: MaterialCard | None, rules: Rules) -> ObliqueFigure:
    name = "S, shear strength between layers"
    z = pulls.strengths.get("between layers", ())
    oblique = pulls.strengths.get("45 degrees", ())
    if pulls.enough("strength", "interlayer shear"):
        shear = pulls.strengths["interlayer shear"]
        found = interval(float, shear)
        return _measured(name, "MPa", found, f"mean of {len(shear)} interlayer shear coupons")
    if pulls.enough("strength", "45 degrees", "between layers"):
        found = interval(shear_strength, oblique, z)
        how = f"{len(oblique)} coupons at 45 degrees and {len(z)} between layers by (s33/Z)^2 + (t/S)^2 = 1"
        half = float(np.mean(oblique)) / 2
        if np.isfinite(found.value):
            return _measured(name, "MPa", found, f"{how}; decisions use half the 45 degree pull, {half:.3g} MPa")
        return ObliqueFigure(name, "MPa", half, half, None, f"{how}: the law has no finite S, half the pull is a low "
                             "bound", assumed=True)  # fmt: skip
    share = rule(rules, "interlayer_shear_share")
    if pulls.enough("strength", "between layers"):
        bound = share * float(np.mean(z))
        words = f"low bound, {share:g} of the mean between layers, assumed: {NEXT}"
        return ObliqueFigure(name, "MPa", bound, bound, None, words, assumed=True)
    for property, factor in (("shear_between_layers", 1.0), ("strength_through", share)):
        if card is not None and property in card.values:
            bound = factor * low_end(card.values[property])
            of = "" if factor == 1 else f"{factor:g} of tension between layers, "
            words = f"low end of the card, {of}assumed: {NEXT}"
            return ObliqueFigure(name, "MPa", bound, bound, None, words, assumed=True)
    words = f"three coupons between layers or in shear are missing: {NEXT}"
    return ObliqueFigure(name, "MPa", None, None, None, words, assumed=True)


def _modulus(pulls: _Pulls, card: MaterialCard | None, nu: tuple[float, float]) -> ObliqueFigure:
    name, e = "G13, shear modulus between layers", pulls.moduli
    span = f"nu13 {nu[0]:g} to {nu[1]:g}"
    if pulls.enough("modulus", "in layer", "45 degrees", "between layers"):
        samples = (e["in layer"], e["45 degrees"], e["between layers"])
        try:
            ends = [interval(partial(_with_poisson, nu=n), *samples) for n in nu]
        except CardError as error:
            return ObliqueFigure(name, "MPa", None, None, None, f"{error.what}: measure strain again", assumed=True)
        middle = sum(f.value for f in ends) / 2
        found = Fitted(middle, min(f.low for f in ends), max(f.high for f in ends))
        return _measured(name, "MPa", found, f"moduli at 0, 45 and 90 degrees, {span}")
    if pulls.enough("modulus", "in layer", "between layers"):
        along, across = (float(np.mean(e[d])) for d in ("in layer", "between layers"))
        bound = MODULUS_SHARE / ((1 + 2 * nu[1]) / along + 1 / across)
        words = f"low bound, {MODULUS_SHARE:g} of 1/((1 + 2 nu13)/E1 + 1/E3), {span}, assumed: {NEXT}, with strain"
        return ObliqueFigure(name, "MPa", bound, bound, None, words, assumed=True)
    if card is not None and "shear_modulus_through" in card.values:
        bound, stated = low_end(card.values["shear_modulus_through"]), card.values["shear_modulus_through"]
        words = f"low end of the card ({stated.confidence}); pull with strain (curve column), and {NEXT}"
        return ObliqueFigure(name, "MPa", bound, bound, None, words, assumed=True)
    return ObliqueFigure(name, "MPa", None, None, None, "no moduli along and across: pull with strain (curve column), "
                         f"and {NEXT}", assumed=True)  # fmt: skip


def _with_poisson(along: float, oblique: float, across: float, *, nu: float) -> float:
    return shear_modulus(along, oblique, across, nu)


def _exponent(pulls: _Pulls) -> ObliqueFigure:
    name = "m, exponent of (s33/Z)^m + (t/S)^m = 1"
    if not pulls.enough("strength", "45 degrees", "between layers", "interlayer shear"):
        missing = [d for d in ("between layers", "interlayer shear", "45 degrees") if not pulls.enough("strength", d)]
        words = f"2 is used, assumed; three coupons each are missing: {', '.join(missing)}"
        return ObliqueFigure(name, "", 2.0, None, None, words + ("" if "45 degrees" not in missing else f"; {NEXT}"),
                             assumed=True)  # fmt: skip
    samples = (pulls.strengths["45 degrees"], pulls.strengths["between layers"], pulls.strengths["interlayer shear"])
    try:
        found = interval(exponent, *samples)
    except CardError as error:
        return ObliqueFigure(name, "", None, None, None, error.what, assumed=True)
    if found.low <= 2 <= found.high:
        said = "2, which is used, lies inside"
    elif found.low > 2:
        said = "2, which is used, is on the safe side"
    else:
        said = "2, which is used, promises too much at 45 degrees: decide by the 45 degree coupons"
    return _measured(name, "", found, said)


def _measured(name: str, unit: str, found: Fitted, words: str) -> ObliqueFigure:
    return ObliqueFigure(name, unit, found.value, found.low, found.high, words, assumed=False)
