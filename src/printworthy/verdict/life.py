"""Life under repeated load, per direction of the layers, in hours or kilometres of ride."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from printworthy.evidence.damage import spectrum
from printworthy.evidence.fatigue import sn_curve
from printworthy.evidence.knockdown import moisture_step, temperature_step
from printworthy.evidence.life import Chance, Spent, spent
from printworthy.evidence.service import Service, bead_step, weathering_step
from printworthy.evidence.values import rule
from printworthy.inputs import CouponDirection, FatigueSet, LoadCase, MaterialCard, Part, Rules, Vehicle
from printworthy.results import LONGEST, CaseResult, DesignValues, DirectionResult, Life, LifeRow, Mode, SNCurve
from printworthy.verdict.strength import Mesh, span
from printworthy.verdict.table import governing
from printworthy.verdict.words import factors, service_range

Array = NDArray[np.float64]
LAYERS: tuple[CouponDirection, ...] = ("between layers", "45 degrees", "interlayer shear")
OPENING: tuple[Mode, ...] = ("between layers, tension with shear",)
IN_LAYER: tuple[Mode, ...] = (
    "in the layer, tension", "in the layer, compression", "in the layer, shear", "between layers, compression",
    "largest principal stress",
)  # fmt: skip
# Which sets answer for a direction that governs: shear between layers may be tested either way.
ANSWERS: Mapping[CouponDirection, tuple[CouponDirection, ...]] = {
    "45 degrees": ("interlayer shear", "45 degrees"),
    "interlayer shear": ("interlayer shear", "45 degrees"),
}
ASSUMED = (
    "the loads of every case go on and off as its duty says; cases do not add up to larger swings",
    "the largest stresses of all cases are taken to fall on one place",
    "fatigue strength falls with heat, moisture, sun and across beads as static strength does (S-N data of printed "
    "polymers agree once divided by static strength: Jap et al. 2019, Int. J. Fatigue 124:328)",
    "mean stress: the worse of Goodman's line and Smith, Watson and Topper; no credit for a mean in compression",
    "the line is drawn on below the lowest stress tested: no endurance limit is believed",
    "the factor from expected to ultimate load is left out; the special factor stays, for prints weaker than coupons",
    "cycles come slowly enough not to warm the part; lasting loads (creep) are not in it",
)


@dataclass(frozen=True, slots=True)
class _Test:
    """A fatigue set ready for use: `share` of its strength left in service [-], `strength` [MPa] at service of the
    direction it was loaded in, `scale` from the criterion's stress to the one it was loaded by, least scatter."""

    curve: SNCurve
    modes: tuple[Mode, ...]
    strength: float
    share: float
    scale: float
    minimum_cv: float


def life(
    part: Part, card: MaterialCard, vehicle: Vehicle, rules: Rules, design: DesignValues, result: DirectionResult,
    mesh: Mesh, tests: Sequence[FatigueSet],
) -> Life:  # fmt: skip
    """Life of a part in one material, built one way, by Miner's sum over its cases.

    `low` counts the mesh error, the special factor, heat and moisture, the tolerance limit of the rules and all cases
    on one place; `middle` is the most that half of the pieces may reach: the worst case alone, low end of the mesh
    error, no factor. Not decided where a case has no duty or a governing direction no fatigue set. Raises CardError
    for a set no curve can be drawn through.
    """
    strengths = [g.direction for g in governing(result, design, rules)]
    wanted = dict.fromkeys((*strengths, *_beside(result, strengths, rules)))
    service = Service(*service_range(part, vehicle), exposure=part.exposure)
    ready = [_test(t, card, design, rules, service) for t in tests if t.material == card.name]
    duties = {c.name: spectrum(c.duty) for c in part.cases if c.duty is not None}
    gentle = {c.name: spectrum(c.duty, gentle=True) for c in part.cases if c.duty is not None}
    missing = (*_without_duty(part.cases), *_without_set(card, wanted, [t.curve for t in ready]))
    units = dict.fromkeys(c.duty.per for c in part.cases if c.duty is not None)
    per = next(iter(units), part.design_life.per if part.design_life else None)
    curves, layers = tuple(t.curve for t in ready), any(d in LAYERS for d in strengths)
    if missing or not ready:
        return Life(per, part.design_life, None, None, False, (), curves, missing, (), layers)
    special = factors(part, rules)[1].factor
    rows, totals, tested = [], [], True
    for t in ready:
        low = {c.case: _harsh(c, duties[c.case], t, rules, mesh, special / result.factor) for c in result.cases}
        total = sum(s.damage for _, s in low.values()) / rule(rules, "miner_sum")
        totals.append(total)
        rows += [_row(case, t, stress, s, duties[case]) for case, (stress, s) in low.items()]
        worst = max((s for _, s in low.values()), key=lambda s: s.damage)
        asked = part.design_life.value if part.design_life else LONGEST
        tested = tested and _within(worst, min(asked, _inverse(total)) * total, t.curve, rules)
    middles = [_middle(result.cases, gentle, t, rules, mesh, 1 / result.factor) for t in ready]
    by_direction: dict[CouponDirection, float] = {}  # of several sets of a direction the one that lives longest
    for t, damage in zip(ready, middles, strict=True):
        by_direction[t.curve.direction] = min(damage, by_direction.get(t.curve.direction, np.inf))
    middle = _inverse(max(by_direction.values()))
    return Life(per, part.design_life, _inverse(max(totals)), middle, tested, tuple(rows), curves, (), ASSUMED, layers)


