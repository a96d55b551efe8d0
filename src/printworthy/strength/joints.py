"""Bolts, inserts, clamps and press fits by hand formulae. Forces N, lengths mm, stresses MPa.

Every demand from a load carries the load factor; forces set once, preload and grip, do not.

Strengths are the lower of the layer's two directions: a bolt's axis may stand any way to the layers.
"""

from __future__ import annotations

from math import pi

from printworthy.errors import CardError
from printworthy.evidence.creep import Kept
from printworthy.evidence.knockdown import temperature_factor
from printworthy.evidence.values import ROOM, high_end, low_end, needed
from printworthy.inputs import BoltJoint, ClampJoint, InsertJoint, Joint, MaterialCard, PressFit
from printworthy.results import Check, DesignValues

BEARING_SOURCE = (
    "P = strength d t and P = 2 tau t (e - d/2): Bruhn, Analysis and Design of Flight Vehicle Structures, D1"
)
FIT_SOURCE = "Lame's thick ring on a rigid shaft: Timoshenko, Strength of Materials II, shrink fits (from memory)"
STEEL_EXPANSION = 12e-6  # [1/K] of the ring pressed in, mild steel, from memory


def joint_checks(
    joint: Joint, design: DesignValues, factor: float, card: MaterialCard, kept: Kept, cold: float
) -> tuple[Check, ...]:
    """All checks of one joint; `kept` says what creep leaves of a force that was set once, up to its temperature;
    `cold` [degC] is the other end of service."""
    if isinstance(joint, BoltJoint):
        return _bolt(joint, design, factor, kept)
    if isinstance(joint, InsertJoint):
        return (_insert(joint, design, factor),)
    if isinstance(joint, PressFit):
        return _press_fit(joint, design, factor, card, kept, cold)
    return (_clamp(joint, factor, kept),)


def bearing_capacity(diameter: float, thickness: float, strength: float) -> float:
    """Load [N] at which a hole's wall crushes: strength times d t. Source: Bruhn D1 (from memory)."""
    return strength * diameter * thickness


def shear_out_capacity(diameter: float, thickness: float, edge_distance: float, shear: float) -> float:
    """Load [N] that tears a plug out to the edge: two planes of (e - d/2) t. Source: Bruhn D1 (from memory)."""
    return 2 * shear * thickness * max(edge_distance - diameter / 2, 0.0)


def pull_out_capacity(diameter: float, length: float, shear: float) -> float:
    """Pull [N] that shears the cylinder round an insert: pi d L tau. Own derivation: area of the sheared cylinder."""
    return pi * diameter * length * shear


def slip_torque(bore: float, bolts: int, preload: float, friction: float) -> float:
    """Torque [N mm] at which a two-piece clamp slips on its tube: mu n F d.

    Two lines of contact each carry the n bolts' force: the lower of the textbook's two limits (an even pressure all
    round would give pi/2 times as much). Source: Roloff/Matek, clamped hubs (from memory).
    """
    return friction * bolts * preload * bore


def fit_pressure(modulus: float, poisson: float, interference: float, diameter: float, outer: float) -> float:
    """Pressure [MPa] of a rigid ring pressed into a plastic one: E i / (d ((D^2 + d^2)/(D^2 - d^2) + nu)).

    `interference` on the diameter, bore `diameter` and `outer` diameter [mm]. Source: Lame's thick ring with a rigid
    shaft (Timoshenko, Strength of Materials II, shrink fits; from memory). CardError where the ring has no wall.
    """
    if not outer > diameter > 0:
        raise CardError("a press fit needs an outer diameter above the bore", do="Correct outer")
    ring = (outer**2 + diameter**2) / (outer**2 - diameter**2)
    return modulus * interference / (diameter * (ring + poisson))


def washer_pressure(preload: float, washer: float, diameter: float) -> float:
    """Pressure [MPa] under a washer: force over the ring. Own derivation: area."""
    return preload / (pi / 4 * (washer**2 - diameter**2))


def _check(
    name: str, demand: float, capacity: float, unit: str, source: str, words: str, *, decided: bool = True,
    of_strength: bool = True,
) -> Check:  # fmt: skip
    used = demand / capacity if capacity > 0 else float("inf") if demand > 0 else 0.0
    return Check(name, demand, capacity, unit, used, source, words, decided, of_strength)


def _bolt(j: BoltJoint, d: DesignValues, factor: float, kept: Kept) -> tuple[Check, ...]:
    crush = min(d.compression_in_layer.value, d.compression_between.value)
    shear = min(d.shear_in_layer.value, d.shear_between.value)
    load = factor * j.load
    checks = [
        _check(
            f"{j.name}: bearing",
            load,
            bearing_capacity(j.diameter, j.thickness, crush),
            "N",
            BEARING_SOURCE,
            f"hole wall at {crush:.3g} MPa",
        ),
        _check(
            f"{j.name}: shear-out",
            load,
            shear_out_capacity(j.diameter, j.thickness, j.edge_distance, shear),
            "N",
            BEARING_SOURCE,
            f"two planes to the edge at {shear:.3g} MPa",
        ),
    ]
    if j.preload > 0 and not j.sleeve:
        checks += _preload(j, crush, kept)
    return tuple(checks)


