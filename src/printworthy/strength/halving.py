"""Tetrahedra halved by bisection, on exactly the same body.

The corners are bisected by netgen (marked elements in all their edges, neighbours as far as the mesh must hang
together). Every new node is put where the second-order map of the element it was cut from puts it. That map
restricted to a piece is second order again, so the finer mesh fills exactly the same body: what changes from one mesh
to the next is the displacement alone (own derivation). On CAD faces that are known again as true rounds the new nodes
are then put on the round itself (see `rounds`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import netgen.meshing as netgen
import ngsolve as ng
import numpy as np
import scipy.sparse as sparse
from numpy.typing import NDArray

from printworthy.shape import Solid
from printworthy.shape.curving import LEAST, MIDDLES, distortion
from printworthy.strength.rounds import Surface, onto
from printworthy.strength.skin import FACET_MIDDLES, Skin, of_skin
from printworthy.strength.space import Facets

Array = NDArray[np.float64]
Numbers = NDArray[np.int64]
UNFOLDS = 20
SOUND = 0.3  # least Jacobian of a bent element over that of the straight one: below it strains at its points are wild


@dataclass(frozen=True, slots=True, eq=False)
class Bisected:
    """Corners of the finer mesh: tets (m, 4), facets (k, 3); the element and facet each was cut from; and every vertex
    as `weights` (vertices, coarse vertices)."""

    tets: Numbers
    facets: Numbers
    element: Numbers
    facet: Numbers
    weights: sparse.csr_array


def refined(
    solid: Solid, faces: Mapping[str, Facets], marks: NDArray[np.bool_], skin: Skin | None = None
) -> tuple[Solid, Mapping[str, Facets]]:
    """A new solid with the marked tetrahedra (m,) halved, and the named faces on it. The old one stays as it was.

    A facet belongs to the faces and the patch of the facet it was cut from. `skin`: the true surfaces, where known.
    """
    cut = bisected(solid, marks)
    raw = solid.mesh.ngmesh
    nodes10 = raw.Elements3D().NumPy()["nodes"].astype(np.int64) - 1
    places = np.array(raw.Coordinates(), dtype=float)
    index = raw.Elements2D().NumPy()["index"].astype(np.int64)[cut.facet]
    order = np.argsort(index, kind="stable")  # netgen takes facets face by face
    cut = replace(cut, facets=cut.facets[order], facet=cut.facet[order])
    if nodes10.shape[1] == 10:
        nodes, tets, facets = second_order(cut, places, nodes10)
        surfaces, room = skin or of_skin(solid)
        nodes = rounded(nodes, tets, facets, index[order], surfaces, room)
    else:
        nodes, tets, facets = _straight(cut, places), cut.tets, cut.facets
    mesh = netgen_mesh(nodes, tets, facets, index[order])
    report = replace(solid.report, elements=len(tets), unknowns=3 * (mesh.nv + mesh.nedge))
    finer = replace(
        solid, mesh=mesh, points=nodes[: cut.weights.shape[0]], tets=cut.tets, facets=cut.facets,
        patches=solid.patches[cut.facet], origin=solid.origin[cut.facet], volume=float(ng.Integrate(1.0, mesh)),
        report=report,
    )  # fmt: skip
    return finer, {name: np.flatnonzero(np.isin(cut.facet, numbers)) for name, numbers in faces.items()}


def bisected(solid: Solid, marks: NDArray[np.bool_]) -> Bisected:
    """The corners of a solid's mesh with the marked elements bisected until all their edges are halved.

    Every vertex is a weighted mean of coarse ones. A piece spans volume (or area), so its corners together have exactly
    the corners of the element (or facet) that it was cut from as ancestors.
    """
    one = np.ones(len(solid.facets), dtype=np.int64)
    mesh = netgen_mesh(solid.points, solid.tets, solid.facets, one)
    mesh.SetRefinementFlags(np.asarray(marks, dtype=bool))
    mesh.Refine()
    weights = _weights(mesh, len(solid.points))
    tets = mesh.ngmesh.Elements3D().NumPy()["nodes"][:, :4].astype(np.int64) - 1
    facets = mesh.ngmesh.Elements2D().NumPy()["nodes"][:, :3].astype(np.int64) - 1
    return Bisected(
        tets, facets, _cut_from(tets, solid.tets, weights), _cut_from(facets, solid.facets, weights), weights
    )


def _weights(mesh: ng.Mesh, coarse: int) -> sparse.csr_array:
    """Every vertex (n, coarse) as a weighted mean of the first `coarse` ones: half of each of its two parents."""
    rows: list[dict[int, float]] = [{v: 1.0} for v in range(coarse)]
    for v in range(coarse, mesh.nv):
        a, b = (rows[p] for p in mesh.GetParentVertices(v))
        rows.append({k: 0.5 * (a.get(k, 0.0) + b.get(k, 0.0)) for k in a.keys() | b.keys()})
    starts = np.cumsum([0, *(len(row) for row in rows)])
    columns = np.fromiter((k for row in rows for k in row), np.int64, starts[-1])
    values = np.fromiter((w for row in rows for w in row.values()), float, starts[-1])
    return sparse.csr_array((values, columns, starts), shape=(mesh.nv, coarse))


def _cut_from(pieces: Numbers, coarse: NDArray[Any], weights: sparse.csr_array) -> Numbers:
    """Number (m,) of the coarse element or facet that each piece was cut from: the corners it has weights of."""
    count, corners = pieces.shape
    owns = sparse.csr_array(
        (np.ones(pieces.size), pieces.ravel(), np.arange(count + 1) * corners), shape=(count, weights.shape[0])
    )
    ancestors = sparse.csr_array(owns @ weights)
    ancestors.sort_indices()
    both = np.concatenate([np.sort(coarse, axis=1).astype(np.int64), ancestors.indices.reshape(count, corners)])
    _, first, number = np.unique(_row_keys(both), return_index=True, return_inverse=True)
    return np.asarray(first[number[len(coarse) :]], dtype=np.int64)


def _row_keys(rows: Numbers) -> Numbers:
    """One number (n,) for each row (n, k) of numbers from 0, equal where rows are equal: sorting whole rows is slow."""
    most, key = int(rows.max()) + 1, rows[:, 0]
    for column in rows.T[1:]:
        if int(key.max()) > np.iinfo(np.int64).max // most - 1:
            key = np.unique(key, return_inverse=True)[1]
        key = key * most + column
    return key


def second_order(cut: Bisected, places: Array, nodes10: Numbers) -> tuple[Array, Numbers, Numbers]:
    """Nodes (n, 3) [mm], vertices first, tets (m, 10) and facets (k, 6) on the second-order maps of coarse elements
    with nodes (c, 10) at `places`."""
    own = nodes10[cut.element]
    rows = np.repeat(cut.tets[:, :, None], 4, axis=2)
    columns = np.repeat(own[:, None, :4], 4, axis=1)
    at = np.asarray(cut.weights[rows.ravel(), columns.ravel()]).reshape(rows.shape)
    at = np.concatenate([at, np.stack([0.5 * (at[:, i] + at[:, j]) for i, j in MIDDLES], axis=1)], axis=1)
    found = np.einsum("mpn,mnk->mpk", shapes(at), places[own])
    count = cut.weights.shape[0]
    ends = sorted_edges(cut.tets, MIDDLES)
    key, number = np.unique(ends[..., 0] * count + ends[..., 1], return_inverse=True)
    tets = np.column_stack([cut.tets, count + number.reshape(-1, len(MIDDLES))])
    nodes = np.zeros((count + len(key), 3))
    nodes[tets] = found
    wanted = sorted_edges(cut.facets, FACET_MIDDLES)
    middle = np.searchsorted(key, wanted[..., 0] * count + wanted[..., 1])
    return nodes, tets, np.column_stack([cut.facets, count + middle])


def rounded(
    nodes: Array, tets: Numbers, facets: Numbers, index: NDArray[Any], surfaces: Mapping[int, Surface],
    room: Mapping[int, float],
) -> Array:  # fmt: skip
    """Nodes of the skin moved onto the surfaces of their facets' `index` (k,), at most by the `room` [mm] each leaves,
    and not where that would fold an element: there edges are left straight between corners on the surface, and only
    where that folds it too the nodes stay where they were."""
    on = [(int(face), np.unique(facets[index == face])) for face in np.unique(index)]
    moved = onto(nodes, on, surfaces)
    most = np.full(len(nodes), np.inf)
    for face, numbers in on:
        most[numbers] = np.minimum(most[numbers], room.get(face, np.inf))
    astray = np.linalg.norm(moved - nodes, axis=1) > most
    moved[astray] = nodes[astray]
    for _ in range(UNFOLDS):
        bent = tets[distortion(moved[tets]) < SOUND]
        if not len(bent):
            break
        for k, (i, j) in enumerate(MIDDLES):
            moved[bent[:, 4 + k]] = 0.5 * (moved[bent[:, i]] + moved[bent[:, j]])
    for _ in range(UNFOLDS):
        folded = tets[distortion(moved[tets]) < LEAST]
        if not len(folded):
            break
        moved[folded] = nodes[folded]
    return moved


def shapes(at: Array) -> Array:
    """Shape functions (..., 10) of the second-order tetrahedron at barycentric places (..., 4)."""
    corner = at * (2 * at - 1)
    middle = np.stack([4 * at[..., i] * at[..., j] for i, j in MIDDLES], axis=-1)
    return np.concatenate([corner, middle], axis=-1)


def sorted_edges(elements: Numbers, pairs: Sequence[tuple[int, int]]) -> Numbers:
    """Sorted ends (m, pairs, 2) of edges of elements."""
    return np.sort(np.stack([elements[:, list(pair)] for pair in pairs], axis=1), axis=2)


def _straight(cut: Bisected, places: Array) -> Array:
    return np.asarray(cut.weights @ places[: cut.weights.shape[1]])


def netgen_mesh(nodes: Array, tets: NDArray[Any], facets: NDArray[Any], index: NDArray[Any]) -> ng.Mesh:
    """An ngsolve mesh, of second order where tets have ten nodes; facets sorted by face `index` (k,) from 1."""
    raw = netgen.Mesh(dim=3)
    raw.AddPoints(np.ascontiguousarray(nodes))
    raw.AddElements(dim=3, index=1, data=np.ascontiguousarray(tets, dtype=np.int32), base=0)
    for k in range(1, int(index.max()) + 1):
        raw.Add(netgen.FaceDescriptor(surfnr=k, domin=1, domout=0, bc=k))
        if (mine := index == k).any():
            raw.AddElements(dim=2, index=k, data=np.ascontiguousarray(facets[mine], dtype=np.int32), base=0)
    return ng.Mesh(raw)
