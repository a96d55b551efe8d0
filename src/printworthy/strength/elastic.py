"""Elastic constants of a layered print and their rotation. Order of components: 11, 22, 33, 23, 13, 12.

Engineering shear strains; axis 3 is the build direction; stiffness in MPa.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.errors import CardError
from printworthy.inputs import MaterialCard

Array = NDArray[np.float64]
PAIRS = np.array([[0, 1, 2, 1, 0, 0], [0, 1, 2, 2, 2, 1]])  # tensor indices of 11, 22, 33, 23, 13, 12
PLACES = np.array([[0, 5, 4], [5, 1, 3], [4, 3, 2]])  # and where in a row of six they stand


def transversely_isotropic(e_in: float, e_through: float, nu_in: float, nu_through: float, g_through: float) -> Array:
    """Stiffness (6, 6) [MPa] of a solid that is isotropic in its layers.

    `nu_through` is nu13: contraction along the build direction when pulled in the layer.
    Source: inverse of the compliance, e.g. Lekhnitskii 1968 (from memory). Raises CardError unless positive definite.
    """
    s = np.zeros((6, 6))
    s[0, 0] = s[1, 1] = 1 / e_in
    s[2, 2] = 1 / e_through
    s[0, 1] = s[1, 0] = -nu_in / e_in
    s[0, 2] = s[2, 0] = s[1, 2] = s[2, 1] = -nu_through / e_in
    s[3, 3] = s[4, 4] = 1 / g_through
    s[5, 5] = 2 * (1 + nu_in) / e_in
    return checked_inverse(s)


def orthotropic(modulus: ArrayLike, poisson: ArrayLike, shear: ArrayLike) -> Array:
    """Stiffness (6, 6) [MPa] from E1 E2 E3, nu12 nu13 nu23, G23 G13 G12. Raises CardError unless positive definite."""
    e1, e2, e3 = np.asarray(modulus, float)
    nu12, nu13, nu23 = np.asarray(poisson, float)
    s = np.diag(1 / np.concatenate([np.array([e1, e2, e3]), np.asarray(shear, float)]))
    s[0, 1] = s[1, 0] = -nu12 / e1
    s[0, 2] = s[2, 0] = -nu13 / e1
    s[1, 2] = s[2, 1] = -nu23 / e2
    return checked_inverse(s)


def isotropic(modulus: float, poisson: float) -> Array:
    """Stiffness (6, 6) [MPa] of an isotropic solid."""
    return transversely_isotropic(modulus, modulus, poisson, poisson, modulus / (2 * (1 + poisson)))


def checked_inverse(compliance: Array) -> Array:
    """Stiffness (6, 6) from a compliance (6, 6). Raises CardError unless positive definite (strain energy > 0)."""
    lowest = float(np.linalg.eigvalsh(compliance)[0])
    if not lowest > 0:
        raise CardError(
            "elastic constants give a negative strain energy",
            do="Lower the Poisson ratios or raise the smaller modulus",
        )
    return np.asarray(np.linalg.inv(compliance), dtype=np.float64)


def constants_of(c: Array) -> tuple[float, float, float, float, float]:
    """E in layer, E through, nu12, nu13, G13 of a transversely isotropic stiffness (6, 6) in layer axes."""
    s = np.linalg.inv(c)
    e_in, e_through, g = (float(1 / s[i, i]) for i in (0, 2, 4))
    return e_in, e_through, -float(s[0, 1]) * e_in, -float(s[0, 2]) * e_in, g


def card_stiffness(card: MaterialCard) -> Array:
    """Stiffness (6, 6) [MPa] of a card in layer axes. Raises CardError naming the constant that is missing."""
    names = ["modulus_in_layer", "poisson_in_layer"]
    if card.kind == "printed polymer":
        names += ["modulus_through", "poisson_through", "shear_modulus_through"]
    missing = [n for n in names if n not in card.values]
    if missing:
        raise CardError(f"card {card.name} has no {', '.join(missing)}", do="Add it with its source")
    v = [card.values[n].value for n in names]
    if card.kind == "metal":
        return isotropic(v[0], v[1])
    return transversely_isotropic(v[0], v[2], v[1], v[3], v[4])


def layer_frame(direction: ArrayLike, raster: ArrayLike = 0.0) -> Array:
    """Rotations (..., 3, 3) whose rows are the layer axes 1, 2 and the build directions (..., 3), in part axes.

    At a `raster` (...) [rad] of 0 axis 1 is square to the part axis that is nearest to square to the build direction;
    it turns about the build direction with `raster`. Nothing that is transversely isotropic depends on it; in an
    orthotropic print axis 1 lies along the beads. Raises ValueError for a zero vector.
    """
    n = np.asarray(direction, float)
    length = np.linalg.norm(n, axis=-1, keepdims=True)
    if not (length > 0).all():
        msg = "a build direction needs a length"
        raise ValueError(msg)
    n = n / length
    helper = np.eye(3)[np.argmin(np.abs(n), axis=-1)]
    first = np.cross(helper, n)
    first /= np.linalg.norm(first, axis=-1, keepdims=True)
    turn = np.asarray(raster, float)[..., None]
    first = np.cos(turn) * first + np.sin(turn) * np.cross(n, first)
    return np.stack([first, np.cross(n, first), n], axis=-2)


def tensor(c: Array) -> Any:
    """Stiffness as a tensor (3, 3, 3, 3) from its matrix (6, 6)."""
    return c[PLACES[:, :, None, None], PLACES[None, None, :, :]]


def matrix(t: Any) -> Array:
    """Stiffness matrix (6, 6) from its tensor (3, 3, 3, 3)."""
    i, j = PAIRS
    return np.asarray(t[i[:, None], j[:, None], i[None, :], j[None, :]], float)


def rotated(c: Array, a: Array) -> Array:
    """C'_abcd = A_ai A_bj A_ck A_dl C_ijkl for a rotation `a` (3, 3); c (6, 6) [MPa]. Own derivation: tensor rule."""
    return matrix(np.einsum("ai,bj,ck,dl,ijkl->abcd", a, a, a, a, tensor(c), optimize=True))


