"""3MF through lib3mf: declared unit, build items, components with transforms."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import lib3mf
import numpy as np
from lib3mf import Lib3MF

from printworthy.errors import GeometryError
from printworthy.shape.raw import MOST_TRIANGLES, Raw

UNITS = {"MicroMeter": "um", "MilliMeter": "mm", "CentiMeter": "cm", "Meter": "m", "Inch": "inch", "Foot": "foot"}
MOST_UNPACKED = 1_500_000_000  # bytes; a package that unpacks to more is an attack or a mistake
MOST_RATIO = 200  # text of coordinates packs about 5 to 1
DEEPEST = 32  # nested components


def read(path: Path, data: bytes) -> tuple[Raw, str]:
    """Triangles of all build items and the declared unit. Raises GeometryError with the reader's own reason."""
    _check_package(path, data)
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    try:
        reader.ReadFromBuffer(data)
        pieces = [piece for item in _items(model) for piece in _instances(item, 0)]
    except Lib3MF.ELib3MFException as error:
        raise GeometryError(
            f"the 3MF reader refuses it ({_reason(error)})", where=str(path), do="Export it again"
        ) from error
    if not pieces:
        raise GeometryError(
            "the 3MF file builds nothing: it has no mesh among its build items",
            where=str(path),
            do="Export the part itself, not only its settings",
        )
    if sum(len(t) for _, t, _ in pieces) > MOST_TRIANGLES:
        raise GeometryError(
            f"more than {MOST_TRIANGLES} triangles", where=str(path), do="Export it coarser, or as STEP"
        )
    return _joined(pieces), UNITS[Lib3MF.ModelUnit(model.GetUnit()).name]


def _check_package(path: Path, data: bytes) -> None:
    """Refuse what is no zip archive, or unpacks to an absurd size, before anything is unpacked."""
    try:
        files = zipfile.ZipFile(io.BytesIO(data)).infolist()
    except zipfile.BadZipFile as error:
        raise GeometryError(f"not a 3MF package ({error})", where=str(path), do="Export it again") from error
    unpacked = sum(f.file_size for f in files)
    if unpacked > MOST_UNPACKED or any(
        f.file_size > 50e6 and f.file_size > MOST_RATIO * max(f.compress_size, 1) for f in files
    ):
        raise GeometryError(
            f"the package of {len(data) / 1e6:.3g} MB unpacks to {unpacked / 1e6:.0f} MB",
            where=str(path),
            do="Export it again; this is not a package of one part",
        )


def _reason(error: Lib3MF.ELib3MFException) -> str:
    return " ".join(str(error).split()).removeprefix("Lib3MFException ")


def _items(model: Any) -> Iterator[tuple[Any, np.ndarray, str]]:
    items = model.GetBuildItems()
    while items.MoveNext():
        item = items.GetCurrent()
        move = _matrix(item.GetObjectTransform()) if item.HasObjectTransform() else np.eye(4)
        yield item.GetObjectResource(), move, item.GetPartNumber()


def _instances(item: tuple[Any, np.ndarray, str], depth: int) -> Iterator[tuple[np.ndarray, np.ndarray, str]]:
    """Points, triangles, name of each mesh below an object, moved into place."""
    thing, move, name = item
    if depth > DEEPEST:
        raise Lib3MF.ELib3MFException(0, f"components nested more than {DEEPEST} deep")
    if thing.IsComponentsObject():
        for k in range(thing.GetComponentCount()):
            part = thing.GetComponent(k)
            inner = _matrix(part.GetTransform()) if part.HasTransform() else np.eye(4)
            yield from _instances((part.GetObjectResource(), move @ inner, thing.GetName() or name), depth + 1)
    elif thing.IsMeshObject():
        points = np.array([tuple(p.Coordinates) for p in thing.GetVertices()], dtype=float).reshape(-1, 3)
        triangles = np.array([tuple(t.Indices) for t in thing.GetTriangleIndices()], dtype=np.int64).reshape(-1, 3)
        if np.linalg.det(move[:3, :3]) < 0:  # a mirror turns the triangles inside out
            triangles = triangles[:, ::-1]
        yield points @ move[:3, :3].T + move[:3, 3], triangles, thing.GetName() or name


def _matrix(transform: Any) -> np.ndarray:
    """4 x 4 matrix for column vectors of the format's row-vector 4 x 3 transform."""
    fields = np.array([list(row) for row in transform.Fields], dtype=float)
    matrix = np.eye(4)
    matrix[:3, :] = fields.T
    return matrix


def _joined(pieces: list[tuple[np.ndarray, np.ndarray, str]]) -> Raw:
    starts = np.cumsum([0, *(len(p) for p, _, _ in pieces)])
    triangles = np.concatenate([t + s for (_, t, _), s in zip(pieces, starts[:-1], strict=True)])
    piece = np.repeat(np.arange(len(pieces)), [len(t) for _, t, _ in pieces])
    return Raw(np.concatenate([p for p, _, _ in pieces]), triangles, (), piece, tuple(n for _, _, n in pieces))