def _beside(result: DirectionResult, strengths: Sequence[CouponDirection], rules: Rules) -> Iterator[CouponDirection]:
    """Directions that do not govern strength and are worked hard enough to govern life."""
    modes = [{**c.by_mode, c.mode: c.utilisation} for c in result.cases]
    enough = rule(rules, "life_share") * result.utilisation
    if not set(LAYERS).intersection(strengths) and max(m.get(OPENING[0], 0.0) for m in modes) >= enough:
        yield "between layers"
    if "in layer" not in strengths and max(m.get(n, 0.0) for m in modes for n in IN_LAYER) >= enough:
        yield "in layer"


def _without_duty(cases: Sequence[LoadCase]) -> Iterator[str]:
    bare = [f"'{c.name}'" for c in cases if c.duty is None]
    if bare:
        yield f"nobody has said how often {', '.join(bare)} {'comes' if len(bare) == 1 else 'come'} (its duty)"


def _without_set(
    card: MaterialCard, wanted: Mapping[CouponDirection, None], curves: Sequence[SNCurve]
) -> Iterator[str]:
    have = {c.direction for c in curves}
    for direction in wanted:
        if not have.intersection(ANSWERS.get(direction, (direction,))):
            other = f", only {', '.join(sorted(have))}" if have else ""
            yield (
                f"no S-N set of {card.name} '{direction}' is at hand{other}: tire 6 to 12 coupons '{direction}' on two "
                "or more stress levels"
            )


def _test(tests: FatigueSet, card: MaterialCard, design: DesignValues, rules: Rules, service: Service) -> _Test:
    steps = (
        bead_step(rules, tests),
        temperature_step(card, service.high, tests.temperature),
        moisture_step(card, tests.moisture),
        weathering_step(card, service),
    )
    share = float(np.prod([s.factor for s in steps if s is not None]))
    strength, scale = {
        "in layer": (design.in_layer.value, 1.0),
        "between layers": (design.between.value, 1.0),
        "interlayer shear": (design.shear_between.value, 1.0),
        "45 degrees": (design.shear_between.value, 2.0),  # half of a 45 degree pull is shear on the layers
    }[tests.direction]
    in_layer = tests.direction == "in layer"
    cv = rule(rules, "minimum_cv_in_layer" if in_layer else "minimum_cv_between")
    return _Test(sn_curve(tests), IN_LAYER if in_layer else OPENING, strength, share, scale, cv)


def _stresses(case: CaseResult, t: _Test, factor: float) -> Iterator[float]:
    """Stress [MPa] of every mode the test speaks for, as the test would have to make it; pressed ones below zero."""
    for mode, u in {**case.by_mode, case.mode: case.utilisation}.items():
        if mode in t.modes:
            sign = -1.0 if "compression" in mode else 1.0
            yield sign * u * factor * t.strength * t.scale / t.share


def _worst(case: CaseResult, cycles: Array, t: _Test, factor: float, chance: Chance) -> tuple[float, Spent]:
    strength = t.strength * t.scale / t.share
    found = [(s, spent(cycles, s, t.curve, strength, chance)) for s in _stresses(case, t, factor)]
    return max(found, key=lambda f: (f[1].damage, abs(f[0])), default=(0.0, Spent(0.0, 0.0, np.inf)))


def _harsh(
    case: CaseResult, cycles: Array, t: _Test, rules: Rules, mesh: Mesh, factor: float
) -> tuple[float, Spent]:  # fmt: skip
    grown = span(case, mesh, rules).high / case.utilisation if case.utilisation > 0 else 1.0
    chance = Chance(rule(rules, "tolerance_part"), rule(rules, "tolerance_confidence"), t.minimum_cv, harsher=True)
    return _worst(case, cycles, t, factor * grown, chance)


def _middle(
    cases: Sequence[CaseResult], duties: Mapping[str, Array], t: _Test, rules: Rules, mesh: Mesh, factor: float
) -> float:
    """Least damage per h or km that half of the pieces must suffer: the worst case alone."""
    chance = Chance(0.5, 1 - rule(rules, "tolerance_confidence"), 0.0, harsher=False)
    found = []
    for case in cases:
        shrunk = span(case, mesh, rules).low / case.utilisation if case.utilisation > 0 else 1.0
        # nothing is sure to be lost to heat and moisture: the stress is that of the test's own state
        found.append(_worst(case, duties[case.case], t, factor * shrunk * t.share, chance)[1].damage)
    return max(found)


def _within(worst: Spent, damage: float, curve: SNCurve, rules: Rules) -> bool:
    """Whether so much damage, made of the worst case's largest cycles, lies within what was tested."""
    if worst.damage == 0:
        return True
    reach = rule(rules, "beyond_tests") * curve.longest
    return worst.amplitude <= curve.highest * (1 + 1e-9) and damage * worst.cycles <= reach


def _row(case: str, t: _Test, stress: float, s: Spent, cycles: Array) -> LifeRow:
    count = float(cycles[:, 2].sum())
    return LifeRow(case, t.curve.direction, t.curve.name, stress, min(s.amplitude, LONGEST), count, _inverse(s.damage))


def _inverse(damage: float) -> float:
    return min(1 / damage, LONGEST) if damage > 0 else LONGEST
