"""Which way the beads should lie in the layers: the raster angle as the second variable of the map.

For an orthotropic stiffness only. Strength in the layer stays the weakest in-layer value in every direction, so that
what is chosen is how the stress spreads, not how strong a bead is along itself.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from printworthy.errors import NotComputed
from printworthy.inputs import Vector
from printworthy.strength.directions import DirectionMap
from printworthy.strength.elastic import layer_frame
from printworthy.strength.reduced import raster_matters

STEP = 1.0  # [deg]


@dataclass(frozen=True, slots=True)
class BestRaster:
    """The best way for the beads at one build direction: `angle` [deg], `along` the beads in part axes, utilisation
    there and at the worst angle, without the factor on load."""

    angle: float
    along: Vector
    utilisation: float
    worst: float


def best_raster(found: DirectionMap, direction: ArrayLike) -> BestRaster:
    """The raster angle of least governing utilisation at a build direction (3,), to `STEP`, from the reduced model.

    The beads have no sense, so that half a turn covers all. Raises NotComputed where the material is the same all round
    in its layers.
    """
    if not raster_matters(found.basis.model.stiffness):
        raise NotComputed("the raster angle changes nothing: the card is the same all round in its layers")
    n = np.asarray(direction, float)
    angles = np.radians(np.arange(0.0, 180.0, STEP))
    used = found.at(np.tile(n, (len(angles), 1)), angles)[0].max(axis=(1, 2))
    i = int(np.argmin(used))
    x, y, z = (float(c) for c in layer_frame(n, float(angles[i]))[0])
    return BestRaster(float(np.degrees(angles[i])), (x, y, z), float(used[i]), float(used.max()))
