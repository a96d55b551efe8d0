"""How thick the walls are, and how large the tetrahedra should be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from printworthy.shape.boxes import first_hits
from printworthy.shape.source import Surface, areas, normals

SAMPLES = 2000
THIN = 0.10  # the thin wall is what a tenth of the skin has behind it or less: one sharp edge must not set the mesh
SEED = 20111


@dataclass(frozen=True, slots=True, eq=False)
class Walls:
    """Wall behind sample points of the skin: points (n, 3) [mm], thickness (n,) [mm]; `thin` [mm] the typical thin
    wall."""

    points: np.ndarray
    thickness: np.ndarray
    thin: float


def walls(surface: Surface) -> Walls:
    """Measure along the inward normal from points spread evenly over the skin to where the ray leaves the body."""
    corners = surface.corners
    points, triangle = spread(corners, SAMPLES, np.random.default_rng(SEED))
    inward = -normals(corners)[triangle]
    size = float(np.ptp(surface.points, axis=0).max())
    lift = 1e-7 * size
    distance = first_hits(corners, points + lift * inward, inward) + lift
    seen = np.isfinite(distance) & (distance > 1e-5 * size)
    if not seen.any():
        return Walls(points, np.full(len(points), size), size)
    points, distance = points[seen], distance[seen]
    return Walls(points, distance, float(np.quantile(distance, THIN)))


def spread(corners: np.ndarray, count: int, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """`count` points (n, 3) spread evenly by area over triangles (m, 3, 3), and the triangle (n,) each lies on."""
    total = np.cumsum(areas(corners))
    triangle = np.searchsorted(total, (np.arange(count) + rng.random(count)) / count * total[-1]).clip(
        0, len(corners) - 1
    )
    a, b = np.sqrt(rng.random(count)), rng.random(count)  # even over a triangle: Turk, Graphics Gems, 1990
    weights = np.column_stack([1 - a, a * (1 - b), a * b])
    return np.einsum("nk,nkj->nj", weights, corners[triangle]), triangle


# A regular tetrahedron of edge h has the volume h^3 / (6 sqrt 2); real meshes, graded to curved detail, need about
# twice as many as that (measured on two dozen parts, both meshers). Five unknowns an element (second order).
ELEMENT_VOLUME = 0.118
DETAIL = 2.0
FEWEST, MOST = 4000, 9000  # elements: about 20 000 to 45 000 unknowns
ACROSS = 2.0  # second-order elements through the thin wall: enough for bending of a wall


def element_size(thin: float, volume: float) -> float:
    """Edge length [mm] for a thin wall [mm] in a body of some volume [mm3], within the bounds on the element count."""
    coarsest, finest = ((DETAIL * volume / (ELEMENT_VOLUME * n)) ** (1 / 3) for n in (FEWEST, MOST))
    return float(np.clip(thin / ACROSS, finest, coarsest))


def elements_across(found: Walls, corners: np.ndarray) -> float:
    """Elements through the typical thin wall: wall over the edge length of the facet there; facets (k, 3, 3) [mm]."""
    edge = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).mean(axis=1)
    at = found.thickness <= 1.2 * found.thin
    near = cKDTree(corners.mean(axis=1)).query(found.points[at])[1]
    return float(np.median(found.thickness[at] / edge[near]))
