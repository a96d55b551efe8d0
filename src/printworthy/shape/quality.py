"""Shape quality of tetrahedra."""

from __future__ import annotations

import numpy as np

EDGES = ((0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3))


def volumes(corners: np.ndarray) -> np.ndarray:
    """Signed volumes (m,) [mm3] of tetrahedra (m, 4, 3) [mm], positive where corner 3 lies on the side that the corners
    0, 1, 2 turn counter-clockwise seen from."""
    a, b, c = (corners[:, k] - corners[:, 0] for k in (1, 2, 3))
    return np.asarray(np.einsum("ij,ij->i", np.cross(a, b), c) / 6.0)


def mean_ratio(corners: np.ndarray) -> np.ndarray:
    """Mean ratio (m,) of tetrahedra (m, 4, 3): 12 (3 |V|)^(2/3) over the sum of squared edges; 1 regular, 0 flat.

    Liu and Joe, BIT 34 (1994) 268-287, eq. for eta (from memory).
    """
    squares = sum(((corners[:, i] - corners[:, j]) ** 2).sum(axis=1) for i, j in EDGES)
    return np.asarray(12.0 * (3.0 * np.abs(volumes(corners))) ** (2.0 / 3.0) / squares)
