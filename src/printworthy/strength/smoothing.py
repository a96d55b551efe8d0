"""Rounds of a part that came as triangles, meshed as the rounds they stand for.

The corners of the triangles that a file draws a hole or a fillet with lie on the true surface; only their flats do not.
Where a smooth patch of them is a plane, cylinder, sphere, cone or torus, the skin of the mesh is moved onto it and its
elements are bent to it, so that the weak corners between the flats are gone. Other patches stay as they are.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import ngsolve as ng
import numpy as np

from printworthy.shape import Solid
from printworthy.shape.curving import MIDDLES
from printworthy.strength.halving import netgen_mesh, rounded, sorted_edges
from printworthy.strength.rounds import Sphere, Turned
from printworthy.strength.skin import FACET_MIDDLES, of_patches
from printworthy.strength.space import Facets


def smoothed(solid: Solid, faces: Mapping[str, Facets]) -> tuple[Solid, Mapping[str, Facets]] | None:
    """A new solid with its rounds meshed true, and the named faces on it; None where no patch is a known round.

    No node moves further than the flats lie from the round and the mesh from the flats: one that would have to lies
    beside the round, not on it.
    """
    surfaces, room = of_patches(solid)
    if not any(isinstance(s, Turned | Sphere) for s in surfaces.values()):
        return None
    order = np.argsort(solid.patches, kind="stable")
    count = len(solid.points)
    ends, number = np.unique(sorted_edges(solid.tets, MIDDLES).reshape(-1, 2), axis=0, return_inverse=True)
    tets = np.column_stack([solid.tets, count + number.reshape(-1, len(MIDDLES))])
    nodes = np.concatenate([solid.points, solid.points[ends].mean(axis=1)])
    wanted = sorted_edges(solid.facets[order], FACET_MIDDLES)
    middle = np.searchsorted(ends[:, 0] * count + ends[:, 1], wanted[..., 0] * count + wanted[..., 1])
    facets, patch = np.column_stack([solid.facets[order], count + middle]), solid.patches[order]
    moved = rounded(nodes, tets, facets, patch + 1, surfaces, room)
    mesh = netgen_mesh(moved, tets, facets, patch + 1)
    made = replace(
        solid, mesh=mesh, points=moved[:count], facets=solid.facets[order], patches=patch, origin=solid.origin[order],
        volume=float(ng.Integrate(1.0, mesh)),
    )  # fmt: skip
    return made, {name: np.flatnonzero(np.isin(order, numbers)) for name, numbers in faces.items()}
