"""What the layers lay down against the volume of the solid, which times the density is the mass on the scale.

Public parts of ../shared/data/geometry, their volumes as another library (trimesh) gave them in its SOURCES.md; parts
of the demo against the CAD kernel that drew them. Every way up lays down the same, so each is printed two ways. That
layers are filled without voids is the model: coupons and weighings know the rest.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from compare import Source, compare

from printworthy import shape
from printworthy.demo.files import step_text
from printworthy.demo.shapes import DRAWINGS
from printworthy.inputs import Geometry, Vector
from printworthy.making.printing import Settings, printed

FOLDER = Path(__file__).parents[2].parent / "shared/data/geometry"
HOW = Settings(0.2, 45.0, 0.45, 120.0, 180.0, 100.0, 300.0, 5000.0, 8.0, 15.0, 0.4, 0.3, 6.0, 0.15)
PUBLIC = Source("Printed volume of public parts", "volumes by trimesh, SOURCES.md of the data", "another program")
DRAWN = Source("Printed volume of parts drawn here", "volumes by the CAD kernel", "another program")
WAYS: dict[str, Vector] = {"flat": (0.0, 0.0, 1.0), "on its side": (1.0, 0.0, 0.0)}
VOLUMES = {
    "clamp_grip_tension_rig": 74447.1, "coupon_flat_25mm2": 3358.83, "coupon_upright_50mm2": 5468.57,
    "rover_steering_knuckle": 122071.0, "rover_differential_lever_240mm": 38438.5, "cross_bar_peg_100mm": 11226.5,
    "handlebar_clamp_half_32mm": 1831.77,
}  # fmt: skip


@pytest.mark.parametrize("name", VOLUMES)
def test_public_parts(name: str) -> None:
    path = FOLDER / f"{name}.stl"
    if not path.is_file():
        pytest.skip(f"{path} is absent: this check was not made")
    surface = shape.read(Geometry(path, unit="mm")).surface
    for way, up in WAYS.items():
        made = printed(surface, up, HOW).volume
        compare(made, VOLUMES[name], rel=5e-3, source=PUBLIC, quantity=f"{words(name)}, {way} [mm3]")


@pytest.mark.parametrize("name", ["hand-lever", "head-gusset", "foot-peg"])
def test_drawn_parts(name: str, tmp_path: Path) -> None:
    solid = DRAWINGS[name].draw()
    path = tmp_path / f"{name}.step"
    path.write_text(step_text(solid, name))
    made = printed(shape.read(Geometry(path)).surface, (0.0, 0.0, 1.0), HOW).volume
    compare(made, float(solid.mass), rel=5e-3, source=DRAWN, quantity=f"{words(name)} [mm3]")


def words(name: str) -> str:
    """A file's name as words."""
    return name.replace("_", " ").replace("-", " ")
