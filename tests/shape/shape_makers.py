"""Solids with known volumes, written as files of every kind."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import manifold3d as m3
import numpy as np

from printworthy.inputs import Geometry
from printworthy.shape import Source, read

Soup = tuple[np.ndarray, np.ndarray]  # points (n, 3), triangles (m, 3)


def soup(body: Any) -> Soup:
    """Points and triangles of a body."""
    mesh = body.to_mesh64()
    return np.array(mesh.vert_properties)[:, :3].astype(float), np.array(mesh.tri_verts).astype(np.int64)


def box(x: float = 20, y: float = 30, z: float = 10) -> Soup:
    return soup(m3.Manifold.cube([x, y, z]))


def plate_with_hole(sides: int = 48, radius: float = 6.0) -> Soup:
    """A 40 x 30 x 8 mm plate with a hole of `sides` along z at (20, 15)."""
    return soup(m3.Manifold.cube([40, 30, 8]) - m3.Manifold.cylinder(10, radius, radius, sides).translate([20, 15, -1]))


def polygon_area(sides: int, radius: float) -> float:
    """Area of a regular polygon in a circle [mm2]."""
    return 0.5 * sides * radius**2 * math.sin(2 * math.pi / sides)


def together(*parts: Soup) -> Soup:
    """Several soups in one."""
    starts = np.cumsum([0, *(len(p) for p, _ in parts)])
    return np.concatenate([p for p, _ in parts]), np.concatenate(
        [t + s for (_, t), s in zip(parts, starts, strict=False)]
    )


def moved(part: Soup, by: tuple[float, float, float]) -> Soup:
    return part[0] + np.array(by), part[1]


def turned(part: Soup) -> Soup:
    """The same facing inwards."""
    return part[0], part[1][:, ::-1]


def stl(path: Path, part: Soup) -> Path:
    """Write binary STL."""
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("extra", "<u2")])
    rows = np.zeros(len(part[1]), record)
    rows["corners"] = part[0][part[1]]
    path.write_bytes(b"made by a test".ljust(80) + len(rows).to_bytes(4, "little") + rows.tobytes())
    return path


def stl_text(path: Path, part: Soup) -> Path:
    """Write text STL."""
    lines = ["solid made by a test"]
    for corners in part[0][part[1]]:
        lines += ["facet normal 0 0 0", " outer loop", *(f"  vertex {x:.9e} {y:.9e} {z:.9e}" for x, y, z in corners)]
        lines += [" endloop", "endfacet"]
    path.write_text("\n".join([*lines, "endsolid"]))
    return path


def obj(path: Path, part: Soup) -> Path:
    """Write OBJ with textures and normals that must be passed over."""
    points = [f"v {x!r} {y!r} {z!r}" for x, y, z in part[0].tolist()]
    path.write_text(
        "\n".join(
            ["o part", *points, "vn 0 0 1", *(f"f {a + 1}//1 {b + 1}//1 {c + 1}//1" for a, b, c in part[1].tolist())]
        )
    )
    return path


def ply(path: Path, part: Soup, form: str = "ascii") -> Path:
    """Write PLY, text or binary, with a colour column that must be passed over."""
    head = f"ply\nformat {form} 1.0\ncomment made by a test\nelement vertex {len(part[0])}\n"
    head += "".join(f"property double {c}\n" for c in "xyz") + "property uchar red\n"
    head += f"element face {len(part[1])}\nproperty list uchar int vertex_indices\nend_header\n"
    if form == "ascii":
        rows = [f"{x!r} {y!r} {z!r} 7" for x, y, z in part[0].tolist()] + [
            f"3 {a} {b} {c}" for a, b, c in part[1].tolist()
        ]
        path.write_text(head + "\n".join(rows) + "\n")
        return path
    order = "<" if "little" in form else ">"
    points = np.zeros(len(part[0]), [("p", order + "f8", 3), ("red", "u1")])
    points["p"] = part[0]
    faces = np.zeros(len(part[1]), [("n", "u1"), ("f", order + "i4", 3)])
    faces["n"], faces["f"] = 3, part[1]
    path.write_bytes(head.encode() + points.tobytes() + faces.tobytes())
    return path


def source(path: Path, unit: str | None = "mm", **more: Any) -> Source:
    """Read a file as a part would."""
    return read(Geometry(path, unit, **more))
