"""PLY, text and binary: element `vertex` with x y z, element `face` with one list of point numbers."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from printworthy.errors import GeometryError
from printworthy.shape.raw import MOST_TRIANGLES, Raw
from printworthy.shape.words import count

TYPES = {
    "char": "i1",
    "int8": "i1",
    "uchar": "u1",
    "uint8": "u1",
    "short": "i2",
    "int16": "i2",
    "ushort": "u2",
    "uint16": "u2",
    "int": "i4",
    "int32": "i4",
    "uint": "u4",
    "uint32": "u4",
    "float": "f4",
    "float32": "f4",
    "double": "f8",
    "float64": "f8",
}
LISTS = ("vertex_indices", "vertex_index")
AGAIN = "The file is damaged or cut short: export it again"


@dataclass(frozen=True, slots=True)
class Element:
    """One element of the header: name, count, properties as (name, type, type of the list's length or '')."""

    name: str
    count: int
    properties: tuple[tuple[str, str, str], ...]


def read(path: Path, data: bytes) -> Raw:
    """Triangles of a PLY file; faces with more corners are fanned. Raises GeometryError."""
    form, elements, body = _header(path, data)
    rows: dict[str, list[np.ndarray] | np.ndarray] = {}
    reader = (
        _Text(path, body) if form == "ascii" else _Binary(path, body, "<" if form == "binary_little_endian" else ">")
    )
    for element in elements:
        rows[element.name] = reader.element(element)
        if "vertex" in rows and "face" in rows:
            break
    if "vertex" not in rows or "face" not in rows:
        raise GeometryError("no points or no faces in the file", where=str(path), do="Export the solid again")
    return _fanned(np.asarray(rows["vertex"], dtype=float).reshape(-1, 3), rows["face"])


def _fanned(points: np.ndarray, faces: list[np.ndarray] | np.ndarray) -> Raw:
    if isinstance(faces, np.ndarray):
        return Raw(points, faces.astype(np.int64))
    fans = [np.column_stack([np.full(len(f) - 2, f[0]), f[1:-1], f[2:]]) for f in faces if len(f) >= 3]
    more = sum(len(f) > 3 for f in faces)
    note = (f"{count(more, 'face')} with more than three corners were split into triangles",) if more else ()
    return Raw(points, np.concatenate(fans).astype(np.int64) if fans else np.zeros((0, 3), np.int64), note)


def _header(path: Path, data: bytes) -> tuple[str, list[Element], bytes]:
    end = data.find(b"end_header")
    if not data.startswith(b"ply") or end < 0:
        raise GeometryError("no PLY header", where=str(path), do=AGAIN)
    start = data.find(b"\n", end) + 1
    form, elements = "", list[Element]()
    for number, line in enumerate(data[:end].decode("latin-1").splitlines(), 1):
        match line.split():
            case ["format", kind, *_] if kind in ("ascii", "binary_little_endian", "binary_big_endian"):
                form = kind
            case ["element", name, count] if count.isdigit():
                elements.append(Element(name, int(count), ()))
            case ["property", "list", length, kind, name] if elements and length in TYPES and kind in TYPES:
                elements[-1] = _with(elements[-1], (name, kind, length))
            case ["property", kind, name] if elements and kind in TYPES:
                elements[-1] = _with(elements[-1], (name, kind, ""))
            case [] | ["ply" | "comment" | "obj_info", *_]:
                pass
            case _:
                raise GeometryError(
                    f"'{line[:40]}' is not a PLY header line", where=f"{path}:{number}", do="Export it again"
                )
    if not form:
        raise GeometryError("the PLY header names no format", where=str(path), do=AGAIN)
    if sum(e.count for e in elements) > 2 * MOST_TRIANGLES:
        raise GeometryError(f"more than {MOST_TRIANGLES} triangles", where=str(path), do="Export it coarser")
    return form, elements, data[start:]


def _with(element: Element, item: tuple[str, str, str]) -> Element:
    return Element(element.name, element.count, (*element.properties, item))


def _columns(path: Path, element: Element) -> list[int]:
    names = [p[0] for p in element.properties]
    if not {"x", "y", "z"} <= set(names):
        raise GeometryError("the points have no x, y, z", where=str(path), do="Export it again")
    return [names.index(c) for c in "xyz"]


class _Text:
    """Reads elements one after another from text; a row is a line."""

    def __init__(self, path: Path, body: bytes) -> None:
        self.path, self.lines, self.at = path, body.decode("latin-1").splitlines(), 0

    def element(self, element: Element) -> list[np.ndarray] | np.ndarray:
        lines = self.lines[self.at : self.at + element.count]
        self.at += element.count
        try:
            rows = [[float(w) for w in line.split()] for line in lines]
        except ValueError as error:
            raise GeometryError(f"in element '{element.name}': {error}", where=str(self.path), do=AGAIN) from None
        if len(rows) < element.count:
            raise GeometryError(
                f"the header says {element.count} of '{element.name}', the file holds {len(rows)}",
                where=str(self.path),
                do=AGAIN,
            )
        if element.name == "vertex":
            columns = _columns(self.path, element)
            if any(len(r) <= max(columns) for r in rows):
                raise GeometryError("a point with too few numbers", where=str(self.path), do=AGAIN)
            return np.array([[r[c] for c in columns] for r in rows])
        if element.name != "face":
            return rows  # type: ignore[return-value]
        if any(not r or len(r) < r[0] + 1 for r in rows):
            raise GeometryError("a face with too few corners", where=str(self.path), do=AGAIN)
        return [np.array(r[1 : int(r[0]) + 1], dtype=np.int64) for r in rows]


class _Binary:
    """Reads elements one after another from bytes."""

    def __init__(self, path: Path, body: bytes, order: str) -> None:
        self.path, self.body, self.order, self.at = path, body, order, 0

    def element(self, element: Element) -> list[np.ndarray] | np.ndarray:
        if not any(length for _, _, length in element.properties):
            table = self._table(np.dtype([(n, self.order + TYPES[t]) for n, t, _ in element.properties]), element)
            if element.name != "vertex":
                return table
            _columns(self.path, element)
            return np.column_stack([table[c] for c in "xyz"])
        return self._faces(element)

    def _table(self, kind: np.dtype, element: Element) -> np.ndarray:
        if self.at + kind.itemsize * element.count > len(self.body):
            holds = (len(self.body) - self.at) // kind.itemsize
            raise GeometryError(
                f"the header says {element.count} of '{element.name}', the file holds {holds}",
                where=str(self.path),
                do=AGAIN,
            )
        table = np.frombuffer(self.body, kind, element.count, self.at)
        self.at += kind.itemsize * element.count
        return table

    def _faces(self, element: Element) -> list[np.ndarray] | np.ndarray:
        """All-triangle faces in one step; anything else row by row."""
        if all(p[0] in LISTS or not p[2] for p in element.properties):
            kind = np.dtype([f for n, t, length in element.properties for f in self._fields(n, t, length)])
            if self.at + kind.itemsize * element.count <= len(self.body):
                table = np.frombuffer(self.body, kind, element.count, self.at)
                name = next(n for n, _, length in element.properties if length)
                if (table["n_" + name] == 3).all():
                    self.at += kind.itemsize * element.count
                    return np.asarray(table[name])
        return [self._row(element) for _ in range(element.count)]

    def _fields(self, name: str, kind: str, length: str) -> list[tuple[str, str] | tuple[str, str, int]]:
        if not length:
            return [(name, self.order + TYPES[kind])]
        return [("n_" + name, self.order + TYPES[length]), (name, self.order + TYPES[kind], 3)]

    def _row(self, element: Element) -> np.ndarray:
        corners = np.zeros(0, np.int64)
        for name, kind, length in element.properties:
            count = int(self._take(length, 1, element)[0]) if length else 1
            values = self._take(kind, count, element)
            corners = values.astype(np.int64) if name in LISTS else corners
        return corners

    def _take(self, kind: str, count: int, element: Element) -> np.ndarray:
        dtype = np.dtype(self.order + TYPES[kind])
        if count < 0 or self.at + dtype.itemsize * count > len(self.body):
            raise GeometryError(f"the file ends inside element '{element.name}'", where=str(self.path), do=AGAIN)
        values = np.frombuffer(self.body, dtype, count, self.at)
        self.at += dtype.itemsize * count
        return values