def isotropic_mean(c: Array) -> Array:
    """Mean of a stiffness (6, 6) over all rotations: exactly isotropic, from the invariants C_iijj and C_ijij.

    Own derivation: for an isotropic tensor C_iijj = 9 lam + 6 mu and C_ijij = 3 lam + 12 mu, and both are invariant.
    """
    t = tensor(c)
    a, b = float(np.einsum("iijj", t)), float(np.einsum("ijij", t))
    lam, mu = (2 * a - b) / 15, (3 * b - a) / 30
    mean = np.zeros((6, 6))
    mean[:3, :3] = lam
    mean[np.arange(3), np.arange(3)] += 2 * mu
    mean[np.arange(3, 6), np.arange(3, 6)] = mu
    return mean


def strain_rotation(a: Array) -> Array:
    """Matrices (..., 6, 6) that take engineering strains in part axes to axes whose rows are `a` (..., 3, 3)."""
    (i, j), (k, l) = PAIRS[:, :, None], PAIRS[:, None, :]
    both = a[..., i, k] * a[..., j, l] + a[..., i, l] * a[..., j, k]
    return np.asarray(np.where(i == j, 0.5, 1.0) * both)


def card_expansion(card: MaterialCard) -> Array:
    """Free strain (6,) per kelvin in layer axes. Raises CardError if the card does not say it."""
    names = ("expansion_in_layer", "expansion_through")
    missing = [n for n in names if n not in card.values]
    if missing:
        raise CardError(f"card {card.name} has no {', '.join(missing)}", do="Add it with its source")
    along, through = (card.values[n].value for n in names)
    return np.array([along, along, through, 0.0, 0.0, 0.0])


def part_strain(strain_layer: Array, frame: Array) -> Array:
    """Engineering strain (6,) in part axes of one in layer axes; rows of `frame` (3, 3) are the layer axes."""
    return strain_rotation(frame.T) @ strain_layer
