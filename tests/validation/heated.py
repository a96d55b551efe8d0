"""Blocks as conductors, for the thermal comparisons: plane faces by place, exchanges by hand."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from printworthy.strength import conductor, prepared
from printworthy.strength.conduction import Conductor
from printworthy.strength.exchange import Exchange
from specimens import solid

HELD = 1e7  # [W/(m2 K)] a contact so good that the face takes the temperature it is given
Array = NDArray[np.float64]


def body(shape: Any, folder: Path, size: float) -> Conductor:
    return conductor(prepared(solid(shape, folder, size), {}))


def face(c: Conductor, inside: Callable[[Array], NDArray[np.bool_]]) -> NDArray[np.intp]:
    """Surface points of the facets whose centres (k, 3) [mm] pass."""
    return c.points_of(np.flatnonzero(inside(c.ready.solid.corners.mean(axis=1))))


def held(where: NDArray[np.intp], outside: Callable[[float], float]) -> Exchange:
    return Exchange(where, HELD, 0.0, outside)


def at(c: Conductor, t: Array, point: tuple[float, float, float], near: float) -> float:
    """Mean of the vertices within `near` [mm] of a point."""
    points = c.ready.solid.points
    mine = np.linalg.norm(points - np.array(point), axis=1) <= near
    assert mine.any(), f"no vertex near {point}"
    return float(t[: len(points)][mine].mean())
