"""Height, foot, overhang, supports and fit of a part for any number of build directions, from its skin.

directions -> axes       a direction and its opposite share silhouette and lines
skin -> least boxes      silhouette along every axis: hull, rectangle, height, fit
     -> columns          overhang by facet, then lines through the part: what lies below it, both ways up
     -> tip slopes       does it stand, alone and with its supports
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numpy as np

from printworthy.errors import GeometryError, InputError
from printworthy.making import columns, planar, rounds
from printworthy.making.figures import DirectionFigures, Laying
from printworthy.making.skin import Cornered, membership, skin

SLACK = 0.1  # [deg] a surface this little beyond the overhang angle is at it: corners in files are rounded
LOST = 0.01  # share of the lines that may enter the part without leaving it before the skin counts as open
BLOCK = 64  # axes per task


def lay_figures(
    body: Cornered,
    directions: np.ndarray,
    *,
    overhang_angle: float,
    layer_height: float,
    bed: tuple[float, float, float],
    faces: Mapping[str, np.ndarray] | None = None,
    round_faces: tuple[rounds.Round, ...] = (),
    rays: int = 4096,
) -> DirectionFigures:
    """Figures of build directions (N, 3), any length but zero, from the skin of `body` as its file has it.

    overhang_angle [deg] from vertical, layer_height [mm], bed (width, depth, height) [mm], rays: see `Laying`; faces:
    facet numbers (of `body`) of named faces; round_faces: see `rounds`. Raises InputError for impossible settings,
    GeometryError for a skin that is not closed or faces inwards.

    Overhang area and its fall to the bed are exact sums over facets, cut at the first layer. What lies below is found
    by `rays` upright lines: they give the share of that fall which is open. So support that stands on the bed alone is
    exact for the facets, and only shadows carry a resolution error, which is estimated from the scatter of the lines.
    Own derivation; `docs/method/making.md` has the closed forms it is measured against.
    """
    laying = Laying(overhang_angle, layer_height, bed, rays)
    up = unit(directions)
    part = skin(body)
    named = dict(faces or {})
    members = membership(body, named)
    areas = np.linalg.norm(part.vectors, axis=1)
    layer = float(layer_height)
    sine = float(np.sin(np.radians(min(overhang_angle + SLACK, 90.0))))

    def block(axes: np.ndarray) -> tuple[np.ndarray, ...]:
        """Both ways up of axes (n, 3), as arrays (n, 2, ...)."""
        box = planar.least_boxes(part.hull, *planar.across(axes), axes, float(bed[0]), float(bed[1]))
        U, V, low, size, over = box
        sums, on_face, error, landing = columns.columns(
            part.points, part.facets, part.vectors, areas, members, axes, U, V, low, size, sine, layer, rays
        )
        along = planar.tip_slopes(part.points, part.facets, axes, U, V, low[:, 2], layer, landing[:, 0])
        against = planar.tip_slopes(
            part.points, part.facets, -axes, U, V, -low[:, 2] - size[:, 2], layer, landing[:, 1]
        )
        alone, held = np.stack([along, against], axis=2)
        return both(size), both(over), sums, on_face, error, alone, held

    axes, axis, way = by_axis(up)
    size, over, sums, on_face, error, alone, held = (each[axis, way] for each in in_blocks(block, axes))
    refuse_open(sums)
    return DirectionFigures(
        laying=laying,
        directions=up,
        height=size[:, 2],
        contact_area=sums[:, columns.CONTACT],
        tip_slope=alone,
        tip_slope_supported=held,
        rectangle=size[:, :2],
        over_bed=over,
        over_height=size[:, 2] - bed[2],
        overhang_area=sums[:, columns.AREA],
        overhang_on=on_face,
        support_volume=sums[:, columns.DROP],
        support_error=error,
        support_on_bed=sums[:, columns.ON_BED],
        support_on_part=sums[:, columns.ON_PART],
        round_angle=rounds.angles(round_faces, up),
        faces=tuple(named),
        rounds=tuple(r.name for r in round_faces),
    )


def unit(directions: np.ndarray) -> np.ndarray:
    """Directions (N, 3) with length 1. Raises InputError where there are none, or one has no length."""
    n = np.array(directions, dtype=float)
    if n.ndim != 2 or n.shape[1] != 3 or not len(n):
        raise InputError("build directions are rows of three numbers, one row or more")
    length = np.linalg.norm(n, axis=1, keepdims=True)
    if not (np.isfinite(length).all() and (length > 0).all()):
        raise InputError(
            f"build direction {int(np.argmin(length)) + 1} has no length", do="State three numbers, not all 0"
        )
    return np.ascontiguousarray(n / length)


def by_axis(up: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Axes (n, 3) of unit directions (N, 3), one for a direction and its opposite; for each direction the number of its
    axis (N,) and whether it runs along (0) or against it (1).

    An axis points up, or where it lies, back, or right: it does not depend on what else is asked for.
    """
    against = up[np.arange(len(up)), 2 - np.argmax(up[:, ::-1] != 0, axis=1)] < 0
    axes, axis = np.unique(np.where(against[:, None], -up, up) + 0.0, axis=0, return_inverse=True)
    return axes, axis, against.astype(int)


def both(figures: np.ndarray) -> np.ndarray:
    """Figures (n, ...) that are the same for both ways up of an axis, as (n, 2, ...)."""
    return np.stack([figures, figures], axis=1)


def in_blocks(work: Callable[[np.ndarray], tuple[np.ndarray, ...]], axes: np.ndarray) -> tuple[Any, ...]:
    """Results of `work` on blocks of axes, in order; blocks share the processors, so results do not depend on them."""
    parts = [axes[i : i + BLOCK] for i in range(0, len(axes), BLOCK)]
    done = [work(parts[0])]  # alone, so that compiling happens once
    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        done += pool.map(work, parts[1:])
    return tuple(np.concatenate(column) for column in zip(*done, strict=True))


def refuse_open(sums: np.ndarray) -> None:
    """Raise GeometryError if lines through the part enter it without leaving it."""
    lines, lost = sums[:, columns.LINES].sum(), sums[:, columns.LOST].sum()
    if lost > LOST * max(lines, 1):
        raise GeometryError(
            f"{100 * lost / lines:.1f} % of lines through the part enter it without leaving it: its skin is not closed",
            do="Mend the geometry",
        )
