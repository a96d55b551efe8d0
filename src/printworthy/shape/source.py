"""What `shape` hands on: a checked surface, a checked body, a meshed solid. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from printworthy.results import MeshReport, ShapeReport


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """Triangles with outward corners counter-clockwise: points (n, 3) [mm], triangles (m, 3), patches (m,) smooth-patch
    numbers from 0, faces (m,) CAD face numbers from 0 (-1 where there is no CAD)."""

    points: np.ndarray
    triangles: np.ndarray
    patches: np.ndarray
    faces: np.ndarray

    @property
    def corners(self) -> np.ndarray:
        """Corners of every triangle (m, 3, 3) [mm]."""
        return np.asarray(self.points[self.triangles])

    @property
    def volume(self) -> float:
        """Signed volume [mm3], positive when the triangles face outwards (divergence theorem)."""
        return signed_volume(self.corners)

    @property
    def area(self) -> float:
        """Area [mm2]."""
        return float(areas(self.corners).sum())


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """One body of a geometry file, in mm. `cad` says where the CAD kernel finds it again, where there is CAD;
    `surface` is always there."""

    report: ShapeReport
    surface: Surface
    cad: Any = None


@dataclass(frozen=True, slots=True, eq=False)
class Solid:
    """The meshed body. `mesh`: ngsolve mesh, curved to second order for CAD; points (n, 3) [mm]; tets (m, 4); facets
    (k, 3) vertex numbers in the order of the mesh's boundary elements; patches (k,) smooth-patch numbers; origin
    (k,) the triangle of `surface` each facet lies on (-1 for CAD); `envelope` [mm] how far the skin may lie from
    `surface`; volume [mm3]."""

    mesh: Any
    points: np.ndarray
    tets: np.ndarray
    facets: np.ndarray
    patches: np.ndarray
    origin: np.ndarray
    surface: Surface
    envelope: float
    volume: float
    report: MeshReport
    shape: ShapeReport

    @property
    def corners(self) -> np.ndarray:
        """Corners of every facet (k, 3, 3) [mm]."""
        return np.asarray(self.points[self.facets])


def areas(corners: np.ndarray) -> np.ndarray:
    """Areas (m,) [mm2] of triangles given as corners (m, 3, 3) [mm]."""
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return np.asarray(0.5 * np.linalg.norm(cross, axis=1))


def normals(corners: np.ndarray) -> np.ndarray:
    """Unit normals (m, 3) of triangles given as corners (m, 3, 3) [mm]; zero for a triangle without area."""
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(cross, axis=1, keepdims=True)
    return np.asarray(np.divide(cross, length, out=np.zeros_like(cross), where=length > 0))


def signed_volume(corners: np.ndarray) -> float:
    """Signed volume [mm3] enclosed by triangles (m, 3, 3) [mm]: sum of tetrahedra to the middle (divergence
    theorem)."""
    if not len(corners):
        return 0.0
    c = corners - corners.reshape(-1, 3).mean(axis=0)
    return float(np.einsum("ij,ij->i", c[:, 0], np.cross(c[:, 1], c[:, 2])).sum() / 6.0)
