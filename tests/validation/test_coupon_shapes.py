"""Coupons that were really broken, as solids: the stress of the neck, and where it is highest.

Shapes and neck areas of joshcarter/tensile_test, commit 0ac91a45 (BSD-3-Clause, (c) 2025 Josh Carter), read from
../shared/data/geometry. The author's strengths are breaking force over the neck's area. Where each coupon broke is not
recorded: that the highest stress lies between the shoulders is the most that can be held against it.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from compare import Source, compare

from printworthy import shape
from printworthy.inputs import Geometry, Load, Support, Vector
from printworthy.strength.elastic import layer_frame, strain_rotation
from printworthy.strength.margin import layer_stress
from specimens import card, facets_where, specimen

FOLDER = Path(__file__).parents[2].parent / "shared/data/geometry"
SOURCE = Source("Neck areas of broken coupons (BSD-3-Clause)", "names of the files", "found")
COUPONS: dict[str, tuple[float, Vector]] = {
    "coupon_flat_25mm2": (25.0, (0.0, 0.0, 1.0)),
    "coupon_upright_50mm2": (50.0, (0.0, 1.0, 0.0)),
}
PULL, GRIP, GRIPPED, NEAR = 1000.0, 8.0, 200.0, 0.7  # [N], [mm], [N/mm3], [mm]


@pytest.mark.parametrize("name", COUPONS)
def test_neck(name: str) -> None:
    path = FOLDER / f"{name}.stl"
    if not path.is_file():
        pytest.skip(f"{path} is absent: this check was not made")
    area, up = COUPONS[name]
    body = shape.mesh(shape.read(Geometry(path, unit="mm")))
    low, high = body.points[:, 1].min(), body.points[:, 1].max()
    ends = {
        "held": facets_where(body, lambda c: c[..., 1] < low + GRIP),
        "pulled": facets_where(body, lambda c: c[..., 1] > high - GRIP),
    }
    grip = [Support("held", "foundation", GRIPPED, GRIPPED)]
    coupon = specimen(body, card(3500, 2800, 0.36, 0.36, 1100), ends, grip, [Load("force", "pulled", (0, PULL, 0))])
    m, found = coupon.model, coupon.solve(up)
    stress = (layer_stress(m, found, 0) @ strain_rotation(layer_frame(np.array(up))))[:, 1]
    away = np.abs(m.sampler.points[:, 1] - 0.5 * (low + high))
    inner = len(m.sampler.weights)
    near = away[:inner] < NEAR
    mean = float(np.average(stress[:inner][near], weights=m.sampler.weights[near]))
    words = f"force over mean stress, {name.replace('_', ' ')} [mm2]"
    why = "the mesher gives another mesh each time, whose points near the neck are some tens"
    compare(PULL / mean, area, rel=0.03, source=SOURCE, quantity=words, why=why)
    assert away[int(np.argmax(stress))] < 0.5 * (high - low) - GRIP
    assert stress.max() > 1.05 * mean  # force over area is less than the highest stress: it understates the material
