"""Frozen records of what is computed about geometry files and meshes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from printworthy.inputs import Vector

FACE = "face "  # begins the names of the arrays of named faces
PLAIN = ("points", "triangles", "utilisation", "temperature", "patches")


@dataclass(frozen=True, slots=True)
class BodyReport:
    """One body of a file: its number (from 1), volume [mm3], box [mm]."""

    number: int
    volume: float
    low: Vector
    high: Vector
    name: str = ""


@dataclass(frozen=True, slots=True)
class ShapeReport:
    """What a geometry file holds, what is wrong, what was mended. Triangles 0 for CAD, cad_faces 0 for meshes."""

    file: str
    sha256: str
    kind: str
    unit: str
    unit_source: str
    low: Vector
    high: Vector
    volume: float
    area: float
    triangles: int
    cad_faces: int
    bodies: tuple[BodyReport, ...]
    body: int
    found: tuple[str, ...]
    mended: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MeshReport:
    """The tetrahedra: count, unknowns, size [mm], thin wall [mm] and elements across it, quality (1 best), volume
    error [-]."""

    mesher: str
    elements: int
    unknowns: int
    element_size: float
    thickness: float
    across: float
    worst_quality: float
    mean_quality: float
    volume_error: float
    curved: bool
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class SurfaceField:
    """The skin of the solid for pictures: points (n, 3) [mm], triangles (k, 3), utilisation (n,) over all cases of the
    chosen option, and for each named face its triangle numbers; `temperature` (n,) [degC] if computed; `patches` (k,)
    smooth-patch numbers."""

    points: np.ndarray
    triangles: np.ndarray
    utilisation: np.ndarray
    faces: Mapping[str, np.ndarray]
    temperature: np.ndarray | None = None
    patches: np.ndarray | None = None

    def arrays(self) -> dict[str, np.ndarray]:
        """The field as named arrays, as it is kept."""
        plain = {name: getattr(self, name) for name in PLAIN}
        faces = {f"{FACE}{name}": numbers for name, numbers in self.faces.items()}
        return {name: a for name, a in (plain | faces).items() if a is not None}

    @classmethod
    def of(cls, arrays: Mapping[str, np.ndarray]) -> SurfaceField:
        """The field of named arrays."""
        faces = {name[len(FACE) :]: numbers for name, numbers in arrays.items() if name.startswith(FACE)}
        return cls(faces=faces, **{name: arrays[name] for name in PLAIN if name in arrays})
