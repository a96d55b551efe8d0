"""Beads, single moves and sections against closed forms.

Bead: a rectangle with two half circles, derived. Moves: constant acceleration (trapezoid), derived; with limited jerk
the symmetric seven-phase move, derived. Sections: sphere, cone, box (Euclid, Archimedes).
"""

from __future__ import annotations

from math import pi

import manifold3d
import numpy as np
import pytest
from compare import Source, compare

from printworthy.making.motion import bead_area, flow_limited, reached, rest_to_rest
from printworthy.making.printing import Settings, printed
from printworthy.making.sections import slices

BEAD = Source("Bead with round ends", "area (w - h) h + pi h^2 / 4, pitch area / h", "derived")
MOVE = Source("Moves at limited acceleration", "rest to rest; L >= v^2/a: L/v + v/a, else 2 sqrt(L/a)", "derived")
SMOOTH = Source("Moves at limited jerk", "rest to rest, seven phases; L/v + v/a + a/j if full a is reached", "derived")
SOLIDS = Source("Archimedes and Euclid", "sphere, cone and box: volume, and area of single sections", "derived")
G = 9806.65


class Body:
    """Triangles of a solid."""

    def __init__(self, solid: manifold3d.Manifold) -> None:
        mesh = solid.to_mesh()
        points = np.asarray(mesh.vert_properties, dtype=float)[:, :3]
        self.corners = points[np.asarray(mesh.tri_verts)]


@pytest.mark.parametrize(
    ("width", "layer", "area", "pitch"),
    [
        (0.42, 0.20, 0.075416, 0.377080),
        (0.48, 0.20, 0.087416, 0.437080),
        (0.50, 0.25, 0.111587, 0.446350),
        (0.60, 0.30, 0.160686, 0.535619),
    ],
)
def test_bead(width: float, layer: float, area: float, pitch: float) -> None:
    found = bead_area(width, layer)
    compare(found, area, rel=1e-5, source=BEAD, quantity=f"area of {width:g} x {layer:g} mm [mm2]")
    compare(found / layer, pitch, rel=1e-5, source=BEAD, quantity=f"pitch of {width:g} x {layer:g} mm [mm]")


def test_flow_bound() -> None:
    for width, layer, flow in ((0.42, 0.2, 4.5250), (0.48, 0.2, 5.2450), (0.50, 0.25, 6.6952), (0.60, 0.30, 9.6412)):
        speed = flow_limited(1e9, flow, bead_area(width, layer))
        compare(speed, 60.0, rel=2e-5, source=BEAD, quantity=f"speed at {flow} mm3/s, {width:g} x {layer:g} mm [mm/s]")
    speed = flow_limited(1e9, 24.0, bead_area(0.50, 0.25))
    compare(speed, 215.08, rel=1e-4, source=BEAD, quantity="speed at 24 mm3/s, 0.5 x 0.25 mm [mm/s]")


@pytest.mark.parametrize(
    ("length", "speed", "acceleration", "seconds", "peak"),
    [
        (100, 100, 1_000, 1.100000, 100),
        (100, 300, 20_000, 0.348333, 300),
        (100, 300, 20 * G, 0.3348629, 300),
        (1, 300, 20 * G, 0.00486291, 300),
        (0.2, 300, 20 * G, 0.00201962, 198.057),
        (0.4, 500, 20 * G, 0.00285617, 280.095),
        (10, 500, 5_000, 0.0894427, 223.607),
        (50, 500, 5_000, 0.200000, 500),
    ],
)
def test_move(length: float, speed: float, acceleration: float, seconds: float, peak: float) -> None:
    time, reached = rest_to_rest(length, speed, acceleration)
    name = f"{length:g} mm at {speed:g} mm/s, {acceleration:g} mm/s2"
    compare(time, seconds, rel=2e-6, source=MOVE, quantity=f"{name}: time [s]")
    compare(reached, peak, rel=2e-6, source=MOVE, quantity=f"{name}: peak speed [mm/s]")


def test_run_up() -> None:
    speed = reached(0.0, 0.229436, 1e9, 20 * G, 0.0)
    compare(speed, 300.0, rel=3e-6, source=MOVE, quantity="speed after 0.229436 mm at 20 g [mm/s]")


def test_smooth_move() -> None:
    # a^2/j = 250 mm/s is below 300: full acceleration is reached; by hand 100/300 + 300/5000 + 5000/1e5.
    time, _ = rest_to_rest(100, 300, 5000, 1e5)
    compare(time, 100 / 300 + 0.06 + 0.05, rel=1e-9, source=SMOOTH, quantity="100 mm, 300 mm/s, 5 m/s2, 100 m/s3 [s]")
    # so short that neither speed nor acceleration is reached: 4 (L / (2 j))^(1/3)
    time, _ = rest_to_rest(0.1, 300, 5000, 1e5)
    compare(time, 4 * (0.1 / 2e5) ** (1 / 3), rel=1e-6, source=SMOOTH, quantity="0.1 mm at the same limits [s]")


def test_sections() -> None:
    ball = slices(Body(manifold3d.Manifold.sphere(20, 512)), (0, 0, 1), 0.2)
    why = "facets lie inside the round surface"
    compare(ball.volume, 4 / 3 * pi * 20**3, rel=5e-4, source=SOLIDS, quantity="ball, radius 20 mm [mm3]", why=why)
    for k in (10, 100, 170):
        z = (k + 0.5) * 0.2 - 20
        quantity = f"section of the ball at height {z:g} mm [mm2]"
        compare(ball.areas[k], pi * (400 - z * z), rel=2e-3, source=SOLIDS, quantity=quantity, why=why)
    cone = slices(Body(manifold3d.Manifold.cylinder(30, 15, 0, 512)), (0, 0, 1), 0.2)
    compare(cone.volume, pi * 15**2 * 10, rel=5e-4, source=SOLIDS, quantity="cone, radius 15, height 30 mm [mm3]")
    box = slices(Body(manifold3d.Manifold.cube([30, 20, 10])), (1, 2, 3), 0.2)
    compare(box.volume, 6000, rel=1e-4, source=SOLIDS, quantity="box 30 x 20 x 10 mm in oblique layers [mm3]")


def test_mass() -> None:
    # 20 cm3 at 1.24 g/cm3 are 24.80 g; of a 1.75 mm strand 8315.03 mm. A 20 x 20 x 50 mm block, printed on edge.
    how = Settings(0.2, 45.0, 0.45, 120.0, 180.0, 100.0, 300.0, 5000.0, 8.0, 15.0, 0.4, 0.3, 6.0, 0.15)
    made = printed(Body(manifold3d.Manifold.cube([20, 20, 50])), (1, 0, 1), how)
    source = Source("Mass of layers", "volume times density; strand of 1.75 mm", "derived")
    compare(made.volume * 1.24e-3, 24.80, rel=5e-3, source=source, quantity="20 cm3 at 1.24 g/cm3, oblique layers [g]")
    strand = made.volume / (pi * 1.75**2 / 4)
    compare(strand, 8315.03, rel=5e-3, source=source, quantity="strand for 20 cm3 [mm]")
