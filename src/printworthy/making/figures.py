"""What printing a part costs in each build direction, as arrays over directions."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from printworthy.errors import InputError
from printworthy.results import LayFigures


@dataclass(frozen=True, slots=True)
class Laying:
    """What the figures hold for.

    overhang_angle [deg] from vertical beyond which a surface that looks down needs support (45: common practice, no
    source); layer_height [mm]; bed: width, depth, height [mm] of the space that can be printed in; rays: lines across
    the least rectangle of the silhouette that find what lies below an overhang.
    """

    overhang_angle: float
    layer_height: float
    bed: tuple[float, float, float]
    rays: int = 4096

    def __post_init__(self) -> None:
        if not 0 < self.overhang_angle < 90:
            raise InputError(
                f"overhang angle {self.overhang_angle:g} deg", do="State it from vertical, between 0 and 90"
            )
        if not 0 < self.layer_height < np.inf:
            raise InputError(f"layer height {self.layer_height:g} mm", do="State one above 0 mm")
        if len(self.bed) != 3 or not all(0 < side < np.inf for side in self.bed):
            raise InputError(f"build space {self.bed}", do="State width, depth and height above 0 mm")
        if self.rays < 16:
            raise InputError(f"{self.rays} lines are too few to see what lies below an overhang", do="State 16 or more")


@dataclass(frozen=True, slots=True, eq=False)
class DirectionFigures:
    """Figures of N build directions. Build up is +n; the bed touches the lowest point.

    directions (N, 3) unit vectors; height (N,) [mm] printed height;
    contact_area (N,) [mm2] of the first layer: skin that looks down within one layer height of the bed, seen from
    above;
    tip_slope, tip_slope_supported (N,) [-] slope of the bed at which the part tips over, alone and with its supports:
    distance of the centre of mass's foot from the edge of the convex hull of what stands on the bed, over the height
    of the centre of mass; negative: it falls over by itself;
    rectangle (N, 2) [mm] sides of the least-area rectangle round the silhouette seen from above, longer first;
    over_bed, over_height (N,) [mm] by how much the part exceeds the build space, turned about n as fits best (negative:
    room left);
    overhang_area (N,) [mm2] of skin beyond the overhang angle, first layer left out; overhang_on (N, F) [mm2] the same
    on each of the `faces`;
    support_volume (N,) [mm3] of solid columns below that skin, down to the part or the bed; support_error (N,) [mm3]
    its resolution error, estimated from the scatter of the lines; support_on_bed, support_on_part (N,) [mm2] where
    columns stand, seen from above (they touch the part on `overhang_area` as well);
    round_angle (N, R) [deg] between n and the axis of each of the `rounds`: 0 prints round, 90 lies and sags.
    """

    laying: Laying
    directions: np.ndarray
    height: np.ndarray
    contact_area: np.ndarray
    tip_slope: np.ndarray
    tip_slope_supported: np.ndarray
    rectangle: np.ndarray
    over_bed: np.ndarray
    over_height: np.ndarray
    overhang_area: np.ndarray
    overhang_on: np.ndarray
    support_volume: np.ndarray
    support_error: np.ndarray
    support_on_bed: np.ndarray
    support_on_part: np.ndarray
    round_angle: np.ndarray
    faces: tuple[str, ...]
    rounds: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.directions)

    @property
    def fits(self) -> np.ndarray:
        """Which directions (N,) fit the build space."""
        return (self.over_bed <= 0) & (self.over_height <= 0)

    def at(self, i: int) -> LayFigures:
        """The plain record of direction number i."""
        x, y, z = (float(c) for c in self.directions[i])
        return LayFigures(
            direction=(x, y, z),
            height=float(self.height[i]),
            contact_area=float(self.contact_area[i]),
            tip_slope=float(self.tip_slope[i]),
            tip_slope_supported=float(self.tip_slope_supported[i]),
            rectangle=(float(self.rectangle[i, 0]), float(self.rectangle[i, 1])),
            over_bed=float(self.over_bed[i]),
            over_height=float(self.over_height[i]),
            overhang_area=float(self.overhang_area[i]),
            overhang_on={name: float(a) for name, a in zip(self.faces, self.overhang_on[i], strict=True)},
            support_volume=float(self.support_volume[i]),
            support_error=float(self.support_error[i]),
            support_on_bed=float(self.support_on_bed[i]),
            support_on_part=float(self.support_on_part[i]),
            round_angle={name: float(a) for name, a in zip(self.rounds, self.round_angle[i], strict=True)},
        )
