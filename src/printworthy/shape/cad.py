"""STEP files through the OpenCascade kernel inside netgen, in a process of its own."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from printworthy.errors import GeometryError
from printworthy.inputs import Geometry
from printworthy.results import BodyReport, ShapeReport
from printworthy.shape import cadfaces, child, raw, scale, words
from printworthy.shape.choice import REDRAW, choose, vector
from printworthy.shape.source import Source, Surface

LIMIT = 240.0  # [s] of processor time; usual are 1 to 10 s
SI_PREFIX = {"$": "m", ".MILLI.": "mm", ".CENTI.": "cm", ".MICRO.": "um"}


def declared_unit(text: str) -> str:
    """Length unit the representation contexts of a STEP text use: mm, cm, m, um, inch, foot; empty where none is found.

    ISO 10303-41: a GLOBAL_UNIT_ASSIGNED_CONTEXT lists units; the one that is a LENGTH_UNIT counts, either an SI_UNIT
    with a prefix or a CONVERSION_BASED_UNIT with a name. Several contexts with different units give "mixed".
    """
    flat = re.sub(r"\s+", "", text)
    entities = dict(re.findall(r"(#\d+)=(\([^;]*LENGTH_UNIT\(\)[^;]*\));", flat))
    used = {
        ref for group in re.findall(r"GLOBAL_UNIT_ASSIGNED_CONTEXT\(\(([^)]*)\)\)", flat) for ref in group.split(",")
    }
    found = {_unit(entities[ref]) for ref in used if ref in entities}
    return found.pop() if len(found) == 1 else ("mixed" if found else "")


def _unit(entity: str) -> str:
    if named := re.search(r"CONVERSION_BASED_UNIT\('([^']*)'", entity):
        return {"in": "inch", "inches": "inch", "ft": "foot"}.get(named[1].lower(), named[1].lower())
    if si := re.search(r"SI_UNIT\(([^,]*),\.METRE\.\)", entity):
        return SI_PREFIX.get(si[1], si[1])
    return "unknown"


@dataclass(frozen=True, slots=True)
class CadSolid:
    """Where the CAD kernel finds a solid again: file, factor on its lengths, number from 0 by falling volume."""

    path: Path
    factor: float
    number: int


def kernel(path: Path, options: dict[str, Any], progress: child.Progress | None = None) -> child.Arrays | str:
    """Ask the CAD kernel in its own process; a refusal in words."""
    stage = "reading CAD" if options["do"] == "read" else "meshing"
    return child.run(
        "cad_child.py", {"path": str(path.resolve()), **options}, {}, limit=LIMIT, stage=stage, progress=progress
    )


def surface_of(corners: np.ndarray, face: np.ndarray) -> Surface:
    """Triangles of one solid (m, 3, 3) [mm] with their CAD face numbers (m,)."""
    points, index = np.unique(np.round(corners.reshape(-1, 3), 9), axis=0, return_inverse=True)
    surface = Surface(points, index.reshape(-1, 3), face, face)
    return replace(surface, patches=cadfaces.joined(surface))


def read(geometry: Geometry, data: bytes) -> Source:
    """The chosen solid of a STEP file. Raises GeometryError, BodyNeeded."""
    path, (size, factor, declared, given) = geometry.path, _asked(geometry, data)
    reports = _reports(path, given)
    box = np.ptp([c for b in reports for c in (b.low, b.high)], axis=0)
    found = [*_remarks(given, declared), *scale.check_size(geometry, box, size, "the whole file")]
    number = choose(geometry, reports)
    own = reports[number - 1]
    if own.volume <= 0:
        raise GeometryError(
            "its volume is not positive: the solid is inside out or not closed", where=str(path), do=REDRAW
        )
    if len(reports) > 1:
        found += scale.check_size(geometry, np.subtract(own.high, own.low), size, f"body {number}")
    surface = surface_of(given[f"corners_{number - 1}"], given[f"face_{number - 1}"])
    report = ShapeReport(
        file=path.name,
        sha256=raw.sha256(data),
        kind="STEP",
        unit=size.unit,
        unit_source=size.source,
        low=own.low,
        high=own.high,
        volume=own.volume,
        area=float(given["area"][number - 1]),
        triangles=0,
        cad_faces=int(given["faces"][number - 1]),
        bodies=reports,
        body=number,
        found=tuple(found),
        mended=(),
    )
    return Source(report, surface, CadSolid(path, factor, number - 1))


def solids(geometry: Geometry, data: bytes) -> tuple[tuple[BodyReport, ...], list[Surface]]:
    """Every solid of a STEP file and its surface, by falling volume. Raises GeometryError."""
    given = _asked(geometry, data)[3]
    reports = _reports(geometry.path, given)
    return reports, [surface_of(given[f"corners_{k}"], given[f"face_{k}"]) for k in range(len(reports))]


def _asked(geometry: Geometry, data: bytes) -> tuple[scale.Scale, float, str, child.Arrays]:
    """Scale, factor on the kernel's lengths, declared unit, and what the kernel found."""
    path = geometry.path
    declared = declared_unit(data.decode("latin-1"))
    size = scale.of_declared(geometry, declared)
    factor = size.factor / scale.MILLIMETRES.get(declared, 1.0)
    given = kernel(path, {"do": "read", "factor": factor})
    if isinstance(given, str):
        raise GeometryError(
            f"the CAD kernel cannot read it ({given})", where=str(path), do="Export it again as STEP AP214"
        )
    return size, factor, declared, given


def _reports(path: Path, given: child.Arrays) -> tuple[BodyReport, ...]:
    """Records of the solids by falling volume. Raises GeometryError where there are none."""
    count, loose = len(given["volume"]), int(given["loose"])
    if not count:
        raise GeometryError(
            f"no solid in the file, only {words.count(loose, 'loose face')}",
            where=str(path),
            do="Join the surfaces to a solid in CAD, then export again",
        )
    if not all(len(given[f"corners_{k}"]) for k in range(count)):
        raise GeometryError(
            "the CAD kernel finds a solid without a surface", where=str(path), do="Export it again as STEP AP214"
        )
    return tuple(
        BodyReport(k + 1, float(given["volume"][k]), vector(low), vector(high), str(given["name"][k]))
        for k in range(count)
        for low, high in (given[f"box_{k}"],)
    )


def _remarks(given: child.Arrays, declared: str) -> list[str]:
    loose = int(given["loose"])
    said = [f"{words.count(loose, 'face')} outside any solid left out"] if loose > 0 else []
    return said + (["the file declares several length units; the kernel converts each"] if declared == "mixed" else [])
