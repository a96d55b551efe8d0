"""How the beads of an orthotropic print lie, and what a lay-up of layers with turned beads makes of its constants."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.errors import CardError, NotComputed
from printworthy.inputs import NINE, MaterialCard, Part, Vector
from printworthy.strength.elastic import card_stiffness, layer_frame, orthotropic, rotated, strain_rotation

Array = NDArray[np.float64]
OPEN, SHUT = [2, 3, 4], [0, 1, 5]  # components 33, 23, 13 and 11, 22, 12
BESIDE = np.cos(np.radians(10.0))  # the part's x axis counts as the build direction when nearer than this
SAME = 1 - 1e-9
NOTHING = 1e-9
ROUNDED = 9  # digits of an angle in degrees: what lies below is rounding


def bead_stiffness(card: MaterialCard) -> Array:
    """Stiffness (6, 6) [MPa] of one layer of a card with nine constants; axis 1 along the beads. CardError unless
    positive definite."""
    v = [card.values[name].value for name in NINE]
    return orthotropic(v[:3], v[3:6], v[6:])


def print_stiffness(card: MaterialCard, part: Part) -> tuple[Array, Array]:
    """Stiffness (6, 6) [MPa] of a part printed in a card's material, in layer axes, and the shares (k, 6, 6) of its
    layers, none where they are all alike. Raises CardError."""
    if not card.orthotropic:
        return card_stiffness(card), np.zeros((0, 6, 6))
    if part.raster is None:
        do = f'Add [raster] with angle = "choose", or the angle they are laid at, to part {part.name}'
        raise CardError(f"card {card.name} tells along the beads from across them, and no raster is stated", do=do)
    one, layers = bead_stiffness(card), part.raster.layers
    return (one, np.zeros((0, 6, 6))) if layers == (0.0,) else laid(one, layers)


def shares_of(card: MaterialCard, part: Part) -> tuple[tuple[tuple[float, ...], ...], ...]:
    """The shares of `print_stiffness` as a record keeps them."""
    return tuple(tuple(tuple(map(float, row)) for row in share) for share in print_stiffness(card, part)[1])


def laid(stiffness: ArrayLike, angles: Sequence[float]) -> tuple[Array, Array]:
    """Mean stiffness (6, 6) of equally thick layers whose beads lie at `angles` [deg] to axis 1, each of `stiffness`
    (6, 6) in its own axes; and the shares (k, 6, 6) that take a mean stress to that of each layer in its own axes.

    Strain in the plane and stress between layers are common to all layers, which is exact for a stack much thicker than
    a layer: N. J. Pagano, Exact moduli of anisotropic laminates, 1974 (from memory). In plane stress it is classical
    lamination theory, the thickness mean of the layers' plane stiffness (Jones 1999, Kaw 2006).
    """
    turns = [_turned(a) for a in angles]
    layers = [rotated(np.asarray(stiffness, float), t.T) for t in turns]
    # Each layer's strain from what is common to all: strain in the plane, stress between the layers.
    from_common = [_strain_of_common(c) for c in layers]
    stress_of_common = [c @ f for c, f in zip(layers, from_common, strict=True)]
    mean_strain, mean_stress = np.mean(from_common, axis=0), np.mean(stress_of_common, axis=0)
    mean = mean_stress @ np.linalg.inv(mean_strain)
    back = np.linalg.inv(mean_stress)
    own = [np.linalg.inv(strain_rotation(t)).T for t in turns]  # stress to the layer's own axes
    shares = np.stack([a @ s @ back for a, s in zip(own, stress_of_common, strict=True)])
    return 0.5 * (mean + mean.T), shares


def _turned(angle: float) -> Array:
    """Layer axes (3, 3) turned about the build direction by `angle` [deg]."""
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    return np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])


def _strain_of_common(c: Array) -> Array:
    """Matrix (6, 6) that gives the strain of a layer from strain 11, 22, 12 and stress 33, 23, 13, in their places."""
    made = np.eye(6)
    inner = np.linalg.inv(c[np.ix_(OPEN, OPEN)])
    made[np.ix_(OPEN, OPEN)] = inner
    made[np.ix_(OPEN, SHUT)] = -inner @ c[np.ix_(OPEN, SHUT)]
    return made


def bead_line(direction: ArrayLike, angle: float) -> Array:
    """Unit vector (3,) along beads laid at a stated `angle` [deg] in the layers of a build direction (3,), part axes.

    Counted from the part's x axis as seen in the layer (its y axis where x is nearly the build direction), right-handed
    about the build direction or its opposite, whichever points to +z (then +y, +x): a print and the same one built
    upside down have their beads on the same lines.
    """
    up = upward(direction)
    n = up / np.linalg.norm(up)
    axis = np.array([0.0, 1.0, 0.0] if abs(n[0]) > BESIDE else [1.0, 0.0, 0.0])
    zero = axis - (axis @ n) * n
    zero = zero / np.linalg.norm(zero)
    turn = np.radians(angle)
    return np.asarray(np.cos(turn) * zero + np.sin(turn) * np.cross(n, zero))


def upward(directions: ArrayLike) -> Array:
    """Directions (..., 3), each or its opposite, whichever points to +z (then +y, +x): the sense in which rasters and
    the turns of layers are counted, so that n and -n are one print."""
    n = np.asarray(directions, float)
    clear = np.abs(n) > NOTHING * np.linalg.norm(n, axis=-1, keepdims=True)
    first = 2 - np.argmax(clear[..., ::-1], axis=-1)
    return np.asarray(n * np.sign(np.take_along_axis(n, first[..., None], axis=-1)))


def stated_angle(direction: ArrayLike, along: ArrayLike) -> float:
    """Angle [deg], 0 to below 180, at which beads along a line (3,) would be stated at a build direction (3,)."""
    x, y = (float(np.asarray(along, float) @ bead_line(direction, a)) for a in (0.0, 90.0))
    return round(float(np.degrees(np.arctan2(y, x))), ROUNDED) % 180.0 + 0.0


def raster_of(direction: ArrayLike, along: ArrayLike) -> float:
    """The raster [rad] of `layer_frame` at a direction (3,) whose axis 1 lies along a line (3,) in the layer."""
    first, second, _ = layer_frame(direction)
    return float(np.arctan2(second @ np.asarray(along, float), first @ np.asarray(along, float)))


def raster_at(part: Part, direction: ArrayLike) -> float:
    """The raster [rad] of `layer_frame` of a part built along `direction` (3,): as stated, or as chosen for it; 0 where
    nothing is said. Raises NotComputed where it is to be chosen and was not."""
    how = part.raster
    if how is None:
        return 0.0
    if how.angle is not None:
        return raster_of(direction, bead_line(direction, how.angle))
    n = np.asarray(direction, float) / np.linalg.norm(direction)
    for built, along in how.chosen:
        if abs(float(n @ np.asarray(built))) > SAME:
            return raster_of(direction, along)
    raise NotComputed(f"no raster was chosen for part {part.name} at this build direction")


def frame_at(part: Part, direction: ArrayLike) -> Array:
    """Layer frame (3, 3) of a part built along `direction` (3,); axis 1 along the beads, axis 3 then `upward`."""
    if part.raster is None:
        return layer_frame(direction)
    up = upward(direction)
    return layer_frame(up, raster_at(part, up))


def stiffness_at(c: Array, part: Part, direction: ArrayLike) -> Array:
    """Stiffness (6, 6) [MPa] in part axes of a part built along `direction` (3,), c (6, 6) in layer axes."""
    return rotated(c, frame_at(part, direction).T)


def bead_angle(part: Part, direction: ArrayLike) -> tuple[float | None, Vector | None]:
    """Angle [deg] as a part states it, and line in part axes, of the beads at a build direction (3,); None and None
    where the part says nothing of them."""
    if part.raster is None:
        return None, None
    along = frame_at(part, direction)[0]
    return stated_angle(direction, along), vector(along)


def vector(v: ArrayLike) -> Vector:
    """Three plain numbers."""
    x, y, z = (float(c) for c in np.asarray(v, float))
    return x, y, z
