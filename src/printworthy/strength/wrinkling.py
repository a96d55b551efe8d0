"""Wrinkling: a thin wall pressed along itself buckles in short waves on infill that is too soft to hold it."""

from __future__ import annotations

import numpy as np

from printworthy.results import Check, DirectionResult
from printworthy.strength.elastic import PLACES
from printworthy.strength.margin import layer_stress
from printworthy.strength.solution import solve
from printworthy.strength.system import Model
from printworthy.strength.zones import shares, wall_share

SOURCE = "wrinkling of a face on a soft core, 0.5 (E Ec Gc)^(1/3): Hoff and Mautner 1945 (from memory)"


def wrinkling_stress(modulus: float, core_modulus: float, core_shear: float) -> float:
    """Stress [MPa] at which a face of a sandwich wrinkles on a thick core; moduli [MPa].

    N. J. Hoff and S. E. Mautner, The buckling of sandwich-type panels, J. Aeronautical Sciences 12 (1945) 285-297 (from
    memory): 0.91 (E Ec Gc)^(1/3) of theory, lowered to 0.5 by their tests, isotropic face and core.

    >>> round(wrinkling_stress(2000.0, 125.0, 48.1))
    115
    """
    return 0.5 * float(np.cbrt(modulus * core_modulus * core_shear))


def wrinkling_check(m: Model, result: DirectionResult) -> Check | None:
    """Largest pressure along any way in the walls against the stress that wrinkles them; None for a solid part.

    A bound: pressure square to the wall, as under a pin, counts too. What it does not pass is therefore not decided.
    """
    fill = m.part.fill
    if fill is None:
        return None
    stiffness, _ = shares(fill)
    compliance = np.linalg.inv(m.stiffness)
    modulus, shear = 1 / compliance.diagonal()[:3].max(), 1 / compliance.diagonal()[3:].max()
    held = wrinkling_stress(modulus, stiffness * modulus, stiffness * shear)
    s = solve(m, result.direction)
    wall = np.concatenate([wall_share(m.sampler, fill) == 1, np.ones(len(m.sampler.skin), dtype=bool)])
    pressed = [result.factor * _most_pressed(layer_stress(m, s, i)[wall]) for i in range(len(m.part.cases))]
    worst = int(np.argmax(pressed))
    used = pressed[worst] / held
    words = f"the wall is pressed most in {m.part.cases[worst].name}"
    return Check("wrinkling of the wall", pressed[worst], held, "MPa", used, SOURCE, words, decided=used <= 1)


def _most_pressed(stress: np.ndarray) -> float:
    """Largest compressive principal stress [MPa] of stresses (p, 6), order 11, 22, 33, 23, 13, 12."""
    return max(0.0, -float(np.linalg.eigvalsh(stress[:, PLACES])[:, 0].min()))
