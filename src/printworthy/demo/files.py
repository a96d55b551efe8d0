"""Writes solids as STEP or as binary STL, the same bytes every time (no dates, no counters). Lengths in mm."""

from __future__ import annotations

import re
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
from netgen.meshing import MeshingStep
from netgen.occ import OCCGeometry

from printworthy.demo.solids import Shape

STEP_DATE = "2026-01-01T00:00:00"  # stands for the moment of writing, which would make every run differ
_STL_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])


def step_text(solid: Shape, name: str) -> str:
    """STEP text (ISO 10303-21) of a solid called `name`, without the writer's date and running number."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "solid.step"
        solid.WriteStep(str(path))
        text = path.read_text(encoding="ascii")
    text = re.sub(r"'\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d'", f"'{STEP_DATE}'", text)
    text = re.sub(r"'Open CASCADE STEP translator [\d.]+ \d+'", f"'{name}'", text)
    return text.replace("'Open CASCADE Shape Model'", f"'{name}'").replace("('Author')", "('printworthy demo')")


def triangles(solid: Shape, size: float, curvature: float = 2.0) -> np.ndarray:
    """Corners (n, 3, 3) [mm] of an outward triangulation: edges up to `size` [mm], finer the more `curvature` [-]."""
    mesh: Any = OCCGeometry(solid).GenerateMesh(
        maxh=size, curvaturesafety=curvature, perfstepsend=MeshingStep.MESHSURFACE, optsteps2d=3
    )
    points = np.array([point.p for point in mesh.Points()])
    numbers = np.array([[vertex.nr - 1 for vertex in element.vertices] for element in mesh.Elements2D()])
    corners = points[numbers]
    volume = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])).sum() / 6
    return corners if volume > 0 else corners[:, [0, 2, 1]]


def stl_bytes(corners: np.ndarray, name: str) -> bytes:
    """Binary STL of triangles (n, 3, 3) [mm]; the format has no unit, so the workspace text must state it."""
    record = np.zeros(len(corners), dtype=_STL_RECORD)
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    record["normal"] = normal / np.linalg.norm(normal, axis=1, keepdims=True)
    record["corners"] = corners
    header = f"printworthy demo: {name}".encode("ascii").ljust(80)
    return header + np.uint32(len(corners)).tobytes() + record.tobytes()
