"""Walls and infill: a part printed hollow as two zones of one solid.

A point lies in the wall where its distance to the skin is at most the stated wall, bottom and top layers included. The
infill is taken as an even solid of the same anisotropy, softer and weaker by two shares of the solid print: measured
ones, or those of an open-cell foam.

All criteria grow with stress in proportion. Stress is therefore reckoned everywhere as the solid print would bear it,
and in the infill multiplied by stiffness over strength, `Sampler.worked`: nothing else of the judging changes.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numba import njit
from numpy.typing import NDArray

from printworthy.errors import CardError, TextError
from printworthy.inputs import LAW_RANGE, Fill
from printworthy.results import MeshReport
from printworthy.shape import Solid
from printworthy.strength.recover import Sampler
from printworthy.strength.space import Space

Array = NDArray[np.float64]
LAW = (
    "open-cell foam, E/Es = r^2 and strength 0.3 r^1.5 of the solid's: Gibson and Ashby, Cellular Solids, 2nd ed. 1997 "
    "(from memory)"
)
LAYERS = 2.0  # of quadrature points through the wall, below which its bending is coarse


def foam_shares(density: float) -> tuple[float, float]:
    """Stiffness and strength [-] of an open-cell foam of a relative density [-], as shares of its solid's.

    E/Es = r^2 and, by plastic collapse, 0.3 r^1.5. Source: Gibson and Ashby, Cellular Solids, 2nd ed. 1997, chapter 5
    (from memory). Valid from 0.05, below which cells buckle first, to 0.3, above which it is a solid with holes;
    CardError outside. The build's own pattern is stiffer along its walls: the law is a cautious stand-in, not a fit.

    >>> foam_shares(0.25)
    (0.0625, 0.0375)
    """
    low, high = LAW_RANGE
    if not low <= density <= high:
        raise CardError(f"no law is known for infill of {density:.3g}: it holds from {low:g} to {high:g}")
    return density**2, 0.3 * density**1.5


def shares(fill: Fill) -> tuple[float, float]:
    """Stiffness and strength [-] of the infill: as measured, else by the law. CardError outside the law's range."""
    if fill.stiffness is not None and fill.strength is not None:
        return fill.stiffness, fill.strength
    return foam_shares(fill.density)


def zoned(sp: Space, sam: Sampler, fill: Fill | None) -> Sampler:
    """The sampler of a part printed with walls and infill; of a solid one for None. Raises CardError as `shares`.

    A quadrature point stands for a cube of its weight, which may lie in both zones: it then takes the mean stiffness,
    and is judged as the zone that is worse at its strain.
    """
    if fill is None:
        return replace(sam, stiff=sam.weights, filled=np.ones(len(sam.weights)), worked=np.ones(len(sam.points)))
    stiffness, strength = shares(fill)
    cell = np.cbrt(sam.weights)
    depth = skin_distance(sp.solid, sam.points[: len(cell)], fill.wall + cell.max())
    near = np.maximum(0.0, depth - 0.5 * cell)  # the cube reaches from here
    wall = np.clip((fill.wall - near) / (depth + 0.5 * cell - near), 0.0, 1.0)
    worked = np.where(wall == 1, 1.0, np.where(wall == 0, stiffness / strength, max(1.0, stiffness / strength)))
    return replace(
        sam,
        stiff=sam.weights * (wall + (1 - wall) * stiffness),
        filled=wall + (1 - wall) * fill.density,
        worked=np.concatenate([worked, np.ones(len(sam.skin))]),
    )


def wall_share(sam: Sampler, fill: Fill | None) -> Array:
    """Share (q,) [-] of what each quadrature point stands for that is wall; `sam` as `zoned` made it."""
    return np.ones(len(sam.weights)) if fill is None else (sam.filled - fill.density) / (1 - fill.density)


def skin_distance(solid: Solid, points: Array, most: float) -> Array:
    """Distance (n,) [mm] of points (n, 3) to the facets of the mesh's skin, or `most` where that is less."""
    corners = np.ascontiguousarray(solid.corners)
    centres = corners.mean(axis=1)
    radii = np.linalg.norm(corners - centres[:, None], axis=2).max(axis=1)
    found: Array = _distances(np.ascontiguousarray(points), corners, centres, radii, most)
    return found


def point_layers(sam: Sampler, fill: Fill) -> float:
    """Layers of quadrature points through the wall: wall over the edge of a cube with the weight of those in it."""
    inside = sam.filled[: len(sam.weights)] > fill.density
    return float(fill.wall / np.cbrt(np.median(sam.weights[inside]))) if inside.any() else 0.0


def wall_report(report: MeshReport, sam: Sampler, fill: Fill | None) -> MeshReport:
    """The mesh report of a part with its walls counted: the elements through the thinnest, and a warning if too few.

    Raises TextError where the walls leave no room for infill.
    """
    if fill is None:
        return report
    if float(sam.filled.min()) == 1:
        what, do = f"no place lies deeper than its wall of {fill.wall:g} mm", "Leave out [fill]: such a print is solid"
        raise TextError(what, where=fill.place or "", do=do)
    layers = point_layers(sam, fill)
    across = min(report.across, fill.wall / report.element_size)
    if layers >= LAYERS:
        return replace(report, across=across)
    words = (
        f"the printed wall of {fill.wall:.3g} mm holds {layers:.1f} layers of quadrature points, {LAYERS:g} wanted: an "
        f"element_size of {report.element_size * layers / LAYERS:.2g} mm would give them"
    )
    return replace(report, across=across, warnings=(*report.warnings, words))


@njit(cache=True)
def _distances(points, corners, centres, radii, most):  # type: ignore[no-untyped-def]
    found = np.full(len(points), most)
    for i in range(len(points)):
        p = points[i]
        nearest = most
        for k in range(len(corners)):
            x, y, z = p[0] - centres[k, 0], p[1] - centres[k, 1], p[2] - centres[k, 2]
            reach = nearest + radii[k]
            if x * x + y * y + z * z < reach * reach:
                nearest = min(nearest, _to_triangle(p, corners[k, 0], corners[k, 1], corners[k, 2]))
        found[i] = nearest
    return found


@njit(cache=True)
def _to_triangle(p, a, b, c):  # type: ignore[no-untyped-def]
    """Distance to a triangle: to its plane where the foot lies inside, else to the nearest edge (textbook)."""
    u, v, w = b - a, c - a, p - a
    uu, uv, vv = np.dot(u, u), np.dot(u, v), np.dot(v, v)
    wu, wv = np.dot(w, u), np.dot(w, v)
    area = uu * vv - uv * uv
    if area > 0.0:
        s, t = (vv * wu - uv * wv) / area, (uu * wv - uv * wu) / area
        if s >= 0.0 and t >= 0.0 and s + t <= 1.0:
            off = w - s * u - t * v
            return np.sqrt(np.dot(off, off))
    return min(_to_edge(p, a, b), _to_edge(p, b, c), _to_edge(p, c, a))


@njit(cache=True)
def _to_edge(p, a, b):  # type: ignore[no-untyped-def]
    along, away = b - a, p - a
    size = np.dot(along, along)
    place = min(1.0, max(0.0, np.dot(away, along) / size)) if size > 0.0 else 0.0
    off = away - place * along
    return np.sqrt(np.dot(off, off))
