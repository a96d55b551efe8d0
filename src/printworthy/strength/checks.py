"""Checks beside strength: joints, stiffness, buckling, and movements small enough for a linear answer."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from printworthy.evidence.creep import Kept
from printworthy.inputs import MaterialCard
from printworthy.results import Check, DesignValues, DirectionResult
from printworthy.strength.buckling import buckling_check, is_slender
from printworthy.strength.joints import joint_checks
from printworthy.strength.system import Model
from printworthy.strength.wrinkling import wrinkling_check

SMALL = 0.1  # largest movement over longest side up to which small rotations may be assumed (assumed: about 6 deg)
SOLID_ROUND = "reckoned for solid print round the joint, while the part has infill: print it solid there"
KG_PER_G_CM3_MM3 = 1e-6


def side_checks(
    m: Model, result: DirectionResult, design: DesignValues, card: MaterialCard, kept: Kept, cold: float
) -> tuple[Check, ...]:
    """All quick checks of one option; `kept`: what creep leaves of set forces; `cold` end of service [degC]. `buckling`
    is the slow one."""
    checks = [c for joint in m.part.joints for c in joint_checks(joint, design, result.factor, card, kept, cold)]
    if m.part.fill is not None:
        checks = [replace(c, decided=False, words=f"{c.words}; {SOLID_ROUND}") for c in checks]
    if (wrinkled := wrinkling_check(m, result)) is not None:
        checks.append(wrinkled)
    checks += [
        Check(
            f"movement of {d.face} in {d.case}",
            d.movement,
            d.limit,
            "mm",
            d.movement / d.limit,
            "stated limit, without the factor on load",
            f"moves {d.movement:.3g} mm",
        )
        for d in result.deflections
        if d.limit is not None
    ]
    checks.append(_small_movements(m, result))
    return tuple(checks)


def buckling(m: Model, result: DirectionResult) -> tuple[Check, ...]:
    """The buckling check of a slender part that strength has not refused; else nothing. Raises NotComputed."""
    if not is_slender(m) or result.utilisation > 1:
        return ()
    return (buckling_check(m, result.direction, result.factor),)


def _small_movements(m: Model, result: DirectionResult) -> Check:
    longest = float(np.ptp(m.space.solid.points, axis=0).max())
    worst = max(result.cases, key=lambda c: c.max_displacement)
    return Check(
        "movements small enough for a linear answer",
        worst.max_displacement,
        SMALL * longest,
        "mm",
        worst.max_displacement / (SMALL * longest),
        f"small rotations: at most {SMALL:.0%} of the longest side (assumed)",
        f"{worst.case} moves the part by {worst.max_displacement:.3g} mm of {longest:.3g} mm",
    )


def volume(m: Model) -> float:
    """Volume [mm3] of polymer in a part: that of the solid, less what its infill leaves out."""
    return m.space.solid.volume * float(m.sampler.filled @ m.sampler.weights / m.sampler.weights.sum())


def mass(m: Model, card: MaterialCard) -> float:
    """Mass [kg] of a part in a material, with its infill."""
    return volume(m) * card.values["density"].value * KG_PER_G_CM3_MM3
