"""Build directions worth looking at: an even spread, and those in which a flat of the part lies on the bed."""

from __future__ import annotations

import math

import numpy as np

from printworthy.errors import InputError
from printworthy.making.skin import Skin

SAME = 1 - 1e-6  # flats whose normals' cosine exceeds this (0.08 deg) are one flat


def hemisphere(count: int, *, both: bool = False) -> np.ndarray:
    """Unit vectors (count, 3) evenly spread over z > 0; `both`: (2 count, 3), those and their opposites, in that order.

    Own derivation: equal steps in z cut the hemisphere into rings of equal area (Archimedes), one direction in the
    middle of each, turned from ring to ring by the golden angle, which never comes near a short cycle.
    """
    if count < 1:
        raise InputError(f"{count} build directions", do="Ask for one or more")
    k = np.arange(count)
    z = (k + 0.5) / count
    turn = k * math.pi * (3 - math.sqrt(5))
    r = np.sqrt(1 - z**2)
    upper = np.column_stack([r * np.cos(turn), r * np.sin(turn), z])
    return np.concatenate([upper, -upper]) if both else upper


def resting(part: Skin, most: int = 50) -> np.ndarray:
    """Directions (q, 3) in which a flat of the convex hull lies on the bed, largest flat first, at most `most`.

    No even spread ever holds them: laid by a thousandth off, a flat part stands on an edge.
    """
    left = np.argsort(-part.rest_areas, kind="stable")
    found: list[tuple[float, np.ndarray]] = []
    while len(left):
        normal = part.rests[left[0]]
        same = part.rests[left] @ normal > SAME
        found.append((float(part.rest_areas[left[same]].sum()), -normal))
        left = left[~same]
    found.sort(key=lambda pair: -pair[0])
    return np.array([n for _, n in found[:most]]).reshape(-1, 3) + 0.0
