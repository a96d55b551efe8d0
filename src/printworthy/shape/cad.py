"""STEP files through the OpenCascade kernel inside netgen."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import netgen.occ as occ
import numpy as np

from printworthy.errors import GeometryError
from printworthy.inputs import Geometry
from printworthy.results import BodyReport, ShapeReport
from printworthy.shape import cadfaces, raw, scale
from printworthy.shape.body import REDRAW, choose, vector
from printworthy.shape.source import Source, Surface


def load(path: Path) -> Any:
    """The whole shape of a STEP file in mm (the kernel converts the declared unit). Raises GeometryError."""
    try:
        shape = occ.OCCGeometry(str(path)).shape
    except (RuntimeError, occ.OCCException) as error:
        raise GeometryError(f"the CAD kernel cannot read it ({error})", where=str(path), do="Export it again as STEP AP214") from error
    return shape


SI_PREFIX = {"$": "m", ".MILLI.": "mm", ".CENTI.": "cm", ".MICRO.": "um"}


def declared_unit(text: str) -> str:
    """Length unit the representation contexts of a STEP text use: mm, cm, m, um, inch, foot; empty where none is found.

    ISO 10303-41: a GLOBAL_UNIT_ASSIGNED_CONTEXT lists units; the one that is a LENGTH_UNIT counts, either an SI_UNIT
    with a prefix or a CONVERSION_BASED_UNIT with a name. Several contexts with different units give "mixed".
    """
    flat = re.sub(r"\s+", "", text)
    entities = dict(re.findall(r"(#\d+)=(\([^;]*LENGTH_UNIT\(\)[^;]*\));", flat))
    used = {ref for group in re.findall(r"GLOBAL_UNIT_ASSIGNED_CONTEXT\(\(([^)]*)\)\)", flat) for ref in group.split(",")}
    found = {_unit(entities[ref]) for ref in used if ref in entities}
    return found.pop() if len(found) == 1 else ("mixed" if found else "")


def _unit(entity: str) -> str:
    if named := re.search(r"CONVERSION_BASED_UNIT\('([^']*)'", entity):
        return {"in": "inch", "inches": "inch", "ft": "foot"}.get(named[1].lower(), named[1].lower())
    if si := re.search(r"SI_UNIT\(([^,]*),\.METRE\.\)", entity):
        return SI_PREFIX.get(si[1], si[1])
    return "unknown"


def triangulated(solid: Any) -> Surface:
    """The kernel's own triangles of a solid; faces are its face numbers from 0."""
    solid.MakeTriangulation()
    parts = [np.asarray(p, dtype=float).reshape(-1, 4) for p in solid._webgui_data()["Bezier_trig_points"][:3]]
    corners = np.stack([p[:, :3] for p in parts], axis=1)
    points, index = np.unique(np.round(corners.reshape(-1, 3), 9), axis=0, return_inverse=True)
    face = parts[0][:, 3].astype(np.int64)
    surface = Surface(points, index.reshape(-1, 3), face, face)
    return replace(surface, patches=cadfaces.joined(surface))


def read(geometry: Geometry, data: bytes) -> Source:
    """The chosen solid of a STEP file. Raises GeometryError, BodyNeeded."""
    path = geometry.path
    declared = declared_unit(data.decode("latin-1"))
    size = scale.of_declared(geometry, declared)
    shape = load(path)
    if (factor := size.factor / scale.MILLIMETRES.get(declared, 1.0)) != 1.0:
        shape = shape.Scale(occ.Pnt(0, 0, 0), factor)
    solids = sorted(shape.solids, key=lambda s: -float(f"{s.mass:.6g}"))
    loose = len(shape.faces) - sum(len(s.faces) for s in solids)
    if not solids:
        raise GeometryError(f"no solid in the file, only {loose} faces that bound nothing", where=str(path),
                            do="Join the surfaces to a solid in CAD, then export again")  # fmt: skip
    surfaces = [triangulated(s) for s in solids]
    box = np.ptp(np.concatenate([f.points for f in surfaces]), axis=0)
    scale.check_size(geometry, box, size, "the whole file")
    reports = tuple(_report(k + 1, s, f) for k, (s, f) in enumerate(zip(solids, surfaces, strict=True)))
    number = choose(geometry, reports)
    solid, surface, own = solids[number - 1], surfaces[number - 1], reports[number - 1]
    if own.volume <= 0:
        raise GeometryError("its volume is not positive: the solid is inside out or not closed", where=str(path), do=REDRAW)
    found = [f"{loose} faces that belong to no solid are left out"] if loose > 0 else []
    found += _unit_remark(declared)
    found += scale.check_size(geometry, np.subtract(own.high, own.low), size, f"body {number}" if len(solids) > 1 else "the part")
    report = ShapeReport(
        file=path.name, sha256=raw.sha256(data), kind="STEP", unit=size.unit, unit_source=size.source, low=own.low, high=own.high,
        volume=own.volume, area=float(sum(f.mass for f in solid.faces)), triangles=0, cad_faces=len(solid.faces), bodies=reports,
        body=number, found=tuple(found), mended=(),
    )  # fmt: skip
    return Source(report, surface, solid)


def _unit_remark(declared: str) -> list[str]:
    return ["the file declares several length units; the kernel converts each"] if declared == "mixed" else []


def _report(number: int, solid: Any, surface: Surface) -> BodyReport:
    return BodyReport(number, float(solid.mass), vector(surface.points.min(axis=0)), vector(surface.points.max(axis=0)), solid.name or "")
