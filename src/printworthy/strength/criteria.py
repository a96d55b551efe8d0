"""Failure criteria in layer axes, separated by mode. Stress order 11, 22, 33, 23, 13, 12; 3 = build direction.

Every utilisation here is proportional to the load: 1 is failure at the strength given, and half the load gives 0.5.
Quadratic forms stand beside for comparison (`quadratic`): Hill's surface is open once X >= 2 Z.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import get_args

import numpy as np
from numpy.typing import NDArray

from printworthy.results import DesignValues, Mode

Array = NDArray[np.float64]
MODES: tuple[Mode, ...] = get_args(Mode)[:6]
Strength = float | Array
Relief = Mapping[str, Array]  # by field of DesignValues, (p,): 1 and more

FIELDS = ("in_layer", "between", "shear_between", "shear_in_layer", "compression_in_layer", "compression_between")
ALONG = ("along", "compression_along")


@dataclass(frozen=True, slots=True)
class Strengths:
    """X, Z: tension in and between layers; S: shear between, S12: in the layer; Xc, Zc: compression. [MPa], each one
    number or one for every point (p,).

    X1, Xc1: along the beads, where they are told apart; X and Xc then hold across them. `shares` (k, 6, 6): of the
    layers of a lay-up, each judged by its own stress."""

    X: float | Array
    Z: float | Array
    S: float | Array
    S12: float | Array
    Xc: float | Array
    Zc: float | Array
    X1: float | Array | None = None
    Xc1: float | Array | None = None
    shares: Array | None = None

    @classmethod
    def of(cls, d: DesignValues, relief: Relief | None = None) -> Strengths:
        """The numbers of a set of design values, each times its relief where points are cooler than `d` allows for."""
        names = FIELDS if d.along is None else (*FIELDS, *ALONG)
        values = {name: getattr(d, name).value for name in names}
        made = cls(*(v if relief is None else v * relief[name] for name, v in values.items()))
        return replace(made, shares=np.array(d.shares)) if d.shares else made


def between_layers_tension(s: Array, z: float | Array, shear: float | Array) -> Array:
    """sqrt((s33/Z)^2 + (t13^2 + t23^2)/S^2), s33 counted only where it opens the layers. s (..., 6) -> (...).

    Quadratic interlayer form of Brewer and Lagace 1988 (from memory); closing pressure gives no relief here.
    """
    opening = np.maximum(s[..., 2], 0.0)
    return np.sqrt((opening / z) ** 2 + (s[..., 3] ** 2 + s[..., 4] ** 2) / shear**2)


def in_layer_principal(s: Array) -> tuple[Array, Array]:
    """Larger and smaller principal stress of the in-layer components. s (..., 6) -> (...), (...)."""
    middle = 0.5 * (s[..., 0] + s[..., 1])
    radius = np.hypot(0.5 * (s[..., 0] - s[..., 1]), s[..., 5])
    return middle + radius, middle - radius


def largest_principal(s: Array) -> Array:
    """Largest principal stress in three dimensions. s (..., 6) -> (...). Cardano's trigonometric solution."""
    mean = (s[..., 0] + s[..., 1] + s[..., 2]) / 3
    a, b, c = s[..., 0] - mean, s[..., 1] - mean, s[..., 2] - mean
    d, e, f = s[..., 3], s[..., 4], s[..., 5]
    j2 = 0.5 * (a * a + b * b + c * c) + d * d + e * e + f * f
    j3 = a * (b * c - d * d) - f * (f * c - d * e) + e * (f * d - b * e)
    r = np.sqrt(np.maximum(j2, 0) / 3)
    cube = 2 * r**3
    ratio = np.clip(j3 / np.where(cube > 0, cube, 1.0), -1, 1)
    return mean + 2 * r * np.cos(np.arccos(ratio) / 3)


def by_mode(stress: Array, f: Strengths) -> Array:
    """Utilisation of every mode in the order of `MODES`. stress (..., 6) [MPa] in layer axes -> (..., 6).

    The last mode caps the largest principal stress at X: without it the in-layer term alone would let a bar pulled at
    15 degrees to its layers exceed X (own derivation from the off-axis table). With strengths along the beads the terms
    in the layer are those of `in_layer_beads`, and the cap is at X1, which no direction exceeds.
    """
    if f.shares is not None:
        alone = replace(f, shares=None)
        return np.max([by_mode(stress @ share.T, alone) for share in f.shares], axis=0)
    if f.X1 is None or f.Xc1 is None:
        high, low = in_layer_principal(stress)
        in_layer = (np.maximum(high, 0) / f.X, np.maximum(-low, 0) / f.Xc, 0.5 * (high - low) / f.S12)
    else:
        in_layer = in_layer_beads(stress, (f.X1, f.X), (f.Xc1, f.Xc), f.S12)
    return np.stack(
        [
            between_layers_tension(stress, f.Z, f.S),
            np.maximum(-stress[..., 2], 0) / f.Zc,
            *in_layer,
            np.maximum(largest_principal(stress), 0) / (f.X if f.X1 is None else f.X1),
        ],
        axis=-1,
    )


def in_layer_beads(
    s: Array, tension: tuple[Strength, Strength], compression: tuple[Strength, Strength], shear: Strength
) -> tuple[Array, Array, Array]:
    """Tension, compression and shear in the layer, axis 1 along the beads, strengths along and across them: maximum
    stress, e.g. Kaw 2006, chapter 2 (from memory). s (..., 6) -> three of (...)."""
    pulled = np.maximum(np.maximum(s[..., 0], 0) / tension[0], np.maximum(s[..., 1], 0) / tension[1])
    pressed = np.maximum(np.maximum(-s[..., 0], 0) / compression[0], np.maximum(-s[..., 1], 0) / compression[1])
    return pulled, pressed, np.abs(s[..., 5]) / shear


def von_mises(s: Array) -> Array:
    """Equivalent stress of von Mises. s (..., 6) [MPa] -> (...)."""
    normal = (s[..., 0] - s[..., 1]) ** 2 + (s[..., 1] - s[..., 2]) ** 2 + (s[..., 2] - s[..., 0]) ** 2
    return np.sqrt(0.5 * normal + 3 * (s[..., 3] ** 2 + s[..., 4] ** 2 + s[..., 5] ** 2))
