"""A warmed solid that is held: closed forms of linear elasticity (S. Timoshenko, J. N. Goodier, Theory of Elasticity),
derived outside this package. E 2000 MPa, nu 0.35, 80e-6 /K, 40 K."""

from __future__ import annotations

import numpy as np
import pytest
from compare import Source, compare

from printworthy.strength.elastic import isotropic

SOURCE = Source("Timoshenko and Goodier 1970, warmed and held", "E 2000 MPa, nu 0.35, 80e-6 /K, 40 K", "derived")


@pytest.mark.parametrize(("held", "published"), [(1, -6.400), (2, -9.846), (3, -21.333)])
def test_a_bar_a_plate_and_a_block(held: int, published: float) -> None:
    """Held along one, two and three axes; along the others the stress is none."""
    stiffness = isotropic(2000.0, 0.35)
    warmed = np.array([80e-6 * 40.0] * 3 + [0.0] * 3)
    free = list(range(held, 6))
    strain = np.zeros(6)
    if free:
        reduced = stiffness[np.ix_(free, free)]
        strain[free] = np.linalg.solve(reduced, (stiffness @ warmed)[free])
    stress = stiffness @ (strain - warmed)
    compare(float(stress[0]), published, abs=6e-4, source=SOURCE, quantity=f"stress, held along {held} axes [MPa]")