def _preload(j: BoltJoint, crush: float, kept: Kept) -> tuple[Check, Check]:
    """Pressure of the fresh preload, and what is left of it against the least that is needed."""
    pressure = washer_pressure(j.preload, j.washer, j.diameter) if j.washer > j.diameter else float("inf")
    sleeve = "put a metal sleeve through the part"
    left = f"{j.preload:.4g} N at start"
    if kept.decided:
        left += f", {kept.low * j.preload:.4g} to {kept.high * j.preload:.4g} N later: {kept.words}"
    else:
        left += f"; what is left later is not known: {kept.words}"
    crushed = _check(
        f"{j.name}: preload through plastic", pressure, crush, "MPa",
        "force over the ring under the washer (own derivation)",
        f"the polymer creeps and the preload is lost in part: {sleeve}", decided=kept.decided,
    )  # fmt: skip
    if j.least_preload is None:
        words = f"{left}; the least preload that holds is not stated (least_preload): {sleeve}"
        return crushed, _check(
            f"{j.name}: preload left", 0.0, kept.low * j.preload, "N", kept.source, words, decided=False
        )
    return crushed, _ranged(
        f"{j.name}: preload left", j.least_preload, (kept.low * j.preload, kept.high * j.preload), "N", kept.source,
        left,
        decided=kept.decided,
    )  # fmt: skip


def _insert(j: InsertJoint, d: DesignValues, factor: float) -> Check:
    shear = min(d.shear_in_layer.value, d.shear_between.value)
    measured = j.pull_out is not None
    return _check(
        f"{j.name}: insert pull-out",
        factor * j.pull,
        j.pull_out if j.pull_out is not None else pull_out_capacity(j.diameter, j.length, shear),
        "N",
        "stated pull-out test" if measured else "sheared cylinder pi d L tau (own derivation)",
        "measured pull-out" if measured else "estimated only: pull one insert out of a printed test piece",
        decided=measured,
    )


def _clamp(j: ClampJoint, factor: float, kept: Kept) -> Check:
    fresh = slip_torque(j.bore, j.bolts, j.preload, j.friction)
    words = f"preload {j.preload:.4g} N of each bolt at start"
    if kept.decided:
        words += f", {kept.low * j.preload:.4g} to {kept.high * j.preload:.4g} N later: {kept.words} ({kept.source})"
    else:
        words += f"; a clamp lives on friction and {kept.words}; or carry the torque by a pin or key"
    source = "mu n F d, two lines of contact: Roloff/Matek, clamped hubs (from memory)"
    ends = (kept.low * fresh, kept.high * fresh)
    return _ranged(f"{j.name}: clamp slip", factor * j.torque, ends, "N mm", source, words, decided=kept.decided)


def _press_fit(
    j: PressFit, d: DesignValues, factor: float, card: MaterialCard, kept: Kept, cold: float
) -> tuple[Check, ...]:
    """Grip of a metal ring pressed into plastic, from new to old and hot, and its hoop stress when new and cold."""
    stiff = [needed(card, m) for m in ("modulus_in_layer", "modulus_through")]
    poisson = needed(card, "poisson_in_layer").value
    heat = temperature_factor(card, kept.temperature)
    growth = max((high_end(card.values[a]) for a in ("expansion_in_layer", "expansion_through") if a in card.values),
                 default=None)  # fmt: skip
    fresh = fit_pressure(max(high_end(e) for e in stiff), poisson, j.interference, j.diameter, j.outer)
    apart = max((growth or 0.0) - STEEL_EXPANSION, 0.0) * j.diameter  # [mm/K]
    tight = j.interference + max(ROOM - cold, 0.0) * apart
    chilled = fit_pressure(max(high_end(e) for e in stiff), poisson, tight, j.diameter, j.outer)
    ring = (j.outer**2 + j.diameter**2) / (j.outer**2 - j.diameter**2)
    pull = min(d.in_layer.value, d.between.value)
    hoop = _check(f"{j.name}: hoop stress of the press fit", chilled * ring, pull, "MPa", FIT_SOURCE,
                  f"pressure {chilled:.3g} MPa when new and at {cold:g} degC, stiffest modulus of the card",
                  decided=growth is not None)  # fmt: skip
    loose = max(kept.temperature - ROOM, 0.0) * apart
    hot = min(low_end(e) for e in stiff) * heat.factor
    least = fit_pressure(hot, poisson, max(j.interference - loose, 0.0), j.diameter, j.outer) * kept.low
    most = fresh * kept.high
    sure = kept.decided and heat.decided and growth is not None
    said = f"grip {fresh:.3g} MPa when new, {least:.3g} MPa old and hot: {kept.words} ({kept.source}); heat takes "
    said += f"{1000 * loose:.3g} of {1000 * j.interference:.3g} um of interference"
    if growth is None:
        said += "; the card has no expansion"
    area = pi * j.diameter * j.width * j.friction
    checks = [hoop]
    if j.push > 0:
        checks.append(_ranged(f"{j.name}: push out of the seat", factor * j.push, (area * least, area * most), "N",
                              FIT_SOURCE, said, decided=sure))  # fmt: skip
    if j.torque > 0:
        arm = area * j.diameter / 2
        checks.append(_ranged(f"{j.name}: turning in the seat", factor * j.torque, (arm * least, arm * most), "N mm",
                              FIT_SOURCE, said, decided=sure))  # fmt: skip
    return tuple(checks)


def _ranged(
    name: str, demand: float, ends: tuple[float, float], unit: str, source: str, words: str, *, decided: bool
) -> Check:
    """A check whose capacity lies between two ends: the high one refuses, the low one passes, between them nothing is
    decided. An unknown low end counts as nothing; what is shown is then the high end, marked undecided."""
    low, high = ends
    if demand > high:
        return _check(name, demand, high, unit, source, f"even the most of it is not enough: {words}",
                      of_strength=False)  # fmt: skip
    if not decided:
        return _check(name, demand, high, unit, source, f"not decided: {words}", decided=False)
    if demand > low:
        more = f"enough only at the high end of the range, {low:.4g} to {high:.4g} {unit}: {words}"
        return _check(name, demand, high, unit, source, more, decided=False)
    return _check(name, demand, low, unit, source, words)
