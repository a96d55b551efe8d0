"""Round holes and bearing faces: which named faces are round, and how they stand to the layers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from printworthy.inputs import CylinderSelector, Face, Vector
from printworthy.making.skin import Cornered


@dataclass(frozen=True, slots=True)
class Round:
    """A named round face: unit axis, radius [mm], and whether it is a hole (its skin looks at the axis) or a shaft."""

    name: str
    axis: Vector
    radius: float
    hole: bool


def round_faces(body: Cornered, faces: Mapping[str, Face], facets: Mapping[str, np.ndarray]) -> tuple[Round, ...]:
    """The faces chosen as cylinders; `facets` holds the facet numbers (k,) each of them matched."""
    found = []
    for name, face in faces.items():
        s = face.selector
        if not isinstance(s, CylinderSelector):
            continue
        axis = np.asarray(s.axis, dtype=float)
        axis /= np.linalg.norm(axis)
        corners = np.asarray(body.corners)[facets[name]]
        out = corners.mean(axis=1) - np.asarray(s.point)
        out -= np.outer(out @ axis, axis)
        looks = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        x, y, z = (float(c) for c in axis)
        found.append(Round(name, (x, y, z), s.radius, bool(np.einsum("ij,ij->", looks, out) < 0)))
    return tuple(found)


def angles(rounds: tuple[Round, ...], directions: np.ndarray) -> np.ndarray:
    """Angles (N, R) [deg], 0 to 90, between build directions (N, 3) and the axes of R round faces.

    At 0 every layer is a full circle; at 90 the hole is a tunnel whose roof sags.
    """
    axes = np.array([r.axis for r in rounds], dtype=float).reshape(-1, 3)
    cross = np.linalg.norm(np.cross(directions[:, None], axes[None]), axis=2)
    return np.degrees(np.arctan2(cross, np.abs(directions @ axes.T)))  # sharp at both ends, unlike the arc cosine
