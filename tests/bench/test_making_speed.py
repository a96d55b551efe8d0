"""Seconds per part for layering, and nesting density against the area bound. Writes docs/benchmarks-making.md."""

from __future__ import annotations

import time
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from printworthy.making.nesting import Piece, area_bound, density, nested
from printworthy.making.printing import Settings, printed

pytestmark = pytest.mark.bench
HOW = Settings(0.2, 45.0, 0.45, 120.0, 180.0, 100.0, 300.0, 5000.0, 8.0, 15.0, 0.4, 0.3, 6.0, 0.15)
REPORT = Path(__file__).parents[2] / "docs" / "benchmarks-making.md"
BED = (250.0, 210.0)
OUTLINES = {
    "discs of 30 mm": tuple((15 * np.cos(t), 15 * np.sin(t)) for t in np.linspace(0, 2 * np.pi, 32, endpoint=False)),
    "angles of 90 mm": ((0, 0), (90, 0), (90, 20), (20, 20), (20, 90), (0, 90)),
    "levers of 160 mm": ((0, 0), (40, 0), (160, 20), (160, 32), (40, 40), (0, 40)),
}


class Body:
    """Triangles of a solid."""

    def __init__(self, solid: manifold3d.Manifold) -> None:
        mesh = solid.to_mesh()
        self.corners = np.asarray(mesh.vert_properties, dtype=float)[:, :3][np.asarray(mesh.tri_verts)]


def bodies() -> dict[str, manifold3d.Manifold]:
    ball = manifold3d.Manifold.sphere(125, 128)
    shell = ball - manifold3d.Manifold.sphere(121, 128)
    bar = manifold3d.Manifold.cube([250, 60, 60]) - manifold3d.Manifold.cylinder(70, 20, 20, 96).translate(
        [125, 30, -5]
    )
    return {"ball of 250 mm": ball, "shell of 250 mm, wall 4 mm": shell, "bar of 250 mm on end": bar.rotate([0, 90, 0])}


def test_layers_and_beds() -> None:
    printed(Body(manifold3d.Manifold.cube([20, 20, 20])), (0, 0, 1), HOW)  # compiles
    lines = ["# Making: benchmarks", "", "Written by `make bench`.", "", "| part | layers | seconds |", "|---|---|---|"]
    for name, solid in bodies().items():
        begin = time.perf_counter()
        made = printed(Body(solid), (0, 0, 1), HOW)
        seconds = time.perf_counter() - begin
        lines.append(f"| {name} | {len(made.layer_seconds)} | {seconds:.2f} |")
        assert seconds < 10
    lines += ["", "| pieces | beds | area bound | density of full beds | seconds |", "|---|---|---|---|---|"]
    for name, outline in OUTLINES.items():
        pieces = [Piece(name, tuple((float(x), float(y)) for x, y in outline))] * 60
        begin = time.perf_counter()
        beds = nested(pieces, BED)
        seconds = time.perf_counter() - begin
        full = max(density(b, BED) for b in beds)
        lines.append(f"| 60 {name} | {len(beds)} | {area_bound(pieces, BED)} | {full:.0%} | {seconds:.1f} |")
        assert len(beds) <= 2 * area_bound(pieces, BED)
    REPORT.write_text("\n".join(lines) + "\n", encoding="utf-8")
