"""What the source knows about its surface, handed on to the facets of a mesh."""

from __future__ import annotations

import numpy as np
from scipy.spatial import cKDTree

from printworthy.shape.boxes import nearest, of_triangles
from printworthy.shape.build import Made
from printworthy.shape.source import Surface, normals
from printworthy.shape.thickness import spread

SEED = 20113


def of_facets(made: Made, surface: Surface) -> tuple[np.ndarray, np.ndarray]:
    """Patch number (k,) of each facet of a mesh, and the source triangle (k,) it lies on (-1 for CAD, which has
    faces)."""
    if (made.cad_face >= 0).all():
        table = np.full(max(int(made.cad_face.max()), int(surface.faces.max())) + 1, -1)
        table[surface.faces] = surface.patches
        return table[made.cad_face], np.full(len(made.facets), -1)
    origin = on_source(made.points[made.facets], surface, made.envelope)
    return surface.patches[origin], origin


def on_source(facets: np.ndarray, surface: Surface, envelope: float) -> np.ndarray:
    """Source triangle (k,) on which each facet (k, 3, 3) lies: of those about as near as the nearest one, the one whose
    normal agrees best, so that a facet beside a sharp edge goes to its own side."""
    corners = surface.corners
    middle, unit = facets.mean(axis=1), normals(facets)
    cloud, _ = spread(corners, 4 * len(facets), np.random.default_rng(SEED))
    reach = cKDTree(np.concatenate([surface.points, cloud])).query(middle)[0] + envelope
    tree = of_triangles(corners)
    origin = np.zeros(len(facets), dtype=np.int64)
    source_unit = normals(corners)
    for start in range(0, len(facets), 4000):
        part = np.arange(start, min(start + 4000, len(facets)))
        q, t, distance = nearest(corners, middle[part], reach[part], tree)
        closest = np.full(len(part), np.inf)
        np.minimum.at(closest, q, distance)
        near = distance <= closest[q] + envelope
        q, t, distance = q[near], t[near], distance[near]
        agree = np.einsum("ij,ij->i", source_unit[t], unit[part[q]])
        order = np.lexsort((distance, -np.round(agree, 3), q))
        q, t = q[order], t[order]
        first = np.unique(q, return_index=True)
        origin[part[first[0]]] = t[first[1]]
    return origin
