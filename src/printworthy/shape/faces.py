"""Named faces: facets of the skin chosen by geometry, never by number.

Which surface a facet belongs to is asked of the source: of the CAD face's own triangles or points, or of those of the
file, whose corners lie exactly where they were exported, and is handed on to the facets that lie on them. So a
selector means the same on STEP and on STL. What cuts a surface short (low and high of a cylinder, a box) is asked
of the middle of each facet, or for a box of its corners; the cut is therefore as ragged as the facets are large.
"""

from __future__ import annotations

import numpy as np

from printworthy.errors import SelectorError
from printworthy.inputs import BoxSelector, CylinderSelector, Face, NearestSelector, PatchSelector, PlaneSelector
from printworthy.shape.boxes import to_triangle
from printworthy.shape.source import Solid, normals
from printworthy.shape.words import at, count

# Default tolerances: what people round to when they write a radius or a position.
RADIUS_SHARE, RADIUS_LEAST, RADIUS_MOST = 0.01, 0.02, 0.1  # of the radius; [mm]; [mm]
PLANE_SHARE, PLANE_LEAST = 2e-4, 0.01  # of the part's diagonal; [mm]
ALIGNED = np.cos(np.radians(2.0))  # a plane's facets
UPRIGHT = np.cos(np.radians(25.0))
ASIDE = np.sin(np.radians(10.0))  # a cylinder's facets may lean this much beyond their own chord
FACETS_OF_A_ROUND = 6  # fewer at one radius are a coincidence
REACH_SHARE = 1e-3  # of the diagonal: how far from a patch its point may be written


def select(solid: Solid, face: Face) -> np.ndarray:
    """Facet numbers (k,) of a named face, ascending.

    Raises SelectorError where nothing matches, saying what lies near, or where another number of smooth patches matches
    than `face.patches` says.
    """
    match face.selector:
        case CylinderSelector() as s:
            chosen, near = _cylinder(solid, s)
        case PlaneSelector() as s:
            chosen, near = _plane(solid, s)
        case PatchSelector() as s:
            chosen, near = _patch(solid, s)
        case NearestSelector() as s:
            chosen, near = solid.patches == _nearest_patch(solid, np.asarray(s.point))[0], ""
        case BoxSelector() as s:
            chosen, near = _box(solid, s)
    where = str(face.place) if face.place else f"face '{face.name}'"
    if not chosen.any():
        raise SelectorError(
            f"face '{face.name}' matches no part of the surface; {near}", where=where, do="Correct the selector"
        )
    matched = len(np.unique(solid.patches[chosen]))
    if face.patches is not None and matched != face.patches:
        raise SelectorError(
            f"face '{face.name}' matches {count(matched, 'smooth patch', 'smooth patches')}, {face.patches} stated",
            where=where,
            do="Narrow the selector, or state patches as found",
        )
    return np.flatnonzero(chosen)


def _source(solid: Solid) -> np.ndarray:
    """Corners of what decides on surfaces: facets on CAD, source triangles otherwise."""
    return solid.corners if _on_cad(solid) else solid.surface.corners


def _on_cad(solid: Solid) -> bool:
    return bool((solid.origin < 0).all())


def _handed_on(solid: Solid, chosen: np.ndarray) -> np.ndarray:
    return chosen if _on_cad(solid) else np.asarray(chosen[solid.origin])


def _diagonal(solid: Solid) -> float:
    return float(np.linalg.norm(np.ptp(solid.points, axis=0)))


def _cylinder(solid: Solid, s: CylinderSelector) -> tuple[np.ndarray, str]:
    axis = np.asarray(s.axis, dtype=float) / np.linalg.norm(s.axis)
    point = np.asarray(s.point)
    radius, lean, sag = _round_about(solid.surface.corners, point, axis)
    tolerance = (
        s.tolerance if s.tolerance is not None else float(np.clip(RADIUS_SHARE * s.radius, RADIUS_LEAST, RADIUS_MOST))
    )
    # Corners lie on the circle; outside it by up to the sag of their chord where an exporter kept the area.
    outside = 0.0 if _on_cad(solid) else sag[:, None]
    off = radius - s.radius
    is_round = lean & ((off >= -tolerance) & (off <= tolerance + outside)).all(axis=1)
    if _on_cad(solid):
        there = np.abs(_round_about(solid.corners, point, axis)[0] - s.radius) <= tolerance
        round_here = there.all(axis=1) & _mostly(solid, is_round)
    else:
        round_here = is_round[solid.origin]
    along = (solid.corners.mean(axis=1) - np.asarray(s.point)) @ axis
    low, high = -np.inf if s.low is None else s.low, np.inf if s.high is None else s.high
    chosen = round_here & (along >= low) & (along <= high)
    if chosen.any():
        return chosen, ""
    if round_here.any():
        a, b = along[round_here].min(), along[round_here].max()
        return (
            chosen,
            f"the cylinder of this radius lies from {a:.4g} to {b:.4g} mm along the axis, not within low and high",
        )
    return chosen, _radii(radius[lean], s.radius)


