"""Small vocabulary for drawing solids in code: rounded profiles, plates, holes, fillets. Lengths in mm.

Every function takes and gives solids of the CAD kernel, which netgen binds without types (hence `Shape`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any, Literal

from netgen.occ import ArcOfCircle, Box, Cylinder, Dir, Face, Pnt, Segment, Vec, Wire

Shape = Any
Corner = tuple[float, float, float]  # position in the plane and the radius of the corner [mm]
Plane = Literal["xy", "xz", "yz"]
Where = Callable[[Any], bool]

NEAR = 1e-6  # [mm] far below any drawn length, above the kernel's own 1e-7


def _place(plane: Plane, u: float, v: float, w: float) -> Any:
    """Point of the kernel at (u, v) [mm] in a plane, w [mm] along its normal."""
    return {"xy": Pnt(u, v, w), "xz": Pnt(u, w, v), "yz": Pnt(w, u, v)}[plane]


def _corner(before: Corner, here: Corner, after: Corner) -> list[tuple[float, float]]:
    """Start, middle and end (3, 2) [mm] of the arc that rounds a corner; the corner alone (1, 2) if its radius is 0."""
    (x, y, radius) = here
    if radius == 0.0:
        return [(x, y)]
    ends = []
    for other in (before, after):
        length = math.hypot(other[0] - x, other[1] - y)
        ends.append(((other[0] - x) / length, (other[1] - y) / length))
    (ax, ay), (bx, by) = ends
    half = math.acos(max(-1.0, min(1.0, ax * bx + ay * by))) / 2
    cut = radius / math.tan(half)
    norm = math.hypot(ax + bx, ay + by)
    rise = (radius / math.sin(half) - radius) / norm
    return [(x + cut * ax, y + cut * ay), (x + rise * (ax + bx), y + rise * (ay + by)), (x + cut * bx, y + cut * by)]


def profile(corners: Sequence[Corner], plane: Plane, at: float = 0.0) -> Shape:
    """Face in a plane `at` [mm] on its normal, bounded by a polygon with corners (n, 3) [mm] rounded by their radii."""
    n = len(corners)
    bends = [_corner(corners[i - 1], corners[i], corners[(i + 1) % n]) for i in range(n)]
    edges = []
    for i, bend in enumerate(bends):
        if len(bend) == 3:
            edges.append(ArcOfCircle(*(_place(plane, u, v, at) for u, v in bend)))
        start, end = bend[-1], bends[(i + 1) % n][0]
        ahead = [corners[(i + 1) % n][k] - corners[i][k] for k in (0, 1)]
        if (end[0] - start[0]) * ahead[0] + (end[1] - start[1]) * ahead[1] < -NEAR:
            raise AssertionError(f"the radii of {corners[i]} and {corners[(i + 1) % n]} leave no edge between them")
        if math.dist(start, end) > NEAR:
            edges.append(Segment(_place(plane, *start, at), _place(plane, *end, at)))
    return Face(Wire(edges))


def plate(corners: Sequence[Corner], plane: Plane, low: float, high: float) -> Shape:
    """Solid from `low` to `high` [mm] along the normal of a plane, its outline a rounded polygon (n, 3) [mm]."""
    along = {"xy": Vec(0, 0, 1), "xz": Vec(0, 1, 0), "yz": Vec(1, 0, 0)}[plane]
    return profile(corners, plane, low).Extrude((high - low) * along)


def rectangle(u: tuple[float, float], v: tuple[float, float], radius: float) -> list[Corner]:
    """Corners (4, 3) [mm] of a rectangle from u[0] to u[1] and v[0] to v[1] [mm] with one corner radius [mm]."""
    return [(u[0], v[0], radius), (u[1], v[0], radius), (u[1], v[1], radius), (u[0], v[1], radius)]


def mirrored(half: Sequence[Corner]) -> list[Corner]:
    """The other half (n, 3) [mm] of an outline symmetric about its first axis, in running order."""
    return [(u, -v, radius) for u, v, radius in reversed(half)]


def turned(corners: Sequence[Corner], *angles: float) -> list[Corner]:
    """Corners (n, 3) [mm] turned about the origin of their plane, once for each of the angles [degrees]."""
    out = []
    for angle in angles:
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        out += [(c * u - s * v, s * u + c * v, radius) for u, v, radius in corners]
    return out


def block(low: tuple[float, float, float], high: tuple[float, float, float]) -> Shape:
    """Box between two corners [mm]."""
    return Box(Pnt(*low), Pnt(*high))


def rod(start: tuple[float, float, float], axis: Literal["x", "y", "z"], radius: float, length: float) -> Shape:
    """Cylinder of `radius` and `length` [mm] from the centre of its first end [mm] along an axis; also used to bore."""
    return Cylinder(Pnt(*start), {"x": Dir(1, 0, 0), "y": Dir(0, 1, 0), "z": Dir(0, 0, 1)}[axis], r=radius, h=length)


def fused(first: Shape, *others: Shape) -> Shape:
    """Union as one solid."""
    for other in others:
        first = first + other
    return one(first)


def cut(body: Shape, *tools: Shape) -> Shape:
    """Body less the tools, as one solid."""
    for tool in tools:
        body = body - tool
    return one(body)


def one(shape: Shape) -> Shape:
    """The single solid in a shape; a drawing that falls apart is a fault of this package."""
    solids = list(shape.solids)
    if len(solids) != 1:
        raise AssertionError(f"the drawing has {len(solids)} solids instead of one")
    return solids[0]


def filleted(body: Shape, radius: float, where: Where, count: int | None = None) -> Shape:
    """Body with the edges for which `where(edge)` holds rounded to `radius` [mm]; `count` edges if stated."""
    edges = [edge for edge in _distinct(body.edges) if where(edge)]
    if not edges or (count is not None and len(edges) != count):
        raise AssertionError(f"{len(edges)} edges to round instead of {count or 'some'}")
    return one(body.MakeFillet(edges, radius))


def _distinct(edges: Any) -> list[Any]:
    """Each edge once: the kernel lists an edge once for every face it bounds."""
    seen: dict[tuple[float, ...], Any] = {}
    for edge in edges:
        key = tuple(round(v, 5) for v in (*_xyz(edge.center), edge.mass))
        seen.setdefault(key, edge)
    return list(seen.values())


def _xyz(point: Any) -> tuple[float, float, float]:
    return (point.x, point.y, point.z)


def in_plane(axis: int, value: float) -> Where:
    """Edges that lie in the plane where coordinate number `axis` equals `value` [mm]."""

    def test(edge: Any) -> bool:
        places = (_xyz(edge.start), _xyz(edge.end), _xyz(edge.center))
        return all(abs(place[axis] - value) < 1e-4 for place in places)

    return test


def inside(low: tuple[float, float, float], high: tuple[float, float, float]) -> Where:
    """Edges whose start, end and centre lie in a box [mm]."""

    def test(edge: Any) -> bool:
        places = (_xyz(edge.start), _xyz(edge.end), _xyz(edge.center))
        return all(lo - 1e-4 <= p <= hi + 1e-4 for place in places for lo, p, hi in zip(low, place, high, strict=True))

    return test
