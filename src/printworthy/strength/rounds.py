"""Planes, cylinders, spheres, cones and tori among the CAD faces of a mesh, known again from the nodes on them.

A second-order element follows a round only nearly: its curvature wavers, and with it the stress at a notch, by a few
per cent where three elements make a quarter of a hole. New nodes of a finer mesh are therefore put on the true surface
where the face is one of these. A face that is none of them keeps the shape the first mesh gave it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

Array = NDArray[np.float64]
NEAR = 1e-4  # of the radius (of the face for a plane): nodes of a true round lie far closer, those of others do not
ALONG = np.cos(np.radians(25.0))  # a circle of 12 sides turns by 15 degrees from the middle of a flat to its end
FEWEST = 9  # nodes: a cylinder has five parameters, so that fewer prove little
TURNS = 30  # most projections onto the faces that meet at an edge, in turn
STILL = 1e-12  # of the largest coordinate: a turn that moves no node by more was the last


@dataclass(frozen=True, slots=True, eq=False)
class Plane:
    """Through `point` (3,) [mm] square to `normal` (3,)."""

    point: Array
    normal: Array

    def project(self, p: Array) -> Array:
        """Nearest points (n, 3)."""
        return p - np.outer((p - self.point) @ self.normal, self.normal)

    def across(self, p: Array) -> Array:
        """Unit normals (n, 3), one way or the other."""
        return np.broadcast_to(self.normal, p.shape)


@dataclass(frozen=True, slots=True, eq=False)
class Sphere:
    """About `centre` (3,) with `radius` [mm]."""

    centre: Array
    radius: float

    def project(self, p: Array) -> Array:
        """Nearest points (n, 3)."""
        return self.centre + self.radius * self.across(p)

    def across(self, p: Array) -> Array:
        """Unit normals (n, 3), one way or the other."""
        away = p - self.centre
        return away / np.maximum(np.linalg.norm(away, axis=1, keepdims=True), 1e-300)


@dataclass(frozen=True, slots=True, eq=False)
class Turned:
    """A line or circle turned about an axis through `point` along `axis`: cylinder, cone, torus.

    `at` (2,), `along` (2,): a point of the line and its direction in (distance from the axis, place along it), or the
    centre of the circle and, with `radius` above 0, nothing.
    """

    point: Array
    axis: Array
    at: Array
    along: Array
    radius: float

    def project(self, p: Array) -> Array:
        """Nearest points (n, 3); those on the axis stay."""
        flat, out = polar(p, self.point, self.axis)
        if self.radius > 0:
            away = flat - self.at
            new = self.at + self.radius * away / np.maximum(np.linalg.norm(away, axis=1, keepdims=True), 1e-300)
        else:
            new = self.at + np.outer((flat - self.at) @ self.along, self.along)
        return self.point + new[:, :1] * out + new[:, 1:] * self.axis

    def across(self, p: Array) -> Array:
        """Unit normals (n, 3), one way or the other."""
        flat, out = polar(p, self.point, self.axis)
        n = flat - self.at if self.radius > 0 else np.broadcast_to([self.along[1], -self.along[0]], flat.shape)
        n = n / np.maximum(np.linalg.norm(n, axis=1, keepdims=True), 1e-300)
        return n[:, :1] * out + n[:, 1:] * self.axis


Surface = Plane | Sphere | Turned


def polar(p: Array, point: Array, axis: Array) -> tuple[Array, Array]:
    """(distance from the axis, place along it) (n, 2) [mm] of points, and the unit vectors (n, 3) out from the axis."""
    away = p - point
    place = away @ axis
    away = away - np.outer(place, axis)
    distance = np.linalg.norm(away, axis=1)
    return np.column_stack([distance, place]), away / np.maximum(distance, 1e-300)[:, None]


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """What is known of a face: nodes (n, 3) [mm] on it, middles (k, 3) [mm] and unit normals (k, 3) of its facets, and
    the least cosine between those and the normals of the surface."""

    nodes: Array
    middles: Array
    normals: Array
    along: float = ALONG

    def agrees(self, s: Surface) -> bool:
        """Whether its facets lie along a surface: two arcs lie on a cylinder and on a sphere, facets on only one."""
        return bool((np.abs(np.einsum("ij,ij->i", s.across(self.middles), self.normals)) > self.along).all())


def known(patches: Mapping[int, Patch]) -> dict[int, Surface]:
    """Surfaces by face number.

    Cones and tori are looked for about the axes of the cylinders: a countersink or fillet shares its hole's.
    """
    found: dict[int, Surface] = {}
    for face, p in patches.items():
        fits = (partial(plane, p.nodes), partial(cylinder, p.nodes, p.normals), partial(sphere, p.nodes))
        tried = (fit() for fit in fits)  # one after the other: most are planes, and those are told at once
        if (s := next((t for t in tried if t is not None and p.agrees(t)), None)) is not None:
            found[face] = s
    axes = [s for s in found.values() if isinstance(s, Turned)]
    for face, p in patches.items():
        for s in axes if face not in found else []:
            t = turned(p.nodes, s.point, s.axis)
            if t is not None and p.agrees(t):
                found[face] = t
                break
    return found


def plane(p: Array) -> Plane | None:
    """The plane through points, if they lie in one."""
    middle = p.mean(axis=0)
    _, size, axes = np.linalg.svd(p - middle, full_matrices=False)
    off = np.abs((p - middle) @ axes[-1]).max()
    return Plane(middle, axes[-1]) if off <= NEAR * 0.01 * size[0] / np.sqrt(len(p)) else None


def sphere(p: Array) -> Sphere | None:
    """The sphere through points, if they lie on one; linear least squares on |p|^2 = 2 c.p + d."""
    if len(p) < FEWEST:
        return None
    middle = p.mean(axis=0)
    q = p - middle
    answer = np.linalg.lstsq(np.column_stack([2 * q, np.ones(len(q))]), (q**2).sum(axis=1), rcond=None)[0]
    radius = float(np.sqrt(max(answer[3] + answer[:3] @ answer[:3], 0.0)))
    found = Sphere(middle + answer[:3], radius)
    return found if radius > 0 and _fits(p, found, radius) else None


def cylinder(p: Array, normals: Array) -> Turned | None:
    """The cylinder through points, if they lie on one. Axis across all normals, then least squares on all five."""
    if len(p) < FEWEST:
        return None
    middle = p.mean(axis=0)
    across, side, axis = np.linalg.svd(normals, full_matrices=True)[2]
    flat = np.column_stack([(p - middle) @ across, (p - middle) @ side])
    x, y, radius = circle(flat)

    def placed(v: Array) -> tuple[Array, Array]:
        tilted = axis + v[2] * across + v[3] * side
        return middle + v[0] * across + v[1] * side, tilted / np.linalg.norm(tilted)

    def gaps(v: Array) -> Array:
        return polar(p, *placed(v))[0][:, 0] - v[4]

    def slopes(v: Array) -> Array:
        flat, out = polar(p, *placed(v))
        off = out @ np.column_stack([across, side])
        tilt = flat[:, 1:] / np.hypot(1.0, np.hypot(v[2], v[3]))
        return -np.column_stack([off, tilt * off, np.ones(len(p))])

    start, scale = np.array([x, y, 0.0, 0.0, radius]), np.array([radius, radius, 1, 1, radius])
    v = least_squares(gaps, start, jac=slopes, x_scale=scale, method="lm").x
    point, tilted = placed(v)
    found = Turned(point, tilted, np.array([v[4], 0.0]), np.array([0.0, 1.0]), 0.0)
    return found if _fits(p, found, float(v[4])) else None


def turned(p: Array, point: Array, axis: Array) -> Turned | None:
    """The cone or torus about an axis through points, if they lie on one."""
    if len(p) < FEWEST:
        return None
    flat = polar(p, point, axis)[0]
    middle = flat.mean(axis=0)
    along = np.linalg.svd(flat - middle, full_matrices=False)[2][0]
    size = float(np.linalg.norm(np.ptp(flat, axis=0)))
    line = Turned(point, axis, middle, along, 0.0)
    if _fits(p, line, 0.1 * size):
        return line
    x, y, radius = circle(flat)
    round_ = Turned(point, axis, np.array([x, y]), np.zeros(2), radius)
    return round_ if radius > 0 and _fits(p, round_, min(radius, size)) else None


def circle(flat: Array) -> tuple[float, float, float]:
    """Centre and radius of the circle through points (n, 2); linear least squares on |p|^2 = 2 c.p + d."""
    middle = flat.mean(axis=0)
    q = flat - middle
    answer = np.linalg.lstsq(np.column_stack([2 * q, np.ones(len(q))]), (q**2).sum(axis=1), rcond=None)[0]
    x, y = middle + answer[:2]
    return float(x), float(y), float(np.sqrt(max(answer[2] + answer[:2] @ answer[:2], 0.0)))


def _fits(p: Array, s: Surface, radius: float) -> bool:
    return bool(np.linalg.norm(s.project(p) - p, axis=1).max() <= NEAR * radius)


def onto(nodes: Array, on: Sequence[tuple[int, NDArray[np.int64]]], surfaces: Mapping[int, Surface]) -> Array:
    """Nodes (n, 3) moved onto the surfaces of the faces they lie on: (face number, node numbers) pairs.

    A node on several faces is projected onto each in turn until it lies on all.
    """
    moved = nodes.copy()
    lies = np.zeros(len(nodes), dtype=int)
    for _, numbers in on:
        lies[numbers] += 1
    chosen = [(surfaces[face], numbers) for face, numbers in on if face in surfaces]
    for _ in range(TURNS):
        before = moved.copy()
        for surface, numbers in chosen:
            moved[numbers] = surface.project(moved[numbers])
        if np.abs(moved - before).max() <= STILL * np.abs(nodes).max():
            break
        chosen = [(surface, some) for surface, numbers in chosen if len(some := numbers[lies[numbers] > 1])]
    return moved
