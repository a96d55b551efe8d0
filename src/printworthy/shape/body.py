"""Triangle files (STL, OBJ, PLY, 3MF): the chosen body, checked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from printworthy.errors import GeometryError
from printworthy.inputs import Geometry
from printworthy.results import BodyReport, ShapeReport
from printworthy.shape import bodies, mending, obj, patches, ply, raw, scale, stl, threemf
from printworthy.shape.choice import MEND, REDRAW, choose, vector
from printworthy.shape.source import Source, Surface, areas, signed_volume
from printworthy.shape.topology import Edges, crossings, edges, shells
from printworthy.shape.triangles import weld
from printworthy.shape.words import count

CROSSING = 1e-7  # of the diagonal: a crossing less deep than the file's precision is none
OVERLAP = 0.10  # a shell whose overlaps with itself hold more of its volume is not one shape


@dataclass(frozen=True, slots=True, eq=False)
class Skin:
    """All triangles of a file, tidied: points (n, 3) [mm], triangles (m, 3), crossing pairs (c, 2), bodies, remarks."""

    points: np.ndarray
    tidy: mending.Tidy
    cross: np.ndarray
    bodies: list[bodies.Body]
    names: tuple[str, ...]
    found: tuple[str, ...]
    mended: tuple[str, ...]


def read(geometry: Geometry, data: bytes, kind: str) -> Source:
    """The chosen body of a triangle file. Raises UnitNeeded, BodyNeeded, GeometryError."""
    given, size = parsed(geometry, data, kind)
    skin = _skin(geometry, given, size)
    number = choose(geometry, body_reports(skin.bodies, skin.names), _nothing_closed(geometry, skin))
    chosen = skin.bodies[number - 1]
    found, mended = list(skin.found), list(skin.mended)
    triangles = skin.tidy.triangles.copy()
    if len(chosen.inward):
        triangles[chosen.inward] = triangles[chosen.inward][:, ::-1]
        found.append(f"{count(len(chosen.inward), 'triangle')} facing inwards, so that the volume is negative")
        mended.append(f"{count(len(chosen.inward), 'triangle')} turned outwards")
    own = triangles[chosen.triangles]
    volume = _sound(geometry, skin, chosen, own, found, mended)
    found += scale.check_size(
        geometry, chosen.high - chosen.low, size, f"body {number}" if len(skin.bodies) > 1 else "the part"
    )
    used, index = np.unique(own, return_inverse=True)
    points, own = skin.points[used], index.reshape(-1, 3)
    surface = Surface(points, own, patches.grow(points, own), np.full(len(own), -1))
    report = ShapeReport(
        file=geometry.path.name,
        sha256=raw.sha256(data),
        kind=kind,
        unit=size.unit,
        unit_source=size.source,
        low=vector(points.min(axis=0)),
        high=vector(points.max(axis=0)),
        volume=volume,
        area=surface.area,
        triangles=len(own),
        cad_faces=0,
        bodies=body_reports(skin.bodies, skin.names),
        body=number,
        found=tuple(found),
        mended=tuple(mended),
    )
    return Source(report, surface)


def parsed(geometry: Geometry, data: bytes, kind: str) -> tuple[raw.Raw, scale.Scale]:
    """Triangles as the file holds them, and its scale. Raises UnitNeeded, GeometryError."""
    path = geometry.path
    if kind == "3MF":
        given, declared = threemf.read(path, data)
        raw.checked(path, given.points, given.triangles)
        return given, scale.of_declared(geometry, declared)
    given = {"STL": stl.read, "OBJ": obj.read, "PLY": ply.read}[kind](path, data)
    raw.checked(path, given.points, given.triangles)
    return given, scale.of_unitless(geometry, given.points[np.unique(given.triangles)])


def _skin(geometry: Geometry, given: raw.Raw, size: scale.Scale) -> Skin:
    """Scale, merge, tidy, close where permitted, find crossings, part into bodies."""
    points, triangles = weld(given.points * size.factor, given.triangles, given.piece)
    box = np.ptp(points, axis=0)
    scale.check_size(geometry, box, size, "the whole file")
    tidy = mending.tidy(points, triangles)
    found, mended = [*given.found, *tidy.found], list(tidy.mended)
    if not len(tidy.triangles):
        raise GeometryError(
            "all triangles lie back to back: a sheet without thickness",
            where=str(geometry.path),
            do="Give the part its thickness in CAD",
        )
    if geometry.mend and len(tidy.edges.gaps):
        tidy = _closed(geometry, points, tidy, found, mended)
    depth = CROSSING * float(np.linalg.norm(box))
    cross = crossings(points, tidy.triangles, depth)
    parts = bodies.split(points, tidy.triangles, tidy.edges, cross if geometry.mend else None)
    names = names_of(given, tidy, parts)
    return Skin(points, tidy, cross, parts, names, tuple(found), tuple(mended))


def _closed(
    geometry: Geometry, points: np.ndarray, tidy: mending.Tidy, found: list[str], mended: list[str]
) -> mending.Tidy:
    volume = abs(signed_volume(points[tidy.triangles]))
    closing = mending.close(points, tidy.triangles, tidy.edges.gaps, volume)
    if closing.refused:
        raise GeometryError(
            f"{count(len(tidy.edges.gaps), 'open edge')} that mending cannot honestly close ({closing.refused})",
            where=str(geometry.path),
            do=REDRAW,
        )
    found.append(count(len(tidy.edges.gaps), "open edge"))
    mended.append(closing.words)
    triangles = np.concatenate([tidy.triangles, closing.triangles])
    number = np.concatenate([tidy.number, np.full(len(closing.triangles), tidy.number[0])])
    return mending.Tidy(triangles, number, edges(points, triangles), tidy.found, tidy.mended, tidy.one_sided)


def names_of(given: raw.Raw, tidy: mending.Tidy, parts: list[bodies.Body]) -> tuple[str, ...]:
    """Names of the bodies, "" where the file names none."""
    if given.piece is None:
        return tuple("" for _ in parts)
    return tuple(given.names[given.piece[tidy.number[p.triangles[0]]]] for p in parts)


def _nothing_closed(geometry: Geometry, skin: Skin) -> GeometryError | None:
    """The error to give instead of a list of bodies when the pieces are torn and no body could be chosen anyway."""
    open_pieces = len(skin.bodies) if len(skin.tidy.edges.gaps) else 0
    if not open_pieces or geometry.body is not None:
        return None
    return GeometryError(
        f"not closed: {_edge_words(skin.tidy.edges)} in {count(open_pieces, 'piece')}",
        where=str(geometry.path),
        do=_way_out(skin.points, skin.tidy.triangles, skin.tidy.edges),
    )


def _edge_words(found: Edges) -> str:
    words = [count(len(found.gaps), "open edge")] if len(found.gaps) else []
    if found.unbalanced:
        words.append(f"{count(found.unbalanced, 'edge')} where more than two triangles meet without closing")
    return " and ".join(words)


def _way_out(points: np.ndarray, triangles: np.ndarray, found: Edges) -> str:
    """What to do: mending is offered only where it would close what is open."""
    if not len(found.gaps):
        return REDRAW if found.unbalanced else MEND
    volume = abs(signed_volume(points[triangles]))
    return REDRAW if mending.close(points, triangles, found.gaps, volume).refused else MEND


def body_reports(found: Sequence[bodies.Body], names: Sequence[str]) -> tuple[BodyReport, ...]:
    """Records of the bodies, numbered from 1 by falling volume."""
    return tuple(
        BodyReport(k + 1, b.volume, vector(b.low), vector(b.high), n)
        for k, (b, n) in enumerate(zip(found, names, strict=True))
    )


def _sound(
    geometry: Geometry, skin: Skin, chosen: bodies.Body, own: np.ndarray, found: list[str], mended: list[str]
) -> float:
    """Volume [mm3] of a body that bounds a solid. Raises GeometryError with everything that is wrong with it."""
    edge = edges(skin.points, own)
    inside = np.isin(skin.cross, chosen.triangles).all(axis=1)
    cross = np.searchsorted(chosen.triangles, skin.cross[inside])
    wrong = ["a one-sided surface: no turning makes its triangles agree which side is out"] * skin.tidy.one_sided
    wrong += [] if edge.closed else [f"not closed: {_edge_words(edge)}"]
    if len(cross) and not geometry.mend:
        wrong.append(f"{count(len(cross), 'pair')} of triangles cross each other, so that the inside is not clear")
    size = chosen.high - chosen.low
    area = float(areas(skin.points[own]).sum())
    if not wrong and chosen.volume <= bodies.SHEET * float(size.max()) * area:
        wrong.append("it encloses no volume: a sheet without thickness")
    if wrong:
        mendable = not geometry.mend and not skin.tidy.one_sided and "sheet" not in wrong[-1]
        do = _way_out(skin.points, own, edge) if mendable else REDRAW
        raise GeometryError("; ".join(wrong), where=str(geometry.path), do=do)
    found += _remarks(edge, chosen)
    if not len(cross):
        return chosen.volume
    shell = shells(len(own), edge.pairs)
    within = bool((shell[cross[:, 0]] == shell[cross[:, 1]]).any())
    found.append(f"{count(len(cross), 'pair')} of triangles cross each other")
    volume, words = _overlaps_once(geometry, chosen, skin.points[own], within)
    mended.append(words)
    return volume


def _remarks(edge: Edges, chosen: bodies.Body) -> list[str]:
    said = []
    if len(edge.crowded):
        where = count(len(edge.crowded), "edge")
        said.append(f"{where} where more than two triangles meet: the body touches itself there, without thickness")
    if chosen.hollows:
        said.append(f"{count(chosen.hollows, 'closed hollow')} inside, kept as such")
    if chosen.inside:
        said.append("the body lies inside another one and faces outwards; a hollow would face inwards")
    return said


def _overlaps_once(geometry: Geometry, chosen: bodies.Body, corners: np.ndarray, within: bool) -> tuple[float, str]:
    """Volume [mm3] when overlaps count once, which is how the mesher takes crossings, and the change in words.

    Raises GeometryError where one shell crosses itself so much that its shape is not clear (`within`); whole shells may
    overlap as much as they like.
    """
    volume = bodies.wrapped_volume(corners)
    change = volume / chosen.volume - 1
    if within and abs(change) > OVERLAP:
        raise GeometryError(
            f"it crosses itself, and the overlaps hold {abs(change):.0%} of the volume: not one clear shape",
            where=str(geometry.path),
            do=REDRAW,
        )
    return volume, f"crossings left to the mesher, which counts overlaps once: the volume changes by {change:+.2%}"
