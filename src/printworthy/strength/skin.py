"""True surfaces of a solid's skin, and how far its nodes may be moved to lie on them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from printworthy.shape import Solid
from printworthy.shape import Surface as Triangles
from printworthy.shape.source import normals
from printworthy.strength.rounds import Patch, Surface, known

Array = NDArray[np.float64]
FACET_MIDDLES = ((1, 2), (0, 2), (0, 1))  # edges whose middles follow the corners of netgen's second-order triangle
Room = dict[int, float]
Skin = tuple[Mapping[int, Surface], Room]
COARSE = 0.5  # least cosine between facet and surface on CAD, where two facets may make a quarter of a round


def of_skin(solid: Solid) -> Skin:
    """Surfaces by the mesh's face numbers from 1, and the most [mm] that nodes may be moved onto each, if bounded."""
    return of_patches(solid) if (solid.origin >= 0).all() else (face_surfaces(solid), {})


def of_patches(solid: Solid) -> Skin:
    """Of a part that came as triangles: face numbers are smooth patches from 1. The room is what the flats lie from the
    round, half as much again, and twice what the mesh may lie from the flats."""
    found, depth = patch_surfaces(solid.surface)
    room = {p + 1: 1.5 * d + 2 * solid.envelope for p, d in depth.items()}
    return {p + 1: s for p, s in found.items()}, room


@lru_cache(maxsize=2)
def patch_surfaces(triangles: Triangles) -> tuple[dict[int, Surface], dict[int, float]]:
    """Planes and rounds among the smooth patches of a file's triangles, and how far [mm] the middles of the triangles'
    edges lie from each, by patch number."""
    unit = normals(triangles.corners)
    middles = 0.5 * (triangles.corners + np.roll(triangles.corners, 1, axis=1))
    centres = triangles.corners.mean(axis=1)
    patches = {}
    for patch in np.unique(triangles.patches).tolist():
        mine = triangles.patches == patch
        on = triangles.points[np.unique(triangles.triangles[mine])]
        patches[patch] = Patch(on, centres[mine], unit[mine])
    found = known(patches)
    depth = {}
    for patch, s in found.items():
        p = middles[triangles.patches == patch].reshape(-1, 3)
        depth[patch] = float(np.linalg.norm(s.project(p) - p, axis=1).max())
    return found, depth


def face_surfaces(solid: Solid) -> dict[int, Surface]:
    """True rounds and planes among the CAD faces of a curved mesh, by face number from 1."""
    raw = solid.mesh.ngmesh
    skin = raw.Elements2D().NumPy()
    places = np.array(raw.Coordinates(), dtype=float)
    nodes, index = skin["nodes"].astype(np.int64) - 1, skin["index"]
    # A middle left on the chord of its edge says nothing about the face: it may have been straightened.
    ends = places[nodes[:, [list(pair) for pair in FACET_MIDDLES]]]
    chord = np.linalg.norm(places[nodes[:, 3:]] - ends.mean(axis=2), axis=2)
    bowed = chord > 1e-9 * np.linalg.norm(ends[:, :, 0] - ends[:, :, 1], axis=2)
    patches = {}
    unit, centres = normals(solid.corners), solid.corners.mean(axis=1)
    for face in np.unique(index).tolist():
        mine = index == face
        used = np.unique(np.concatenate([nodes[mine, :3].ravel(), nodes[mine, 3:][bowed[mine]]]))
        patches[face] = Patch(places[used], centres[mine], unit[mine], COARSE)
    return known(patches)
