"""Even sets of directions."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def half_sphere(count: int) -> NDArray[np.float64]:
    """`count` nearly evenly spread unit vectors (count, 3) with z > 0; with their opposites they cover the sphere.

    Golden-angle spiral: equal steps in z give equal areas (Archimedes), the golden angle spreads the turns.
    """
    k = np.arange(count) + 0.5
    z = 1 - k / count
    turn = k * np.pi * (3 - np.sqrt(5))
    r = np.sqrt(1 - z * z)
    return np.column_stack([r * np.cos(turn), r * np.sin(turn), z])
