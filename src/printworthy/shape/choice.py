"""Which of several bodies, and what people are told to do."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from printworthy.errors import BodyNeeded, GeometryError
from printworthy.inputs import Geometry, Vector
from printworthy.results import BodyReport
from printworthy.shape import scale

REDRAW = "Repair it where it was drawn"
MEND = f"{REDRAW}, or permit mend = true"
LISTED = 8


def choose(geometry: Geometry, found: Sequence[BodyReport], torn: GeometryError | None = None) -> int:
    """Number of the body to use. Raises BodyNeeded with a list, GeometryError for a number that is not there."""
    where = f"{geometry.place or geometry.path} (body)"
    if geometry.body is not None:
        if not 1 <= geometry.body <= len(found):
            raise GeometryError(
                f"body {geometry.body} is stated, the file has {len(found)}",
                where=where,
                do=f"State body = 1 to {len(found)}",
            )
        return geometry.body
    if torn is not None:
        raise torn
    if len(found) == 1:
        return 1
    lines = [
        f"{b.number}{f' {b.name!r}' if b.name else ''} "
        f"({b.volume:.4g} mm3, {scale.in_words(np.subtract(b.high, b.low))})"
        for b in found[:LISTED]
    ]
    more = f", and {len(found) - LISTED} more" if len(found) > LISTED else ""
    raise BodyNeeded(
        f"{len(found)} bodies and none is named: {', '.join(lines)}{more}",
        where=where,
        do="State body = number; bodies that are one part must be joined in CAD"
        + ("" if geometry.mend else ", or overlapping ones by mend = true"),
    )


def vector(values: np.ndarray) -> Vector:
    """Three plain floats."""
    x, y, z = (float(v) for v in values)
    return (x, y, z)
