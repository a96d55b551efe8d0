"""All that a geometry file holds, before any of it is chosen or refused: its bodies, and where what is wrong lies."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from printworthy.inputs import Geometry, Vector
from printworthy.results import BodyReport
from printworthy.shape import bodies, body, cad, mending, patches, raw
from printworthy.shape.choice import vector
from printworthy.shape.source import Surface
from printworthy.shape.topology import crossings
from printworthy.shape.triangles import weld
from printworthy.shape.words import at, count

LISTED = 8  # places of a kind that are told one by one
NONE = np.zeros((0, 2), np.int64)


@dataclass(frozen=True, slots=True)
class Spot:
    """Where one fault lies: a point of it [mm], and words."""

    point: Vector
    words: str


@dataclass(frozen=True, slots=True, eq=False)
class Finding:
    """Faults of one kind ("open", "crowded", "crossing", "turned", "inward", "sheet"): words; lines (q, 2) of point
    numbers; triangles (t,) numbers; the largest of them one by one, and how many more there are."""

    kind: str
    words: str
    lines: np.ndarray
    triangles: np.ndarray
    spots: tuple[Spot, ...] = ()
    more: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Survey:
    """Surface of the whole file [mm]; body (m,) number from 1 of each triangle, as the report numbers them; bodies;
    how many open edges each has; findings."""

    surface: Surface
    body: np.ndarray
    bodies: tuple[BodyReport, ...]
    torn: tuple[int, ...]
    findings: tuple[Finding, ...]


def survey(geometry: Geometry) -> Survey:
    """What a file holds; `geometry.body` plays no part. Raises UnitNeeded, GeometryError for a file that cannot be
    read at all; neither for faults of its surface nor for its size."""
    data, kind = raw.content(geometry.path)
    if kind == "STEP":
        return _of_cad(geometry, data)
    given, size = body.parsed(geometry, data, kind)
    points, triangles = weld(given.points * size.factor, given.triangles, given.piece)
    tidy = mending.tidy(points, triangles)
    if not len(tidy.triangles):
        return _sheet(points, triangles)
    cross = crossings(points, tidy.triangles, body.CROSSING * float(np.linalg.norm(np.ptp(points, axis=0))))
    parts = bodies.split(points, tidy.triangles, tidy.edges, cross if geometry.mend else None)
    owner = np.zeros(len(tidy.triangles), np.int64)
    for number, part in enumerate(parts, 1):
        owner[part.triangles] = number
    surface = Surface(points, tidy.triangles, patches.grow(points, tidy.triangles), np.full(len(owner), -1))
    reports = body.body_reports(parts, body.names_of(given, tidy, parts))
    found = _findings(points, triangles, tidy, cross, parts)
    return Survey(surface, owner, reports, _torn(tidy, owner, len(parts)), tuple(f for f in found if f.words))


def _of_cad(geometry: Geometry, data: bytes) -> Survey:
    reports, surfaces = cad.solids(geometry, data)
    start = np.cumsum([0, *(len(s.points) for s in surfaces)])
    patch = np.cumsum([0, *(int(s.patches.max()) + 1 for s in surfaces)])
    whole = Surface(
        np.concatenate([s.points for s in surfaces]),
        np.concatenate([s.triangles + k for s, k in zip(surfaces, start, strict=False)]),
        np.concatenate([s.patches + k for s, k in zip(surfaces, patch, strict=False)]),
        np.concatenate([s.faces for s in surfaces]),
    )
    owner = np.repeat(np.arange(1, len(surfaces) + 1), [len(s.triangles) for s in surfaces])
    return Survey(whole, owner, reports, (0,) * len(reports), ())


def _sheet(points: np.ndarray, triangles: np.ndarray) -> Survey:
    every = np.arange(len(triangles))
    surface = Surface(points, triangles, np.zeros(len(every), np.int64), np.full(len(every), -1))
    words = "all triangles lie back to back: a sheet without thickness"
    report = BodyReport(1, 0.0, vector(points.min(axis=0)), vector(points.max(axis=0)), "")
    return Survey(surface, every * 0 + 1, (report,), (0,), (Finding("sheet", words, NONE, every),))


def _torn(tidy: mending.Tidy, owner: np.ndarray, parts: int) -> tuple[int, ...]:
    """Open edges of each body: an open edge belongs to the one triangle that runs along it."""
    t = tidy.triangles
    size = np.int64(t.max()) + 1
    key = (t * size + np.roll(t, -1, axis=1)).ravel()
    order = np.argsort(key)
    gaps = tidy.edges.gaps
    mine = owner[order[np.searchsorted(key[order], gaps[:, 0] * size + gaps[:, 1])] // 3]
    return tuple(np.bincount(mine, minlength=parts + 1)[1:].tolist())


def _findings(
    points: np.ndarray, triangles: np.ndarray, tidy: mending.Tidy, cross: np.ndarray, parts: list[bodies.Body]
) -> list[Finding]:
    none = np.zeros(0, np.int64)
    gaps, crowded, hit = tidy.edges.gaps, tidy.edges.crowded, np.unique(cross)
    turned = np.flatnonzero((tidy.triangles != triangles[tidy.number]).any(axis=1))
    inward = np.concatenate([p.inward for p in parts])
    between = tidy.edges.pairs[np.isin(tidy.edges.pairs, hit).all(axis=1)]
    return [
        Finding("open", _said(len(gaps), "open edge"), gaps, none, *_spots(points, gaps, gaps, "open edge")),
        Finding(
            "crossing", _said(len(cross), "pair", "of triangles crossing each other"), NONE, hit,
            *_spots(points, tidy.triangles[hit], np.concatenate([cross, between]), "triangle", hit),
        ),
        Finding(
            "crowded", _said(len(crowded), "edge", "where more than two triangles meet"), crowded, none,
            *_spots(points, crowded, crowded, "edge"),
        ),
        Finding("turned", _said(len(turned), "triangle", "facing against the neighbours"), NONE, turned),
        Finding("inward", _said(len(inward), "triangle", "facing inwards"), NONE, inward),
    ]  # fmt: skip


def _said(number: int, one: str, rest: str = "") -> str:
    return f"{count(number, one)} {rest}".strip() if number else ""


def _spots(
    points: np.ndarray, items: np.ndarray, joined: np.ndarray, one: str, names: np.ndarray | None = None
) -> tuple[tuple[Spot, ...], int]:
    """What hangs together of `items` (k, 2 or 3) of point numbers, the largest first, and how many more.

    `joined` (j, 2): points, or with `names` (k,) item numbers, that belong together.
    """
    if not len(items):
        return (), 0
    used, link = np.unique(items if names is None else names, return_inverse=True)
    ends = np.searchsorted(used, joined)
    graph = coo_matrix((np.ones(len(ends)), ends.T), shape=(len(used), len(used)))
    label = connected_components(graph, directed=False)[1]
    of_item = label[link.reshape(len(items), -1)[:, 0]]
    found = []
    for group in np.unique(of_item):
        mine = items[of_item == group]
        corners = points[np.unique(mine)]
        middle = corners[np.argmin(np.linalg.norm(corners - corners.mean(axis=0), axis=1))]
        found.append((float(np.linalg.norm(np.ptp(corners, axis=0))), len(mine), middle))
    found.sort(key=lambda f: -f[0])
    spots = tuple(
        Spot(vector(middle), f"{count(number, one)}, {across:.3g} mm across, at {at(middle)}")
        for across, number, middle in found[:LISTED]
    )
    return spots, len(found) - len(spots)
