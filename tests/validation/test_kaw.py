"""Published laminae.

A. K. Kaw, Mechanics of Composite Materials, 2nd edition, CRC Press 2006, chapter 2, graphite/epoxy (the example from
memory, its values computed again outside this package). S. W. Tsai and H. T. Hahn, Introduction to Composite Materials,
1980, use the same lamina.
"""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest
from compare import Source, compare

from printworthy.strength.elastic import orthotropic, rotated

SOURCE = Source(
    "Kaw 2006, Mechanics of Composite Materials", "chapter 2, graphite/epoxy 181/10.3/0.28/7.17 GPa", "from memory"
)
LAMINA = orthotropic((181.0, 10.3, 10.3), (0.28, 0.28, 0.4), (3.68, 7.17, 7.17))
IN_PLANE = np.ix_((0, 1, 5), (0, 1, 5))
PUBLISHED = {
    0: {"11": 181.811, "22": 10.346, "12": 2.897, "66": 7.17},
    45: {"11": 56.658, "22": 56.658, "12": 42.318, "66": 46.591, "16": 42.866, "26": 42.866},
    60: {"11": 23.647, "12": 32.463, "22": 109.379, "16": 20.054, "26": 54.193, "66": 36.736},
}


def plane(angle: float) -> np.ndarray:
    """Plane-stress stiffness (3, 3) of the lamina in axes turned by `angle` [deg] from its fibres."""
    c, s = cos(radians(angle)), sin(radians(angle))
    turned = rotated(LAMINA, np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]))
    return np.linalg.inv(np.linalg.inv(turned)[IN_PLANE])


@pytest.mark.parametrize("angle", PUBLISHED)
def test_plane_stress_stiffness(angle: int) -> None:
    q = plane(angle)
    for name, value in PUBLISHED[angle].items():
        i, j = (("1", "2", "6").index(n) for n in name)
        compare(q[i, j], value, rel=2e-4, source=SOURCE, quantity=f"Q{name} at {angle} deg [GPa]")


def test_ply_as_a_bar() -> None:
    s = np.linalg.inv(plane(60))
    bar = {"Ex": 1 / s[0, 0], "Ey": 1 / s[1, 1], "Gxy": 1 / s[2, 2]}
    for name, value in {"Ex": 12.418, "Ey": 28.780, "Gxy": 8.761}.items():
        compare(bar[name], value, rel=1e-4, source=SOURCE, quantity=f"{name} of the 60 deg ply [GPa]")
    compare(-s[0, 1] / s[0, 0], 0.0978, abs=6e-5, source=SOURCE, quantity="nu_xy of the 60 deg ply", why="4 decimals")
