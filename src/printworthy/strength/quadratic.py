"""Quadratic failure criteria in layer axes, for comparison beside the one separated by mode, which alone decides.

A transversely isotropic solid, layer plane 1-2, build axis 3. S. W. Tsai and E. M. Wu, A general theory of strength for
anisotropic materials, J. Composite Materials 5 (1971) 58; R. Hill 1948; O. Hoffman, The brittle strength of orthotropic
materials, J. Composite Materials 1 (1967) 200; all from memory. Stress order 11, 22, 33, 23, 13, 12.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np
from numpy.typing import NDArray

from printworthy.strength.criteria import Strengths, in_layer_principal, largest_principal

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Quadratic:
    """F1 (s11 + s22) + F3 s33 + F11 (s11^2 + s22^2) + ... = 1: `F1`, `F3` [1/MPa], the others [1/MPa^2], F44 = F55,
    F13 = F23; F66 = 2 (F11 - F12) follows from the symmetry about the build axis."""

    F1: float
    F3: float
    F11: float
    F33: float
    F44: float
    F12: float
    F13: float

    @property
    def F66(self) -> float:
        """1 / S12^2 that the surface implies [1/MPa^2]; negative: no shear strength in the layer is real."""
        return 2 * (self.F11 - self.F12)

    @property
    def open(self) -> bool:
        """Whether some proportion of stresses is never failed by, or is failed by at a load that is no limit: the
        quadratic part must not be negative anywhere, F11 > |F12| and F33 (F11 + F12) >= 2 F13^2 (own derivation)."""
        return self.F66 <= 0 or self.F33 * (self.F11 + self.F12) < 2 * self.F13**2 * (1 - 1e-12)

    def load_factor(self, stress: Array) -> Array:
        """By what `stress` (..., 6) [MPa] may be multiplied until it fails (...): R with a R^2 + b R = 1; inf: never.

        1 / sqrt of the index would be wrong as soon as there are linear terms.
        """
        s11, s22, s33, s23, s13, s12 = np.moveaxis(np.asarray(stress, dtype=float), -1, 0)
        a = (
            self.F11 * (s11**2 + s22**2) + self.F33 * s33**2 + self.F44 * (s23**2 + s13**2) + self.F66 * s12**2
            + 2 * self.F12 * s11 * s22 + 2 * self.F13 * (s11 + s22) * s33
        )  # fmt: skip
        b = self.F1 * (s11 + s22) + self.F3 * s33
        root = b * b + 4 * a
        below = b + np.sqrt(np.maximum(root, 0.0))
        fails = (root >= 0) & (below > 0)
        return np.asarray(np.where(fails, 2 / np.where(fails, below, 1.0), inf))


def tsai_wu(f: Strengths, coupling: float = 0.0) -> Quadratic:
    """Tsai and Wu's surface; `coupling` F13 [1/MPa^2], which only a test under two stresses at once can tell.

    F12 = -F11 / 2, as for an isotropic layer. -sqrt(F11 F33) / 2, often taken, is the most negative that is not open.
    """
    x, xc, z, zc, s = _numbers(f)
    f11 = 1 / (x * xc)
    return Quadratic(1 / x - 1 / xc, 1 / z - 1 / zc, f11, 1 / (z * zc), 1 / s**2, -f11 / 2, coupling)


def tsai_hill(f: Strengths, stress: Array) -> Quadratic:
    """Tsai and Hill's form as it is written for a lamina, cross term over X^2, with the strengths of the signs that
    `stress` (6,) [MPa] has: tension or compression in and between layers."""
    x, xc, z, zc, s = _numbers(f)
    high, low = in_layer_principal(np.asarray(stress, dtype=float))
    along = x if high >= -low else xc
    across = z if stress[2] >= 0 else zc
    f11 = 1 / along**2
    return Quadratic(0.0, 0.0, f11, 1 / across**2, 1 / s**2, -f11 / 2, -f11 / 2)


def hill(f: Strengths) -> Quadratic:
    """Hill's form with the build axis as the special one, tensile strengths; open once X >= 2 Z."""
    x, _, z, _, s = _numbers(f)
    return _pressure_free(0.0, 0.0, 1 / x**2, 1 / z**2, 1 / s**2)


def hoffman(f: Strengths) -> Quadratic:
    """Hoffman's form: Hill's with products of tension and compression; open once X Xc >= 4 Z Zc."""
    x, xc, z, zc, s = _numbers(f)
    return _pressure_free(1 / x - 1 / xc, 1 / z - 1 / zc, 1 / (x * xc), 1 / (z * zc), 1 / s**2)


def _pressure_free(f1: float, f3: float, f11: float, f33: float, f44: float) -> Quadratic:
    """Quadratic terms of stress differences alone: F = G = F33 / 2, H = F11 - F33 / 2, F12 = -H, F13 = -F."""
    return Quadratic(f1, f3, f11, f33, f44, f33 / 2 - f11, -f33 / 2)


def largest_stress(stress: Array, f: Strengths) -> Array:
    """Load factor (...) of `stress` (..., 6) [MPa] by the largest-stress criterion: each component in layer axes alone,
    those in the layer as principal stresses."""
    s = np.asarray(stress, dtype=float)
    high, low = in_layer_principal(s)
    used = np.max(
        [
            np.maximum(high, 0) / f.X, np.maximum(-low, 0) / f.Xc, (high - low) / 2 / f.S12,
            np.maximum(s[..., 2], 0) / f.Z, np.maximum(-s[..., 2], 0) / f.Zc, np.hypot(s[..., 3], s[..., 4]) / f.S,
        ],
        axis=0,
    )  # fmt: skip
    return np.asarray(np.where(used > 0, 1 / np.where(used > 0, used, 1.0), inf))


def largest_principal_alone(stress: Array, f: Strengths) -> Array:
    """Load factor (...) if the print were the same all round with the strength X: what leaving layers out promises."""
    used = np.maximum(largest_principal(np.asarray(stress, dtype=float)), 0) / f.X
    return np.asarray(np.where(used > 0, 1 / np.where(used > 0, used, 1.0), inf))


def _numbers(f: Strengths) -> tuple[float, float, float, float, float]:
    return float(f.X), float(f.Xc), float(f.Z), float(f.Zc), float(f.S)
