"""Bodies with closed forms, as triangles. Facets of round bodies end where the closed forms cut them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import manifold3d
import numpy as np
from scipy.spatial.transform import Rotation

BED = (250.0, 210.0, 210.0)
LAYER = 0.2


@dataclass(frozen=True)
class Triangles:
    """Corners (k, 3, 3) [mm]."""

    corners: np.ndarray

    def turned(self, turn: Rotation) -> Triangles:
        return Triangles(turn.apply(self.corners.reshape(-1, 3)).reshape(-1, 3, 3))

    def moved(self, by: Sequence[float]) -> Triangles:
        return Triangles(self.corners + np.asarray(by, dtype=float))


Outline = Sequence[tuple[float, float]]


def prism(outline: Outline, length: float, holes: Sequence[Outline] = ()) -> Triangles:
    """Outline (x, y), counter-clockwise, with clockwise holes, extruded along z."""
    mesh = manifold3d.Manifold.extrude(manifold3d.CrossSection([outline, *holes]), length).to_mesh()
    return Triangles(np.asarray(mesh.vert_properties, dtype=float)[:, :3][np.asarray(mesh.tri_verts)])


def block(x: float, y: float, z: float) -> Triangles:
    return prism([(0, 0), (x, 0), (x, y), (0, y)], z)


def upright(outline: Outline, length: float) -> Triangles:
    """Outline (x, z) extruded along y."""
    return prism(outline, length).turned(Rotation.from_euler("x", 90, degrees=True))


def revolved(profile: Sequence[tuple[float, float]], count: int) -> Triangles:
    """Profile (r, z) from the lower to the upper end, both on the axis, turned about z in `count` flat steps."""
    angle = 2 * np.pi * np.arange(count) / count
    rings = [np.column_stack([r * np.cos(angle), r * np.sin(angle), np.full(count, z)]) for r, z in profile]
    found = []
    for low, high in pairwise(rings):
        a, b, c, d = low, np.roll(low, -1, axis=0), np.roll(high, -1, axis=0), high
        found += [np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)]
    corners = np.concatenate(found)
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return Triangles(corners[np.linalg.norm(cross, axis=1) > 1e-12])


def ball(radius: float, rings: int) -> Triangles:
    """Ball in `rings` rings of equal angle."""
    polar = np.pi * np.arange(rings + 1) / rings
    profile = [(radius * np.sin(p), -radius * np.cos(p)) for p in polar]
    profile[0], profile[-1] = (0.0, -radius), (0.0, radius)
    return revolved(profile, 2 * rings)


def rod(radius: float, length: float, count: int) -> Triangles:
    """Cylinder about z."""
    return revolved([(0, 0), (radius, 0), (radius, length), (0, length)], count)


def bracket(base: float, reach: float, depth: float) -> Triangles:
    """A C in x and z, 5 thick: base plate `base` long, wall, arm reaching to `reach` at z = 35 to 40."""
    return upright([(0, 0), (base, 0), (base, 5), (5, 5), (5, 35), (reach, 35), (reach, 40), (0, 40)], depth)
