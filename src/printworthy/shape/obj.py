"""OBJ (text): points `v`, faces `f`; everything else (normals, textures, groups) is not needed."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np

from printworthy.errors import GeometryError
from printworthy.shape.raw import MOST_TRIANGLES, Raw
from printworthy.shape.words import count


def read(path: Path, data: bytes) -> Raw:
    """Triangles of an OBJ file; faces with more corners are fanned. Raises GeometryError with the line."""
    points: list[list[float]] = []
    triangles: list[tuple[int, int, int]] = []
    fanned = 0
    for number, line in enumerate(data.decode("utf-8", "replace").splitlines(), 1):
        words = line.split()
        if not words or words[0] not in ("v", "f"):
            continue
        if words[0] == "v":
            points.append(_point(path, number, words))
            continue
        corners = [_corner(path, number, w, len(points)) for w in words[1:]]
        if len(corners) < 3:
            raise _wrong(path, number, f"a face with {len(corners)} corners")
        fanned += len(corners) > 3
        triangles += [(corners[0], b, c) for b, c in pairwise(corners[1:])]
        if len(triangles) > MOST_TRIANGLES:
            raise _wrong(path, number, f"more than {MOST_TRIANGLES} triangles")
    note = (f"{count(fanned, 'face')} with more than three corners were split into triangles",) if fanned else ()
    return Raw(np.array(points, dtype=float).reshape(-1, 3), np.array(triangles, dtype=np.int64).reshape(-1, 3), note)


def _point(path: Path, line: int, words: list[str]) -> list[float]:
    try:
        return [float(w) for w in (words[1], words[2], words[3])]
    except (ValueError, IndexError):
        raise _wrong(path, line, f"expected three numbers, found '{' '.join(words[1:])[:40]}'") from None


def _corner(path: Path, line: int, word: str, count: int) -> int:
    """Point number from 0 of a corner such as 7, 7/2, 7//3 or -1 (counted back from the last point so far)."""
    try:
        index = int(word.split("/")[0])
    except ValueError:
        raise _wrong(path, line, f"'{word[:20]}' is not a point number") from None
    number = index - 1 if index > 0 else count + index
    if index == 0 or number < 0:
        raise _wrong(path, line, f"point number {index} does not exist")
    return number


def _wrong(path: Path, line: int, what: str) -> GeometryError:
    return GeometryError(what, where=f"{path}:{line}", do="Export it again")
