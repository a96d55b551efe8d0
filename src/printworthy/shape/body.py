"""Triangle files (STL, OBJ, PLY, 3MF): the chosen body, checked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from printworthy.errors import BodyNeeded, GeometryError
from printworthy.inputs import Geometry, Vector
from printworthy.results import BodyReport, ShapeReport
from printworthy.shape import bodies, mending, obj, patches, ply, raw, scale, stl, threemf
from printworthy.shape.source import Source, Surface
from printworthy.shape.topology import crossings, edges
from printworthy.shape.triangles import weld

CROSSING = 1e-7  # of the diagonal: a crossing less deep than the file's precision is none
MEND = "Repair it where it was drawn, or permit mend = true"
REDRAW = "Repair it where it was drawn"
LISTED = 8
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
    given, size = _parsed(geometry, data, kind)
    skin = _skin(geometry, given, size)
    number = choose(geometry, body_reports(skin.bodies, skin.names), _nothing_closed(geometry, skin))
    chosen = skin.bodies[number - 1]
    found, mended = list(skin.found), list(skin.mended)
    triangles = skin.tidy.triangles.copy()
    if len(chosen.inward):
        triangles[chosen.inward] = triangles[chosen.inward][:, ::-1]
        found.append(f"{len(chosen.inward)} triangles face inwards, so that the volume is negative")
        mended.append(f"{len(chosen.inward)} triangles turned outwards")
    own = triangles[chosen.triangles]
    volume = _sound(geometry, skin, chosen, own, found, mended)
    found += scale.check_size(geometry, chosen.high - chosen.low, size, f"body {number}" if len(skin.bodies) > 1 else "the part")
    used, index = np.unique(own, return_inverse=True)
    points, own = skin.points[used], index.reshape(-1, 3)
    surface = Surface(points, own, patches.grow(points, own), np.full(len(own), -1))
    report = ShapeReport(
        file=geometry.path.name, sha256=raw.sha256(data), kind=kind, unit=size.unit, unit_source=size.source,
        low=vector(points.min(axis=0)), high=vector(points.max(axis=0)), volume=volume, area=surface.area, triangles=len(own),
        cad_faces=0, bodies=body_reports(skin.bodies, skin.names), body=number, found=tuple(found), mended=tuple(mended),
    )  # fmt: skip
    return Source(report, surface)


def _parsed(geometry: Geometry, data: bytes, kind: str) -> tuple[raw.Raw, scale.Scale]:
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
        raise GeometryError("all triangles lie back to back: a sheet without thickness", where=str(geometry.path),
                            do="Give the part its thickness in CAD")  # fmt: skip
    if geometry.mend and len(tidy.edges.gaps):
        tidy = _closed(geometry, points, tidy, found, mended)
    depth = CROSSING * float(np.linalg.norm(box))
    cross = crossings(points, tidy.triangles, depth)
    parts = bodies.split(points, tidy.triangles, tidy.edges, cross if geometry.mend else None)
    names = _names(given, tidy, parts)
    return Skin(points, tidy, cross, parts, names, tuple(found), tuple(mended))


def _closed(geometry: Geometry, points: np.ndarray, tidy: mending.Tidy, found: list[str], mended: list[str]) -> mending.Tidy:
    volume = float(abs(Surface(points, tidy.triangles, tidy.number, tidy.number).volume))
    closing = mending.close(points, tidy.triangles, tidy.edges.gaps, volume)
    if closing.refused:
        raise GeometryError(f"{len(tidy.edges.gaps)} open edges that mending cannot honestly close ({closing.refused})",
                            where=str(geometry.path), do=REDRAW)  # fmt: skip
    found.append(f"{len(tidy.edges.gaps)} open edges")
    mended.append(closing.words)
    triangles = np.concatenate([tidy.triangles, closing.triangles])
    number = np.concatenate([tidy.number, np.full(len(closing.triangles), tidy.number[0])])
    return mending.Tidy(triangles, number, edges(points, triangles), tidy.found, tidy.mended, tidy.one_sided)


def _names(given: raw.Raw, tidy: mending.Tidy, parts: list[bodies.Body]) -> tuple[str, ...]:
    if given.piece is None:
        return tuple("" for _ in parts)
    return tuple(given.names[given.piece[tidy.number[p.triangles[0]]]] for p in parts)


def _nothing_closed(geometry: Geometry, skin: Skin) -> GeometryError | None:
    """The error to give instead of a list of bodies when the pieces are torn and no body could be chosen anyway."""
    open_pieces = len(skin.bodies) if len(skin.tidy.edges.gaps) else 0
    if not open_pieces or geometry.body is not None:
        return None
    return GeometryError(f"not closed: {_edge_words(skin.tidy.edges)} in {_pieces(open_pieces)}", where=str(geometry.path), do=MEND)


def _pieces(count: int) -> str:
    return "one piece" if count == 1 else f"{count} pieces"


def _edge_words(found: object) -> str:
    gaps, unbalanced = len(found.gaps), found.unbalanced  # type: ignore[attr-defined]
    words = [f"{gaps} open edges"] if gaps else []
    words += [f"{unbalanced} edges where more than two triangles meet without closing"] if unbalanced else []
    return " and ".join(words)


def choose(geometry: Geometry, found: Sequence[BodyReport], torn: GeometryError | None = None) -> int:
    """Number of the body to use. Raises BodyNeeded with a list, GeometryError for a number that is not there."""
    where = f"{geometry.place or geometry.path} (body)"
    if geometry.body is not None:
        if not 1 <= geometry.body <= len(found):
            raise GeometryError(f"body {geometry.body} is stated, the file has {len(found)}", where=where,
                                do=f"State body = 1 to {len(found)}")  # fmt: skip
        return geometry.body
    if torn is not None:
        raise torn
    if len(found) == 1:
        return 1
    lines = [f"{b.number}{f' {b.name!r}' if b.name else ''} ({b.volume:.4g} mm3, {scale.in_words(np.subtract(b.high, b.low))})" for b in found[:LISTED]]
    more = f", and {len(found) - LISTED} more" if len(found) > LISTED else ""
    raise BodyNeeded(f"{len(found)} bodies and none is named: {', '.join(lines)}{more}", where=where,
                     do="State body = number; bodies that are one part must be joined in CAD"
                     + ("" if geometry.mend else ", or overlapping ones by mend = true"))  # fmt: skip


def body_reports(found: Sequence[bodies.Body], names: Sequence[str]) -> tuple[BodyReport, ...]:
    """Records of the bodies, numbered from 1 by falling volume."""
    return tuple(BodyReport(k + 1, b.volume, vector(b.low), vector(b.high), n) for k, (b, n) in enumerate(zip(found, names, strict=True)))


def vector(values: np.ndarray) -> Vector:
    """Three plain floats."""
    x, y, z = (float(v) for v in values)
    return (x, y, z)


def _sound(geometry: Geometry, skin: Skin, chosen: bodies.Body, own: np.ndarray, found: list[str], mended: list[str]) -> float:
    """Volume [mm3] of a body that bounds a solid. Raises GeometryError with everything that is wrong with it."""
    where = str(geometry.path)
    edge = edges(skin.points, own)
    if skin.tidy.one_sided:
        raise GeometryError("a one-sided surface: no turning makes its triangles agree which side is out", where=where, do=REDRAW)
    if not edge.closed:
        raise GeometryError(f"not closed: {_edge_words(edge)}", where=where, do=REDRAW if geometry.mend else MEND)
    if len(edge.crowded):
        found.append(f"{len(edge.crowded)} edges where more than two triangles meet: the body touches itself there without thickness")
    if chosen.hollows:
        found.append(f"{chosen.hollows} closed hollows inside (kept as hollows)")
    if chosen.inside:
        found.append("the body lies inside another one and faces outwards; a hollow would face inwards")
    size = chosen.high - chosen.low
    area = Surface(skin.points, own, own, own).area
    if chosen.volume <= bodies.SHEET * float(size.max()) * area:
        raise GeometryError("it encloses no volume: a sheet without thickness", where=where, do="Give the part its thickness in CAD")
    mine = np.isin(skin.cross, chosen.triangles).all(axis=1) if len(skin.cross) else np.zeros(0, bool)
    if not (crossing := int(mine.sum())):
        return chosen.volume
    if not geometry.mend:
        raise GeometryError(f"{crossing} pairs of triangles cross each other, so that inside and outside are not clear", where=where, do=MEND)
    return _overlaps_once(where, skin, chosen, own, crossing, found, mended)


def _overlaps_once(where: str, skin: Skin, chosen: bodies.Body, own: np.ndarray, crossing: int, found: list[str], mended: list[str]) -> float:
    """Volume [mm3] when overlaps count once, which is how the mesher takes crossings. Raises GeometryError if it differs much."""
    volume = bodies.wrapped_volume(skin.points[own])
    change = volume / chosen.volume - 1
    found.append(f"{crossing} pairs of triangles cross each other")
    if abs(change) > OVERLAP:
        raise GeometryError(f"{crossing} pairs of triangles cross and the overlaps hold {abs(change):.0%} of the volume: not one clear shape",
                            where=where, do=REDRAW)  # fmt: skip
    mended.append(f"crossings left to the mesher, which counts what overlaps once: the volume changes by {change:+.2%}")
    return volume
