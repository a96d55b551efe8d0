"""Real sections of a part turned build direction up, layer by layer, and the supports below its overhangs.

sliced = slices(body, direction, layer_height)      outlines at the middle of every layer
below = supports(sliced, overhang_angle)            what must be held up, on coarser steps
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import manifold3d
import numpy as np

from printworthy.errors import GeometryError, InputError
from printworthy.inputs import Vector
from printworthy.making.skin import Cornered, drawn

MOST_LAYERS = 20_000
ONE_LINE = 1e-6  # [mm] from the line between its neighbours: a point that says no more than that facets meet there
STEP = 1.0  # [mm] between the sections that supports are found from
CLEAR = 0.4  # [mm] free between a support and the part beside it; common practice, no source
CLOSE, COARSE = 0.5, 0.05  # [mm] gaps closed in supports, and how far their outlines may stray
ROUND = manifold3d.JoinType.Round


@dataclass(frozen=True, slots=True, eq=False)
class Slices:
    """Sections of a part that stands on z = 0 with its build direction up: `outlines` (n) cross-sections at the
    middle of every layer; layer height [mm]; `solid` the turned part, `turn` (3, 3) and `shift` (3,) [mm] with
    p' = turn p + shift."""

    solid: Any
    outlines: tuple[Any, ...]
    layer: float
    turn: np.ndarray
    shift: np.ndarray

    @property
    def areas(self) -> np.ndarray:
        """Area (n,) [mm2] of every layer."""
        return np.array([o.area() for o in self.outlines])

    @property
    def volume(self) -> float:
        """Volume [mm3] of all layers: their areas times the layer height (midpoint rule)."""
        return float(self.areas.sum()) * self.layer

    @property
    def height(self) -> float:
        """Height [mm] of the printed layers."""
        return len(self.outlines) * self.layer

    @property
    def shadow(self) -> np.ndarray:
        """Outline (k, 2) [mm] of the largest piece of the part's shadow on the bed, without holes."""
        pieces = self.solid.project().simplify(0.05).to_polygons()
        return np.asarray(max(pieces, key=_signed_area))


def _signed_area(ring: np.ndarray) -> float:
    x, y = ring[:, 0], ring[:, 1]
    return float(0.5 * (x @ np.roll(y, -1) - y @ np.roll(x, -1)))


def upright(direction: Vector) -> np.ndarray:
    """Rotation (3, 3) that turns a build direction to +z by the shortest way.

    Rodrigues' formula for two unit vectors: I + K + K^2 / (1 + c).
    """
    n = np.asarray(direction, dtype=float)
    size = float(np.linalg.norm(n))
    if not size > 0:
        raise InputError("a build direction without length", do="State three numbers, not all 0")
    x, y, z = n / size
    if z < -1 + 1e-12:
        return np.diag([1.0, -1.0, -1.0])
    k = np.array([[0.0, 0.0, -x], [0.0, 0.0, -y], [x, y, 0.0]])
    return np.asarray(np.eye(3) + k + k @ k / (1 + z))


def slices(body: Cornered, direction: Vector, layer_height: float) -> Slices:
    """Sections of a body. Raises GeometryError for a skin that bounds no solid, InputError for an impossible layer."""
    if not 0 < layer_height < math.inf:
        raise InputError(f"layer height {layer_height:g} mm", do="State one above 0 mm")
    corners = np.asarray(drawn(body).corners, dtype=float)
    turn = upright(direction)
    points = corners.reshape(-1, 3) @ turn.T
    shift = -np.array([points[:, 0].min(), points[:, 1].min(), points[:, 2].min()])
    unique, index = np.unique(points + shift, axis=0, return_inverse=True)
    mesh = manifold3d.Mesh64(
        vert_properties=np.ascontiguousarray(unique),
        tri_verts=np.ascontiguousarray(index.reshape(-1, 3).astype(np.uint64)),
    )
    mesh.merge()
    solid = manifold3d.Manifold(mesh)
    if solid.status() != manifold3d.Error.NoError or solid.is_empty():
        raise GeometryError("the skin bounds no solid, so that it cannot be cut into layers", do="Mend the geometry")
    tall = float(unique[:, 2].max())
    count = max(1, round(tall / layer_height))
    if count > MOST_LAYERS:
        raise InputError(
            f"{count} layers of {layer_height:g} mm in {tall:g} mm, more than {MOST_LAYERS}",
            do="State a larger layer height",
        )
    middles = (np.arange(count) + 0.5) * layer_height
    outlines = tuple(solid.slice(min(z, tall)).simplify(ONE_LINE) for z in middles)
    return Slices(solid, outlines, layer_height, turn, shift)


@dataclass(frozen=True, slots=True, eq=False)
class Supports:
    """What is held up: cross-sections (m) on steps of `step` [mm] from the bed; `layers` of the part in each step."""

    outlines: tuple[Any, ...]
    step: float
    layers: int

    @property
    def volume(self) -> float:
        """Volume [mm3] that the supports enclose, filled or not."""
        return float(sum(o.area() for o in self.outlines)) * self.step


def supports(sliced: Slices, overhang_angle: float) -> Supports:
    """Columns below whatever leans out by more than `overhang_angle` [deg] from vertical.

    From the top down: where a section reaches further than step * tan(angle) beyond the one below it, all of what it
    has beyond it there must be held, and what is held goes on down until the part or the bed carries it. Steps are
    several layers, so that rounding in the file does not count as overhang. Own derivation, checked against the columns
    of `layers`.
    """
    per = max(1, round(STEP / sliced.layer))
    levels = sliced.outlines[per // 2 :: per]
    step = per * sliced.layer
    reach = step * math.tan(math.radians(overhang_angle))
    held: Any = manifold3d.CrossSection()
    found = []
    for k in range(len(levels) - 2, -1, -1):
        here = levels[k]
        above = levels[k + 1] - here
        held = held + ((above - here.offset(reach, ROUND)).offset(reach, ROUND) ^ above)
        if not held.is_empty():
            held = (held.offset(CLOSE, ROUND).offset(-CLOSE, ROUND) - here).simplify(COARSE)
        found.append(held - here.offset(CLEAR, ROUND))
    return Supports(tuple(reversed(found)), step, per)