def _mostly(solid: Solid, chosen: np.ndarray) -> np.ndarray:
    """Facets (k,) of the patches of which the chosen triangles (m,) of the CAD kernel make more than half of the area.
    A facet itself does not tell: in a coarse hole one with corners at three angles and heights leans far from the wall.
    """
    edges = solid.surface.corners[:, 1:] - solid.surface.corners[:, :1]
    area = np.linalg.norm(np.cross(edges[:, 0], edges[:, 1]), axis=1)
    share = np.bincount(solid.surface.patches, area * chosen) / np.bincount(solid.surface.patches, area)
    return np.asarray(share[solid.patches] > 0.5)


def _round_about(corners: np.ndarray, point: np.ndarray, axis: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Radius of each corner (m, 3) [mm] about the axis, whether the triangle stands square to it (m,), sag of its
    chord (m,) [mm]."""
    offset = corners - point
    across = offset - (offset @ axis)[..., None] * axis
    radius = np.linalg.norm(across, axis=2)
    chord = np.linalg.norm(across - np.roll(across, 1, axis=1), axis=2).max(axis=1)
    mean = np.maximum(radius.mean(axis=1), 1e-12)
    sag = np.where(chord < mean, chord**2 / (8 * mean), 0.0)
    outward = across.mean(axis=1)
    outward = outward / np.maximum(np.linalg.norm(outward, axis=1, keepdims=True), 1e-12)
    unit = normals(corners)
    half_turn = np.clip(chord / (2 * mean), 0, 0.7)  # a facet of a chord leans by less than half its angle
    square = (np.abs(unit @ axis) < ASIDE) & (
        np.abs(np.einsum("ij,ij->i", unit, outward)) > np.cos(half_turn + np.arcsin(ASIDE))
    )
    return radius, square, sag


def _radii(found: np.ndarray, wanted: float) -> str:
    """In words, the radius nearest to the wanted one among triangles (m, 3) that stand square to the axis."""
    mean = found.mean(axis=1)
    radius = mean[np.ptp(found, axis=1) < 0.01 * mean]
    alike = np.array([(np.abs(radius - r) < 0.01 * r).sum() for r in radius])
    if not (alike >= FACETS_OF_A_ROUND).any():
        return "no surface is round about this axis"
    radius = radius[alike >= FACETS_OF_A_ROUND]
    nearest = radius[np.abs(radius - wanted).argmin()]
    return f"the nearest radius about this axis is {nearest:.5g} mm, {wanted:.5g} mm stated"


def _plane(solid: Solid, s: PlaneSelector) -> tuple[np.ndarray, str]:
    normal = np.asarray(s.normal, dtype=float) / np.linalg.norm(s.normal)
    corners = _source(solid)
    height = (corners - np.asarray(s.point)) @ normal
    tolerance = s.tolerance if s.tolerance is not None else max(PLANE_SHARE * _diagonal(solid), PLANE_LEAST)
    along = normals(corners) @ normal
    # A facet of a mesh may span an edge of the plane; one that leans over it is not of the plane.
    upright = normals(solid.corners) @ normal >= UPRIGHT
    chosen = upright & _handed_on(solid, (np.abs(height) <= tolerance).all(axis=1) & (along >= ALIGNED))
    if chosen.any():
        return chosen, ""
    flat = along >= ALIGNED
    if not flat.any():
        return chosen, "no facet faces this way"
    middle = height[flat].mean(axis=1)
    return (
        chosen,
        f"the nearest facets that face this way lie {middle[np.abs(middle).argmin()]:+.4g} mm off along the normal",
    )


def _nearest_patch(solid: Solid, point: np.ndarray) -> tuple[int, float]:
    """Number of the smooth patch nearest to a point and its distance [mm], measured on the source's triangles."""
    corners = solid.surface.corners
    distance = to_triangle(np.broadcast_to(point, (len(corners), 3)), corners)
    best = int(distance.argmin())
    return int(solid.surface.patches[best]), float(distance[best])


def _patch(solid: Solid, s: PatchSelector) -> tuple[np.ndarray, str]:
    number, distance = _nearest_patch(solid, np.asarray(s.point))
    tolerance = (
        s.tolerance
        if s.tolerance is not None
        else max(REACH_SHARE * _diagonal(solid), 2 * solid.envelope, _chord_sag(solid))
    )
    chosen = np.asarray((solid.patches == number) & (distance <= tolerance))
    return chosen, f"the surface nearest to {at(s.point)} is {distance:.3g} mm away"


def _chord_sag(solid: Solid) -> float:
    """How far a point on a curved CAD face may lie off its triangles [mm]: triangles of the kernel turn by up to 30
    degrees."""
    if not _on_cad(solid):
        return 0.0
    corners = solid.surface.corners
    edge = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).min(axis=1)
    return 0.1 * float(np.median(edge))


def _box(solid: Solid, s: BoxSelector) -> tuple[np.ndarray, str]:
    low, high = np.asarray(s.low), np.asarray(s.high)
    slack = max(solid.envelope, 1e-6 * _diagonal(solid))
    chosen = np.asarray(((solid.corners >= low - slack) & (solid.corners <= high + slack)).all(axis=(1, 2)))
    middle = solid.corners.mean(axis=1)
    gap = np.linalg.norm(np.maximum(np.maximum(low - middle, middle - high), 0), axis=1)
    best = int(gap.argmin())
    return chosen, f"no facet lies wholly in the box; the nearest one has its middle at {at(middle[best])}"
