"""One geometry file -> one checked body in mm."""

from __future__ import annotations

from printworthy.inputs import Geometry
from printworthy.shape import body, cad, raw
from printworthy.shape.source import Source


def read(geometry: Geometry) -> Source:
    """Read a geometry file, check it, choose the body. Everything found and mended stands in `Source.report`.

    STL, OBJ and PLY need `geometry.unit`; 3MF and STEP declare theirs, and a person overrules it only by naming both,
    as in "mm, not inch". `geometry.mend` permits repairs that change the solid a little; their size is then reported.

    Raises:
        UnitNeeded: no unit stated for a file that carries none; the line shows the three likely readings.
        BodyNeeded: several bodies and none named; the line lists them.
        GeometryError: missing, damaged, not closed, crossing itself, without volume, out of scale.
    """
    data, kind = raw.content(geometry.path)
    if kind == "STEP":
        return cad.read(geometry, data)
    return body.read(geometry, data, kind)
