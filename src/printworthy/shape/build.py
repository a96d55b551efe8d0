"""Netgen and ngsolve meshes, from CAD and from tetrahedra."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from importlib.metadata import version
from pathlib import Path
from typing import Any

import netgen.meshing as netgen
import ngsolve
import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from printworthy.errors import GeometryError, NotComputed
from printworthy.shape import words
from printworthy.shape.cad import CadSolid, kernel
from printworthy.shape.child import Progress
from printworthy.shape.curving import straighten_folded
from printworthy.shape.quality import volumes
from printworthy.shape.source import Source
from printworthy.workspace.cache import Cache, key

# Faces of a netgen tetrahedron's corners, each turned outwards for positive volume as `quality.volumes` counts it.
FACES = ((1, 2, 3), (0, 3, 2), (0, 1, 3), (0, 2, 1))
TARGET_UNKNOWNS, MOST_UNKNOWNS = 22_000, 34_000  # aimed at, and borne, when the size is ours to choose
LIMIT_UNKNOWNS = 1_700_000  # beyond, a solution was not tried: 1.63 million took 7.5 GB and 4.5 minutes
PER_SQUARE = 28.0  # unknowns for each square of the size on a thin wall's skin: 23 to 31 on five parts
# How fewer elements are asked for, one after the other: from how many times too many unknowns on each is tried first,
# its factors on size and elements per radius, and the growth. Steeper growth comes late: large elements that reach a
# tight curve there must more often be made straight-edged (45 instead of 3 to 50 on the hanger of the demo).
RELAXED = ((1.0, 1.2, 0.8, 0.5), (1.36, 1.73, 0.8, 0.5), (1.58, 1.73, 0.75, 0.7), (2.3, 2.07, 0.5625, 0.7))
CURVATURE, GRADING = 1.0, 0.5  # elements per radius and growth between neighbours, as the CAD mesher counts
WHOLE = 0.999  # share of the volume that must hang together


@dataclass(frozen=True, slots=True, eq=False)
class Made:
    """A finished mesh and its arrays; `cad_face` (k,) CAD face number of each facet from 0, or -1."""

    mesher: str
    mesh: Any
    points: np.ndarray
    tets: np.ndarray
    facets: np.ndarray
    cad_face: np.ndarray
    size: float
    envelope: float
    volume: float
    curved: bool
    warnings: tuple[str, ...] = ()

    @property
    def unknowns(self) -> int:
        """Three at each node of second-order elements."""
        return int(3 * (self.mesh.nv + self.mesh.nedge))

    def warned(self, words: str) -> Made:
        """The same with one more warning."""
        return replace(self, warnings=(*self.warnings, words))


@dataclass(frozen=True, slots=True)
class Sizes:
    """What the CAD mesher is asked for: largest element [mm], elements per radius, growth from one to the next."""

    size: float
    curvature: float = CURVATURE
    grading: float = GRADING


def from_cad(
    source: Source,
    size: float,
    thin: float,
    *,
    fixed: bool,
    cache: Path | None = None,
    progress: Progress | None = None,
) -> Made:
    """Mesh a CAD solid. Unless the size [mm] is `fixed` by the person it is changed until the count of unknowns is
    bearable, or finer where the thin wall [mm] wants it and the count allows.

    Raises NotComputed where the mesher gives up or the part has too much detail.
    """
    likely = PER_SQUARE * source.report.area / size**2  # fewer than there will be, but for thin walls
    first, *after = _relaxed(size, likely) if likely > MOST_UNKNOWNS and not fixed else [Sizes(size)]
    made = _cad_mesh(source, first, cache, progress) if fixed else _first(source, first, cache, progress)
    for sizes in () if fixed else _others(made, thin, after):
        try:
            made = _cad_mesh(source, sizes, cache, progress)
        except NotComputed as error:
            made = made.warned(f"kept at {made.size:.3g} mm with {made.unknowns} unknowns: {error.what}")
            break
        if made.unknowns <= MOST_UNKNOWNS:
            break
    if made.unknowns > LIMIT_UNKNOWNS:
        raise NotComputed(
            f"{made.unknowns} unknowns at an element size of {made.size:.3g} mm, more than {LIMIT_UNKNOWNS}",
            where=source.report.file,
            do="State a larger element_size, or simplify small detail",
        )
    return made


def _first(source: Source, sizes: Sizes, cache: Path | None, progress: Progress | None) -> Made:
    """The first mesh; where the mesher gives up it is asked once more, a fifth finer. Raises NotComputed."""
    try:
        return _cad_mesh(source, sizes, cache, progress)
    except NotComputed as error:
        finer = replace(sizes, size=0.8 * sizes.size)
        return _cad_mesh(source, finer, cache, progress).warned(f"meshed finer: {error.what}")


def _others(first: Made, thin: float, after: list[Sizes]) -> list[Sizes]:
    """What to ask for after the first mesh, one after the other until the unknowns are bearable; nothing if it does."""
    if first.unknowns > MOST_UNKNOWNS:
        return after or _relaxed(first.size, first.unknowns)
    if first.size > 0.55 * thin and first.unknowns < 0.6 * TARGET_UNKNOWNS:
        return [Sizes(max(0.5 * thin, first.size * (first.unknowns / TARGET_UNKNOWNS) ** (1 / 3)))]
    return []


def _relaxed(size: float, unknowns: float) -> list[Sizes]:
    """What to ask for, one after the other, where `size` [mm] alone makes so many unknowns."""
    left = RELAXED[sum(unknowns > row[0] * MOST_UNKNOWNS for row in RELAXED) - 1 :]
    return [Sizes(larger * size, flatter * CURVATURE, growth) for _, larger, flatter, growth in left]


def _cad_mesh(source: Source, sizes: Sizes, cache: Path | None, progress: Progress | None) -> Made:
    cad: CadSolid = source.cad
    options = {
        "do": "mesh",
        "factor": cad.factor,
        "solid": cad.number,
        **asdict(sizes),
    }
    store = Cache(cache) if cache else None
    name = key("CAD mesh", version("netgen-mesher"), source.report.sha256, options)
    kept = store.get(name) if store else None
    found = kept.arrays if kept else kernel(cad.path, options, progress)
    if isinstance(found, str):
        raise NotComputed(
            f"the CAD mesher gives up at {sizes.size:.3g} mm ({found})",
            where=source.report.file,
            do="State another element_size, or give the part as STL",
        )
    if store and not kept:
        store.put(name, "{}", found)
    return _curved(found, sizes.size)


def _curved(found: Mapping[str, np.ndarray], size: float) -> Made:
    """The ngsolve mesh of second-order elements: nodes (n, 3) with corners first, tets (m, 10), facets (k, 6), face
    (k,)."""
    nodes = np.array(found["nodes"], dtype=float)
    straight = straighten_folded(nodes, found["tets"].astype(np.int64))
    order = np.argsort(found["face"], kind="stable")
    facets, face = found["facets"][order], found["face"][order].astype(np.int64)
    raw = netgen.Mesh(dim=3)
    raw.AddPoints(np.ascontiguousarray(nodes))
    raw.AddElements(dim=3, index=1, data=np.ascontiguousarray(found["tets"], dtype=np.int32), base=0)
    for k in range(int(face.max()) + 1):
        raw.Add(netgen.FaceDescriptor(surfnr=k + 1, domin=1, domout=0, bc=k + 1))
        if (mine := face == k).any():
            raw.AddElements(dim=2, index=k + 1, data=np.ascontiguousarray(facets[mine], dtype=np.int32), base=0)
    made = _made("netgen on CAD", raw, ngsolve.Mesh(raw), size, 0.0, True)
    if not straight:
        return made
    return made.warned(
        f"{words.count(straight, 'element')} of {len(made.tets)} at tight curves straight-edged, so that none is folded"
    )


def from_tets(points: np.ndarray, tets: np.ndarray, where: str, size: float, envelope: float) -> Made:
    """An ngsolve mesh of given tetrahedra; points (n, 3) [mm], tets (m, 4). Raises GeometryError where they fall
    apart."""
    points, tets, warnings = _hanging_together(points, tets, where)
    facets = skin(tets)
    raw = netgen.Mesh(dim=3)
    raw.AddPoints(np.ascontiguousarray(points, dtype=float))
    raw.Add(netgen.FaceDescriptor(surfnr=1, domin=1, domout=0, bc=1))
    raw.AddElements(dim=3, index=1, data=np.ascontiguousarray(tets, dtype=np.int32), base=0)
    raw.AddElements(dim=2, index=1, data=np.ascontiguousarray(facets, dtype=np.int32), base=0)
    return replace(
        _made("robust tetrahedra on triangles", raw, ngsolve.Mesh(raw), size, envelope, False), warnings=warnings
    )


def _hanging_together(
    points: np.ndarray, tets: np.ndarray, where: str
) -> tuple[np.ndarray, np.ndarray, tuple[str, ...]]:
    """Only the tetrahedra that hang together by whole faces, with positive volume, on the points they use."""
    size = volumes(points[tets])
    tets = np.where((size < 0)[:, None], tets[:, [0, 2, 1, 3]], tets)
    tets, size = tets[size != 0], np.abs(size[size != 0])
    faces = np.sort(np.concatenate([tets[:, f] for f in FACES]), axis=1)
    owner = np.tile(np.arange(len(tets)), 4)
    order = np.lexsort(faces.T)
    twin = (faces[order][1:] == faces[order][:-1]).all(axis=1)
    a, b = owner[order][:-1][twin], owner[order][1:][twin]
    count, label = connected_components(
        coo_matrix((np.ones(len(a)), (a, b)), shape=(len(tets), len(tets))), directed=False
    )
    share = np.bincount(label, weights=size) / size.sum()
    largest = int(share.argmax())
    if share[largest] < WHOLE:
        raise GeometryError(
            f"as a mesh it falls into {count} pieces that do not hang together, "
            f"the largest has {share[largest]:.1%} of the volume",
            where=where,
            do="The pieces touch along edges or thin skins only: join them in CAD, or state body",
        )
    kept = tets[label == largest]
    used, index = np.unique(kept, return_inverse=True)
    warnings = (
        (f"{words.count(count - 1, 'crumb')} with {1 - share[largest]:.2g} of the volume left out",)
        if count > 1
        else ()
    )
    return points[used], index.reshape(-1, 4), warnings


def skin(tets: np.ndarray) -> np.ndarray:
    """Outer faces (k, 3) of tetrahedra (m, 4) of positive volume, turned outwards."""
    faces = np.concatenate([tets[:, f] for f in FACES])
    _, first, count = np.unique(np.sort(faces, axis=1), axis=0, return_index=True, return_counts=True)
    return np.asarray(faces[np.sort(first[count == 1])])


def _made(mesher: str, raw: Any, mesh: Any, size: float, envelope: float, curved: bool) -> Made:
    surface = raw.Elements2D().NumPy()
    points = np.array(raw.Coordinates()[: mesh.nv], dtype=float)
    tets = raw.Elements3D().NumPy()["nodes"][:, :4].astype(np.int64) - 1
    facets = surface["nodes"][:, :3].astype(np.int64) - 1
    face = surface["index"].astype(np.int64) - 1 if curved else np.full(len(facets), -1)
    return Made(mesher, mesh, points, tets, facets, face, size, envelope, float(ngsolve.Integrate(1.0, mesh)), curved)
