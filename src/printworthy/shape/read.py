"""One geometry file -> one checked body in mm."""

from __future__ import annotations

import hashlib
from pathlib import Path

from printworthy.errors import BodyNeeded, GeometryError
from printworthy.inputs import Geometry, Vector
from printworthy.results import BodyReport, ShapeReport
from printworthy.shape import cad
from printworthy.shape.source import Source, Surface


def read(geometry: Geometry) -> Source:
    """Read and check the file. Raises GeometryError, UnitNeeded, BodyNeeded."""
    path = geometry.path
    if path.suffix.lower() not in (".step", ".stp"):
        raise GeometryError(f"cannot read files of kind '{path.suffix}'", where=str(path), do="Give a STEP file")
    return read_step(geometry)


def vector(values: object) -> Vector:
    """Three plain floats."""
    x, y, z = (float(v) for v in values)  # type: ignore[attr-defined]
    return (x, y, z)


def read_step(geometry: Geometry) -> Source:
    """A STEP file's chosen solid."""
    path = geometry.path
    text = path.read_bytes()
    solids = list(cad.load(path).solids)
    if not solids:
        raise GeometryError("no solid in the file", where=str(path), do="Export the part as a solid, not as surfaces")
    surfaces = [cad.triangulated(s) for s in solids]
    bodies = tuple(_body(i + 1, s.mass, f, s.name or "") for i, (s, f) in enumerate(zip(solids, surfaces, strict=True)))
    if geometry.body is None and len(bodies) > 1:
        raise BodyNeeded(f"{len(bodies)} bodies", where=str(path), do="State body = 1 .. " + str(len(bodies)))
    number = geometry.body or 1
    solid, surface = solids[number - 1], surfaces[number - 1]
    report = ShapeReport(
        file=path.name, sha256=hashlib.sha256(text).hexdigest(), kind="STEP",
        unit=cad.declared_unit(text.decode("latin-1")), unit_source="declared in the file",
        low=bodies[number - 1].low, high=bodies[number - 1].high, volume=float(solid.mass),
        area=float(sum(f.mass for f in solid.faces)), triangles=0, cad_faces=len(solid.faces), bodies=bodies,
        body=number, found=(), mended=(),
    )  # fmt: skip
    return Source(report, surface, solid)


def _body(number: int, volume: float, surface: Surface, name: str) -> BodyReport:
    return BodyReport(number, float(volume), vector(surface.points.min(axis=0)), vector(surface.points.max(axis=0)), name)


__all__ = ["Path", "read"]
