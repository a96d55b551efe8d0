"""STEP files through the OpenCascade kernel inside netgen."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import netgen.occ as occ
import numpy as np

from printworthy.errors import GeometryError
from printworthy.shape.source import Surface


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
    """The kernel's own triangles of a solid; patches are its face numbers from 0."""
    solid.MakeTriangulation()
    parts = [np.asarray(p, dtype=float).reshape(-1, 4) for p in solid._webgui_data()["Bezier_trig_points"][:3]]
    corners = np.stack([p[:, :3] for p in parts], axis=1)
    points, index = np.unique(np.round(corners.reshape(-1, 3), 9), axis=0, return_inverse=True)
    face = parts[0][:, 3].astype(np.int64)
    return Surface(points, index.reshape(-1, 3), face, face)
