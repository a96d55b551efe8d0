"""Bolts, inserts and clamps by hand formulae. Forces N, lengths mm, stresses MPa; every demand carries the load factor.

Strengths are the lower of the layer's two directions: a bolt's axis may stand any way to the layers.
"""

from __future__ import annotations

from math import pi

from printworthy.inputs import BoltJoint, ClampJoint, InsertJoint, Joint
from printworthy.results import Check, DesignValues

BEARING_SOURCE = (
    "P = strength d t and P = 2 tau t (e - d/2): Bruhn, Analysis and Design of Flight Vehicle Structures, D1"
)


def joint_checks(joint: Joint, design: DesignValues, factor: float) -> tuple[Check, ...]:
    """All checks of one joint."""
    if isinstance(joint, BoltJoint):
        return _bolt(joint, design, factor)
    if isinstance(joint, InsertJoint):
        return (_insert(joint, design, factor),)
    return (_clamp(joint, factor),)


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


def washer_pressure(preload: float, washer: float, diameter: float) -> float:
    """Pressure [MPa] under a washer: force over the ring. Own derivation: area."""
    return preload / (pi / 4 * (washer**2 - diameter**2))


def _check(
    name: str, demand: float, capacity: float, unit: str, source: str, words: str, *, decided: bool = True
) -> Check:
    used = demand / capacity if capacity > 0 else float("inf")
    return Check(name, demand, capacity, unit, used, source, words, decided)


def _bolt(j: BoltJoint, d: DesignValues, factor: float) -> tuple[Check, ...]:
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
        pressure = washer_pressure(j.preload, j.washer, j.diameter) if j.washer > j.diameter else float("inf")
        checks.append(
            _check(
                f"{j.name}: preload through plastic",
                pressure,
                crush,
                "MPa",
                "force over the ring under the washer (own derivation)",
                "the polymer creeps and the preload is lost: put a metal sleeve through the part",
                decided=False,
            )
        )
    return tuple(checks)


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


def _clamp(j: ClampJoint, factor: float) -> Check:
    return _check(
        f"{j.name}: clamp slip",
        factor * j.torque,
        slip_torque(j.bore, j.bolts, j.preload, j.friction),
        "N mm",
        "mu n F d, two lines of contact: Roloff/Matek, clamped hubs (from memory)",
        "with the fresh preload: what creep takes from it is not known yet",
        decided=False,
    )
