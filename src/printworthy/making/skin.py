"""The skin of a part as arrays for the build directions, checked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from scipy.spatial import ConvexHull

from printworthy.errors import GeometryError, InputError
from printworthy.shape import Solid
from printworthy.shape.source import areas as triangle_areas

OPEN = 1e-6  # of the area: what the area vectors of a closed skin may sum to, by rounding
FLAT = 1e-9  # of the cube of the size: less volume than this is rounding


class Cornered(Protocol):
    """Whatever has a skin: a meshed solid, or the triangles of a file."""

    @property
    def corners(self) -> np.ndarray:
        """Corners of every facet (k, 3, 3) [mm], counter-clockwise seen from outside."""


def drawn(body: Cornered) -> Cornered:
    """The part as its file has it: the source triangles of a solid that was meshed from triangles, else the body
    itself.

    Such a solid's own skin strays from the source by up to its envelope, enough to tilt a flat off the bed.
    """
    return body.surface if isinstance(body, Solid) and (body.origin >= 0).all() else body


def membership(body: Cornered, faces: Mapping[str, np.ndarray]) -> np.ndarray:
    """Share (m, F) of each facet of `drawn(body)` that belongs to each of F faces, given as facet numbers of `body`.

    Raises InputError for facets that the body does not have.
    """
    areas = triangle_areas(np.asarray(body.corners, dtype=float))
    for name, numbers in faces.items():
        if len(numbers) and not (np.min(numbers) >= 0 and np.max(numbers) < len(areas)):
            raise InputError(f"face '{name}' has facets that the skin does not have", do="Select it on the same skin")
    source = drawn(body)
    owner = body.origin if isinstance(body, Solid) and source is not body else np.arange(len(areas))
    whole = triangle_areas(np.asarray(source.corners, dtype=float))
    shares = np.zeros((len(whole), len(faces)))
    for column, numbers in enumerate(faces.values()):
        covered = np.bincount(owner[numbers], weights=areas[numbers], minlength=len(whole))
        shares[:, column] = np.minimum(1.0, np.divide(covered, whole, out=np.zeros(len(whole)), where=whole > 0))
    return shares


@dataclass(frozen=True, slots=True, eq=False)
class Skin:
    """Closed skin about its centre of mass (uniform density).

    points (n, 3) [mm] from `centre`; facets (m, 3) point numbers; vectors (m, 3) [mm2] outward area vectors; hull (h,
    3) [mm] corners of the convex hull; rests (q, 3) and rest_areas (q,) [mm2] outward area vectors' directions and
    areas of the hull's triangles; volume [mm3]; centre (3,) [mm] of mass.
    """

    points: np.ndarray
    facets: np.ndarray
    vectors: np.ndarray
    hull: np.ndarray
    rests: np.ndarray
    rest_areas: np.ndarray
    volume: float
    centre: np.ndarray


def skin(body: Cornered) -> Skin:
    """The skin of a body as drawn. Raises GeometryError: not closed, facing inwards, flat.

    Volume and centre of mass by the divergence theorem: each facet with a common point makes a tetrahedron.
    """
    corners = np.asarray(drawn(body).corners, dtype=float) + 0.0
    if corners.ndim != 3 or corners.shape[1:] != (3, 3) or not len(corners) or not np.isfinite(corners).all():
        raise GeometryError("the skin is not a list of triangles with finite corners", do="Read the geometry again")
    points, index = np.unique(corners.reshape(-1, 3), axis=0, return_inverse=True)
    facets = index.reshape(-1, 3).astype(np.int64)
    middle = points.mean(axis=0)
    points = points - middle
    a, b, c = (points[facets[:, i]] for i in range(3))
    vectors = 0.5 * np.cross(b - a, c - a)
    total = float(np.linalg.norm(vectors, axis=1).sum())
    if np.linalg.norm(vectors.sum(axis=0)) > OPEN * total:
        raise GeometryError("the skin is not closed, so that inside and outside are not known", do="Mend the geometry")
    volumes = np.einsum("ij,ij->i", a, vectors) / 3
    volume = float(volumes.sum())
    if volume < -FLAT * float(np.ptp(points, axis=0).max()) ** 3:
        raise GeometryError("the facets face inwards: their signed volume is negative", do="Mend the geometry")
    if volume < FLAT * float(np.ptp(points, axis=0).max()) ** 3:
        raise GeometryError("the skin encloses no volume", do="Export the part as a solid")
    centre = (volumes[:, None] * (a + b + c) / 4).sum(axis=0) / volume
    points = np.ascontiguousarray(points - centre)
    outer = ConvexHull(points)
    p, q, r = (points[outer.simplices[:, i]] for i in range(3))
    rest_areas = 0.5 * np.linalg.norm(np.cross(q - p, r - p), axis=1)
    return Skin(
        points, facets, vectors, np.ascontiguousarray(points[np.sort(outer.vertices)]),
        outer.equations[:, :3].copy(), rest_areas, volume, middle + centre,
    )  # fmt: skip
