"""Where a peak sits on the skin: its vertex, the ways inward from it, the wall behind it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.shape import Solid
from printworthy.shape.boxes import first_hits
from printworthy.shape.source import areas, normals

Array = NDArray[np.float64]
REGULAR = 6 * 2**0.5  # a regular tetrahedron of edge a has the volume a^3 / (6 sqrt 2)
LIFT = 1e-3  # of the element size: lines start this far inside, clear of the facets that meet at the vertex
THIN = 2.0  # elements through a wall below which bending in it is coarse


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """A skin vertex at `point` (3,) [mm], the inward unit normals (n, 3) of the smooth surfaces that meet there, their
    mean first, and the element size around it [mm]."""

    vertex: int
    point: Array
    inward: Array
    size: float

    @property
    def start(self) -> Array:
        """The vertex moved inwards by a thousandth of the element size, so that a way along another face, such as a
        plane of symmetry, runs inside the solid and not on its skin."""
        return self.point + LIFT * self.size * self.inward[0]


def seat(solid: Solid, vertex: int) -> Seat:
    """The seat of a vertex of the skin."""
    at = np.flatnonzero((solid.facets == vertex).any(axis=1))
    corners = solid.corners[at]
    weighted = normals(corners) * areas(corners)[:, None]
    every = [weighted.sum(axis=0)] + [
        weighted[solid.patches[at] == p].sum(axis=0) for p in np.unique(solid.patches[at])
    ]
    # The mean weighs surfaces alike, so that it does not turn with the sizes of their facets.
    sides = np.array([v / np.linalg.norm(v) for v in every[1:]])
    mean = sides.sum(axis=0)
    length = float(np.linalg.norm(mean))
    ways = sides if length < 1e-6 else np.concatenate([mean[None] / length, sides])
    return Seat(vertex, solid.points[vertex], -ways, local_size(solid, solid.points[vertex]))


def edge_lengths(solid: Solid) -> Array:
    """Edge (m,) [mm] of the regular tetrahedron with the volume of each element."""
    a, b, c, d = np.moveaxis(solid.points[solid.tets], 1, 0)
    volume = np.abs(np.einsum("ij,ij->i", b - a, np.cross(c - a, d - a))) / 6
    return np.cbrt(REGULAR * volume)


def local_size(solid: Solid, point: ArrayLike) -> float:
    """Mean element size [mm] around the mesh vertex nearest to a point."""
    vertex = int(np.argmin(np.linalg.norm(solid.points - np.asarray(point, float), axis=1)))
    return float(edge_lengths(solid)[(solid.tets == vertex).any(axis=1)].mean())


def wall_along(solid: Solid, at: Seat, way: Array) -> float:
    """Distance [mm] from the vertex along a unit vector `way` (3,) to where it leaves the solid; 0 if at once."""
    lift = LIFT * at.size
    distance = float(first_hits(solid.corners, (at.start + lift * way)[None], way[None])[0])
    return distance + lift if np.isfinite(distance) and distance > lift else 0.0


def through_wall(solid: Solid, point: ArrayLike) -> tuple[float, float]:
    """Wall [mm] behind the skin vertex nearest to a point, the thinnest along its inward normals, and elements through
    it: wall over element size there. 0, 0 where no wall is seen."""
    skin = np.unique(solid.facets)
    vertex = int(skin[np.argmin(np.linalg.norm(solid.points[skin] - np.asarray(point, float), axis=1))])
    at = seat(solid, vertex)
    wall = min((w for w in (wall_along(solid, at, way) for way in at.inward) if w > 0), default=0.0)
    return wall, wall / at.size


def wall_words(wall: float, elements: float) -> str:
    """A warning where the wall at the peak has too few elements through it, else empty."""
    if not 0 < elements < THIN:
        return ""
    return (
        f"only {elements:.1f} elements through the wall of {wall:.2g} mm at the peak: a smaller element_size is needed"
    )
