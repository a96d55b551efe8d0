"""A small workspace to start from: one invented part with its geometry, complete and commented."""

from __future__ import annotations

import math
import struct
from collections.abc import Iterator
from importlib.resources import files
from itertools import pairwise
from pathlib import Path

from printworthy.errors import Place, TextError

Corner = tuple[float, float, float]

EXAMPLE = Path(str(files("printworthy"))) / "workspace" / "example"
TEXTS = ("vehicle.toml", "parts/lamp-bracket.toml", "evidence/petg.csv")
SOLID = "parts/lamp-bracket.stl"


def new(root: Path) -> None:
    """Write the example into `root`, which may exist.

    Raises:
        TextError: a file of the example is there already, or the folder cannot be written.
    """
    taken = [name for name in (*TEXTS, SOLID) if (root / name).exists()]
    if taken:
        raise TextError(
            "is there already", where=Place(root / taken[0]), do="Name a new folder; nothing is overwritten"
        )
    contents = {name: (EXAMPLE / name).read_bytes() for name in TEXTS} | {SOLID: _stl(list(_bracket()))}
    try:
        for name, content in contents.items():
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            with (root / name).open("xb") as file:
                file.write(content)
    except OSError as error:
        raise TextError(f"cannot be written: {error.strerror}", where=Place(root), do="Name another folder") from error


def _bracket() -> Iterator[tuple[Corner, Corner, Corner]]:
    """Triangles [mm] of an angle bracket: a wall 6 thick and 60 high along z, a shelf 6 thick and 50 long along x, a
    fillet of radius 10 between them, 40 wide along y. Counter-clockwise seen from outside."""
    arc = [math.radians(270.0 - 90.0 * step / 12) for step in range(13)]
    fillet = [(16.0 + 10.0 * math.cos(angle), 16.0 + 10.0 * math.sin(angle)) for angle in arc]
    outline = [(0.0, 0.0), (50.0, 0.0), (50.0, 6.0), *fillet, (6.0, 60.0), (0.0, 60.0)]
    near, far = -20.0, 20.0
    # Every corner of the outline is seen from its first, so the two ends are fans about it.
    for (ax, az), (bx, bz) in pairwise(outline[1:]):
        yield (0.0, near, 0.0), (ax, near, az), (bx, near, bz)
        yield (0.0, far, 0.0), (bx, far, bz), (ax, far, az)
    for (ax, az), (bx, bz) in pairwise([*outline, outline[0]]):
        yield (ax, near, az), (ax, far, az), (bx, far, bz)
        yield (ax, near, az), (bx, far, bz), (bx, near, bz)


def _stl(triangles: list[tuple[Corner, Corner, Corner]]) -> bytes:
    """Binary STL. The normals are left zero, as the format allows; readers take them from the order of the corners."""
    records = [struct.pack("<12fH", 0.0, 0.0, 0.0, *a, *b, *c, 0) for a, b, c in triangles]
    return b"invented example, mm".ljust(80) + struct.pack("<I", len(records)) + b"".join(records)
