"""What the answer hangs on, asked of the reduced model: layer strength, shear, moduli, load, a few degrees of tilt."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq

from printworthy.results import Influence
from printworthy.strength.directions import DirectionMap
from printworthy.strength.elastic import checked_inverse, constants_of, transversely_isotropic
from printworthy.strength.hot import field_of, fields, full_strains
from printworthy.strength.lay import raster_of
from printworthy.strength.reduced import coefficients, frames_of, raster_matters, sensed, with_stiffness

Array = NDArray[np.float64]
STEP = 0.2  # relative change of strengths, moduli and load
TILT = 5.0  # [deg]
TILTS = 8
Z, S = 1, 2  # places of the layer strengths in the kernel's order
WEAKEST = 0.01  # of the layer strength: below it a part is not asked about


def influences(
    found: DirectionMap, direction: ArrayLike, factor: float, raster: float | None = None
) -> tuple[Influence, ...]:
    """Utilisation at `direction` (3,) with each input `STEP` lower and higher, and tilted by `TILT`; widest first.

    `raster` [rad]: of the beads there, counted about `upward`; none: as the map has it.
    """
    n = sensed(found.basis.model, np.asarray(direction, float) / np.linalg.norm(direction))
    frame = _frame(found, n, raster)
    at = _strained(found, frame)
    base = factor * at(found.strengths)

    def strength(place: int) -> Callable[[float], float]:
        return lambda ratio: factor * at(_scaled(found.strengths, (place,), ratio))

    changes: dict[str, Callable[[float], float]] = {
        "strength between layers": strength(Z),
        "shear strength between layers": strength(S),
        "ratio of moduli, in layer to through": lambda r: factor * _softer(found, frame, r),
        "load": lambda r: r * base,
    }
    rows = [Influence(name, f"{STEP:.0%} either way", base, f(1 - STEP), f(1 + STEP)) for name, f in changes.items()]
    leaned = _tilted(frame)
    tilted = [factor * float(f.max()) for f in fields(found.basis, leaned, found.strengths)]
    rows.append(Influence("build direction", f"tilted {TILT:g} deg, best and worst", base, min(tilted), max(tilted)))
    return tuple(sorted(rows, key=lambda r: -abs(r.high - r.low)))


def critical_layer_strength(
    found: DirectionMap, direction: ArrayLike, factor: float, raster: float | None = None
) -> float | None:
    """Share of the layer strengths (Z and S together) at which the part reaches utilisation 1; above 1 it fails as it
    is. None: it fails, or holds, whatever the layers do (down to `WEAKEST`). Root finding: Brent 1973."""
    n = sensed(found.basis.model, np.asarray(direction, float) / np.linalg.norm(direction))
    at = _strained(found, _frame(found, n, raster))

    def excess(log_share: float) -> float:
        return factor * at(_scaled(found.strengths, (Z, S), float(np.exp(log_share)))) - 1

    low, high = np.log(WEAKEST), np.log(1 / WEAKEST)
    if excess(high) >= 0 or excess(low) <= 0:
        return None
    return float(np.exp(brentq(excess, low, high, xtol=1e-4)))


def _frame(found: DirectionMap, n: Array, raster: float | None) -> Array:
    """Layer frame (3, 3) at build direction n (3,)."""
    return frames_of(n[None], found.rasters_at(n[None]) if raster is None else np.array([raster]))[0]


def _strained(found: DirectionMap, frame: Array) -> Callable[[Array], float]:
    """Utilisation at a layer frame (3, 3) as a function of the strengths: the strains are found once."""
    strain = full_strains(found.basis, coefficients(found.basis, frame[None])[0])
    return lambda strengths: float(field_of(found.basis, strain, frame, strengths).max())


def _softer(found: DirectionMap, frame: Array, ratio: float) -> float:
    """Utilisation with the ratio of moduli changed by way of the modulus through the layers."""
    if raster_matters(found.basis.model.stiffness):
        compliance: Array = np.asarray(np.linalg.inv(found.basis.model.stiffness), float)
        compliance[2, 2] *= ratio
        (field,) = fields(with_stiffness(found.basis, checked_inverse(compliance)), frame[None], found.strengths)
        return float(field.max())
    e_in, e_through, nu_in, nu_through, g = constants_of(found.basis.model.stiffness)
    changed = transversely_isotropic(e_in, e_through / ratio, nu_in, nu_through, g)
    (field,) = fields(with_stiffness(found.basis, changed), frame[None], found.strengths)
    return float(field.max())


def _scaled(strengths: Array, places: tuple[int, ...], ratio: float) -> Array:
    changed = strengths.copy()
    changed[list(places)] *= ratio
    return changed


def _tilted(frame: Array) -> Array:
    """Layer frames (TILTS, 3, 3) whose build directions lean `TILT` degrees from that of one (3, 3), all round, with
    axis 1 as near to its own as it can be."""
    n, across = frame[2], frames_of(frame[2][None])[0][:2]
    turns = np.arange(TILTS) * 2 * np.pi / TILTS
    lean = np.cos(turns)[:, None] * across[0] + np.sin(turns)[:, None] * across[1]
    leaned = np.asarray(np.cos(np.radians(TILT)) * n + np.sin(np.radians(TILT)) * lean)
    return frames_of(leaned, np.array([raster_of(d, frame[0]) for d in leaned]))
