"""Which way the beads should lie in the layers: the raster angle as the second variable of the map."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.errors import NotComputed
from printworthy.inputs import Part, Vector
from printworthy.results import DesignValues, DirectionCheck, RasterCurve
from printworthy.strength.directions import CHECK_RESIDUAL, DirectionMap
from printworthy.strength.elastic import layer_frame
from printworthy.strength.exact import exact_displacements
from printworthy.strength.hot import field_of, strains_of, strengths_of
from printworthy.strength.lay import bead_line, raster_of, stated_angle, upward, vector
from printworthy.strength.reduced import coefficients, raster_matters
from printworthy.strength.system import Model
from printworthy.strength.turning import Turning

Array = NDArray[np.float64]
STEP = 1.0  # [deg]
DRAWN = np.arange(0.0, 180.0, 5.0)  # [deg] of the curve
BETWEEN = (37.0, 113.0)  # [deg] from the angle taken: where the curve is checked beside its ends (own choice)


@dataclass(frozen=True, slots=True)
class BestRaster:
    """The best way for the beads at one build direction: `angle` [deg] of `layer_frame`, `along` the beads in part
    axes, utilisation there and at the worst angle, without the factor on load."""

    angle: float
    along: Vector
    utilisation: float
    worst: float


def best_raster(found: DirectionMap, direction: ArrayLike) -> BestRaster:
    """The raster angle of least governing utilisation at a build direction (3,), to `STEP`, from the reduced model.

    The beads have no sense, so that half a turn covers all. Raises NotComputed where the material is the same all round
    in its layers.
    """
    if found.basis.model.part.raster is None and not raster_matters(found.basis.model.stiffness):
        raise NotComputed("the raster angle changes nothing: the card is the same all round in its layers")
    n = np.asarray(direction, float)
    angles = np.radians(np.arange(0.0, 180.0, STEP))
    used = found.at(np.tile(n, (len(angles), 1)), angles)[0].max(axis=(1, 2))
    i = int(np.argmin(used))
    along = vector(layer_frame(n, float(angles[i]))[0])
    return BestRaster(float(np.degrees(angles[i])), along, float(used[i]), float(used.max()))


def raster_curve(found: DirectionMap, direction: ArrayLike, factor: float) -> RasterCurve | None:
    """How utilisation at a build direction (3,) changes with the raster, with the angle taken and the worst one solved
    exactly, and two between; None where the part's material does not tell along the beads from across them."""
    part = found.basis.model.part
    if part.raster is None:
        return None
    n = upward(direction) / np.linalg.norm(direction)
    chosen = part.raster.angle is None
    along = np.asarray(best_raster(found, n).along) if chosen else bead_line(n, part.raster.angle or 0.0)
    taken = stated_angle(n, along)
    used = found.at(np.tile(n, (len(DRAWN), 1)), np.array([raster_of(n, bead_line(n, a)) for a in DRAWN]))[0]
    over = used.max(axis=(1, 2))
    worst = float(DRAWN[int(np.argmax(over))])
    asked = [("raster taken", taken), ("worst raster", worst)]
    asked += [("raster between", (taken + turn) % 180.0) for turn in BETWEEN]
    checks = tuple(_checked(found, n, why, angle) for why, angle in asked)
    return RasterCurve(
        vector(direction), tuple(map(float, DRAWN)), tuple(float(factor * u) for u in over), taken, vector(along),
        chosen, worst, part.raster.layers, checks, tuple(a for _, a in asked), max(c.error for c in checks),
    )  # fmt: skip


def _checked(found: DirectionMap, n: Array, why: str, angle: float) -> DirectionCheck:
    """All cases at a direction (3,) and a stated angle [deg], on the true stiffness, held against the reduced model."""
    raster = raster_of(n, bead_line(n, angle))
    frame = layer_frame(n, raster)
    estimate = float(found.at(n[None], np.array([raster]))[0].max())
    start = coefficients(found.basis, frame[None]) @ found.basis.vectors
    every = [list(range(start.shape[1]))]
    u = exact_displacements(found.basis, frame[None], start, every, CHECK_RESIDUAL)
    exact = float(field_of(found.basis, strains_of(found.basis, u[0]), frame, found.strengths).max())
    return DirectionCheck(why, vector(n), estimate, exact, abs(estimate - exact) / exact, raster)


def with_beads(part: Part, model: Turning, directions: Iterable[Vector], known: RasterCurve | None) -> Part:
    """The part with the line of its beads at each build direction, where they are to be chosen: that of `known` at its
    direction, else that of least utilisation by a reduced model."""
    how = part.raster
    if how is None or how.angle is not None:
        return part
    lines = [(known.direction, known.along)] if known is not None else []
    for n in directions:
        if known is None or abs(float(np.dot(n, known.direction))) < 1 - 1e-6:
            lines.append((n, vector(bead_line(n, _least(model, n)))))
        elif n != known.direction:  # the same way but for rounding
            lines.append((n, known.along))
    return replace(part, raster=replace(how, chosen=tuple(lines)))


def other(model: Turning, m: Model, design: DesignValues) -> Turning:
    """A reduced model with the constants and strengths of another material: the fields were made for the first."""
    return replace(
        model, stiffness=m.stiffness, expansion=m.expansion, strengths=strengths_of(design), shares=m.shares,
        raster=np.array(np.nan),
    )  # fmt: skip


def _least(model: Turning, direction: Vector) -> float:
    """Raster angle [deg] of least utilisation, to `STEP`."""
    rough = float(DRAWN[int(np.argmin(model.over(direction, DRAWN)))])
    near = rough + np.arange(-4.0, 5.0) * STEP
    return float(near[int(np.argmin(model.over(direction, near)))] % 180.0)
