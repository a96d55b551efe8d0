"""Named faces: facets of the skin chosen by geometry, never by number."""

from __future__ import annotations

import numpy as np

from printworthy.errors import SelectorError
from printworthy.inputs import CylinderSelector, Face, PlaneSelector
from printworthy.shape.source import Solid, normals


def select(solid: Solid, face: Face) -> np.ndarray:
    """Facet numbers (k,) of a named face. Raises SelectorError."""
    match face.selector:
        case CylinderSelector() as s:
            chosen = _cylinder(solid, s)
        case PlaneSelector() as s:
            chosen = _plane(solid, s)
        case _:
            raise SelectorError("kind of selector not supported yet", where=face.name)
    if not chosen.any():
        raise SelectorError("nothing matches", where=face.name)
    return np.flatnonzero(chosen)


def _cylinder(solid: Solid, s: CylinderSelector) -> np.ndarray:
    axis = np.asarray(s.axis) / np.linalg.norm(s.axis)
    corners = solid.corners - np.asarray(s.point)
    along = corners @ axis
    radius = np.linalg.norm(corners - along[..., None] * axis, axis=2)
    tolerance = s.tolerance or 0.02 * s.radius
    middle = along.mean(axis=1)
    on = (np.abs(radius - s.radius) < tolerance).all(axis=1) & (np.abs(normals(solid.corners) @ axis) < 0.1)
    low = -np.inf if s.low is None else s.low
    high = np.inf if s.high is None else s.high
    return np.asarray(on & (middle >= low) & (middle <= high))


def _plane(solid: Solid, s: PlaneSelector) -> np.ndarray:
    normal = np.asarray(s.normal) / np.linalg.norm(s.normal)
    off = np.abs((solid.corners - np.asarray(s.point)) @ normal).max(axis=1)
    return np.asarray((off < (s.tolerance or 1e-3)) & (normals(solid.corners) @ normal > 0.99))
