"""STL, text and binary (layout: 3D Systems, StereoLithography Interface Specification, 1988; from memory)."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from printworthy.errors import GeometryError
from printworthy.shape.raw import MOST_TRIANGLES, Raw
from printworthy.shape.words import count

RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("extra", "<u2")])
AGAIN = "The file is damaged or cut short: export it again"


def read(path: Path, data: bytes) -> Raw:
    """Triangles of an STL file. Raises GeometryError with the line or the counts that do not fit."""
    count = int.from_bytes(data[80:84], "little") if len(data) >= 84 else -1
    if count >= 0 and len(data) == 84 + RECORD.itemsize * count:
        facets = np.frombuffer(data, RECORD, count, 84)
        return _indexed(facets["corners"].astype(float), facets["normal"].astype(float))
    if data.lstrip()[:5].lower() == b"solid" and b"\0" not in data[:2048]:
        return _indexed(*_text(path, data))
    if len(data) < 84:
        raise GeometryError(f"{len(data)} bytes are too few for an STL file", where=str(path), do=AGAIN)
    holds = (len(data) - 84) / RECORD.itemsize
    raise GeometryError(
        f"the header says {count} triangles, the file has room for {holds:.4g}", where=str(path), do=AGAIN
    )


def _indexed(corners: np.ndarray, said: np.ndarray) -> Raw:
    """Corners (m, 3, 3) with equal points merged; remarks where stored normals contradict the order of the corners."""
    bad = ~np.isfinite(corners)
    safe = np.where(bad, np.nan, corners).reshape(-1, 3) + 0.0  # -0.0 becomes 0.0, so that equal points are equal bytes
    points, index = np.unique(safe, axis=0, return_inverse=True, equal_nan=False)
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    against = int((np.einsum("ij,ij->i", cross, np.nan_to_num(said)) < 0).sum())
    odd = int((~np.isfinite(said)).any(axis=1).sum())
    found = []
    if against:
        found.append(f"{count(against, 'stored normal')} against the order of the corners; the order is used")
    if odd:
        found.append(f"{count(odd, 'stored normal')} not a number; not used")
    return Raw(points, index.reshape(-1, 3), tuple(found))


def _text(path: Path, data: bytes) -> tuple[np.ndarray, np.ndarray]:
    """Corners (m, 3, 3) and stored normals (m, 3) of a text STL."""
    corners: list[list[float]] = []
    stored: list[list[float]] = []
    open_loop = 0
    number = 0
    for number, line in enumerate(data.decode("latin-1").splitlines(), 1):
        words = line.split()
        head = words[0].lower() if words else ""
        if head == "vertex":
            corners.append(_numbers(path, number, words[1:]))
        elif head == "facet":
            stored.append(_numbers(path, number, words[2:]))
            open_loop = len(corners)
        elif head == "endloop" and len(corners) - open_loop != 3:
            raise _wrong(path, number, f"a facet with {len(corners) - open_loop} corners; STL facets have three")
        elif head not in ("endloop", "outer", "endfacet", "solid", "endsolid", ""):
            raise _wrong(path, number, f"'{words[0][:20]}' is not an STL word")
        if len(stored) > MOST_TRIANGLES:
            raise _wrong(path, number, f"more than {MOST_TRIANGLES} triangles")
    if len(corners) != 3 * len(stored):
        raise _wrong(path, number, f"{len(stored)} facets but {len(corners)} corners")
    return np.array(corners, dtype=float).reshape(-1, 3, 3), np.array(stored, dtype=float).reshape(-1, 3)


def _numbers(path: Path, line: int, words: list[str]) -> list[float]:
    try:
        x, y, z = (float(w) for w in words)
    except ValueError:
        raise _wrong(path, line, f"expected three numbers, found '{' '.join(words)[:40]}'") from None
    return [x, y, z]


def _wrong(path: Path, line: int, what: str) -> GeometryError:
    return GeometryError(what, where=f"{path}:{line}", do="Export it again")
