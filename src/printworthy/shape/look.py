"""The report on one geometry file."""

from __future__ import annotations

from pathlib import Path

from printworthy.inputs import Geometry
from printworthy.results import ShapeReport
from printworthy.shape.read import read


def look(path: Path, unit: str | None = None, body: int | None = None, *, mend: bool = False) -> ShapeReport:
    """What the file holds and what is wrong with it. Raises GeometryError, UnitNeeded, BodyNeeded."""
    return read(Geometry(path, unit, body, mend)).report
