"""Geometry files as bytes: is there a file, what kind is it, is its size sane."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from printworthy.errors import GeometryError

KINDS = {".stl": "STL", ".obj": "OBJ", ".ply": "PLY", ".3mf": "3MF", ".step": "STEP", ".stp": "STEP"}
MOST_BYTES = 400_000_000  # a part that needs more has far more triangles than a strength calculation can use
MOST_TRIANGLES = 2_000_000


@dataclass(frozen=True, slots=True, eq=False)
class Raw:
    """Triangles as the file holds them: points (n, 3) in file units, triangles (m, 3), piece (m,) number of the object
    each belongs to, names of the objects; what the reader noticed."""

    points: np.ndarray
    triangles: np.ndarray
    found: tuple[str, ...] = ()
    piece: np.ndarray | None = None
    names: tuple[str, ...] = field(default=())


def content(path: Path) -> tuple[bytes, str]:
    """Bytes and kind of a geometry file. Raises GeometryError: missing, folder, empty, too large, kind unknown or not
    what the name says."""
    kind = KINDS.get(path.suffix.lower(), "")
    if not path.exists():
        raise GeometryError(
            "there is no such file", where=str(path), do="Check the name; it is relative to the part's own folder"
        )
    if not path.is_file():
        raise GeometryError("this is a folder, not a file", where=str(path), do="Name the geometry file in it")
    if not kind:
        raise GeometryError(
            f"files of kind '{path.suffix or 'no ending'}' are not read",
            where=str(path),
            do="Give STL, OBJ, PLY, 3MF or STEP",
        )
    size = path.stat().st_size
    if size > MOST_BYTES:
        raise GeometryError(
            f"the file has {size / 1e6:.0f} MB, more than {MOST_BYTES / 1e6:.0f} MB",
            where=str(path),
            do="Export it coarser, or as STEP",
        )
    try:
        data = path.read_bytes()
    except OSError as error:
        raise GeometryError(
            f"the file cannot be opened ({error.strerror})", where=str(path), do="Check its permissions"
        ) from error
    if not data.strip():
        raise GeometryError("the file is empty", where=str(path), do="Export it again")
    real = sniff(data)
    if real and real != kind:
        raise GeometryError(
            f"the name says {kind}, the content is {real}", where=str(path), do="Give it the right ending"
        )
    return data, kind


def sniff(data: bytes) -> str:
    """Kind of a file by its first bytes; empty where they do not tell."""
    head = data[:512].lstrip()
    for mark, kind in ((b"ISO-10303-21", "STEP"), (b"PK\x03\x04", "3MF"), (b"ply\n", "PLY"), (b"ply\r", "PLY")):
        if head.startswith(mark):
            return kind
    return "STL" if head.startswith(b"solid") and b"facet" in data[:4096] else ""


def sha256(data: bytes) -> str:
    """Hash of a file's bytes."""
    return hashlib.sha256(data).hexdigest()


def checked(path: Path, points: np.ndarray, triangles: np.ndarray) -> None:
    """Raise GeometryError where numbers are not finite, corners do not exist, or there is nothing to see."""
    if not len(triangles) or not len(points):
        raise GeometryError("the file holds no triangles", where=str(path), do="Export the solid again")
    if len(triangles) > MOST_TRIANGLES:
        raise GeometryError(
            f"{len(triangles)} triangles, more than {MOST_TRIANGLES}",
            where=str(path),
            do="Export it coarser, or as STEP",
        )
    if triangles.min() < 0 or triangles.max() >= len(points):
        bad = int(np.flatnonzero((triangles < 0).any(axis=1) | (triangles >= len(points)).any(axis=1))[0]) + 1
        raise GeometryError(
            f"triangle {bad} names a corner that the file does not hold ({len(points)} points)",
            where=str(path),
            do="Export it again",
        )
    used = np.isfinite(points[triangles]).all(axis=(1, 2))
    if not used.all():
        bad = int(np.flatnonzero(~used)[0]) + 1
        raise GeometryError(f"triangle {bad} has a corner that is not a number", where=str(path), do="Export it again")
    largest = float(np.abs(points[triangles]).max())
    if largest > 1e12:
        raise GeometryError(
            f"a corner lies at {largest:.3g}, which is no length", where=str(path), do="Export it again"
        )
