"""Results kept by the hash of everything they depend on.

An entry is one file, named by its key: a line with the SHA-256 of what follows, then an npz archive that holds a JSON
text and arrays. It is written to a temporary file beside it and renamed, so that another process sees all of it or
nothing; two processes that compute the same entry write the same content, and either may win.
"""

from __future__ import annotations

import functools
import hashlib
import io
import json
import math
import os
import re
import tempfile
from collections.abc import Callable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field, fields, is_dataclass
from pathlib import Path
from typing import Any, NamedTuple, ParamSpec, TypeVar

import numpy as np

from printworthy.errors import GeometryError, Place

# Raised by one whenever the layout of entries or of keys changes, so that old entries are not found any more.
LAYOUT = 2
_TEXT = "__text__"
_TRUTHS = (bool, np.bool_)
_NUMBERS = (int, float, np.integer, np.floating)
REMEMBERED = 32  # answers of one function
Asked = ParamSpec("Asked")
Answer = TypeVar("Answer")


class Entry(NamedTuple):
    """What was kept: a JSON text, and arrays by name."""

    text: str
    arrays: dict[str, np.ndarray]


@dataclass(frozen=True, slots=True)
class Cache:
    """Entries in `folder`. What goes wrong with one (damaged, cannot be written) costs a computation, never a result;
    `reported` gathers the lines that tell the person so."""

    folder: Path
    reported: list[str] = field(default_factory=list)

    def get(self, key: str) -> Entry | None:
        """The entry of `key`, or None when there is none or it is damaged (then it is reported and removed)."""
        path = self._path(key)
        try:
            raw = path.read_bytes()
        except FileNotFoundError:
            return None
        except OSError as error:
            self.reported.append(f"{path}: a kept result cannot be read ({error.strerror}); it is computed again")
            return None
        if (content := intact(raw)) is None:
            self.reported.append(f"{path}: a kept result is damaged; it is computed again")
            path.unlink(missing_ok=True)
            return None
        with np.load(io.BytesIO(content), allow_pickle=False) as archive:
            arrays = {name: archive[name] for name in archive.files}
        return Entry(arrays.pop(_TEXT).tobytes().decode(), arrays)

    def holds(self, key: str) -> bool:
        """Whether there is an entry of `key`, without reading it."""
        return self._path(key).is_file()

    def put(self, key: str, text: str, arrays: Mapping[str, np.ndarray] | None = None) -> None:
        """Keep a JSON text and arrays (no arrays of objects) under `key`, in one step that cannot be seen half done."""
        path = self._path(key)
        stream = io.BytesIO()
        np.savez(stream, allow_pickle=False, **{_TEXT: np.frombuffer(text.encode(), np.uint8)}, **(arrays or {}))
        content = stream.getvalue()
        digest = hashlib.sha256(content).hexdigest().encode()
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(dir=self.folder, prefix=f"{key[:8]}-", suffix=".part")
            temporary = Path(name)
            try:
                with os.fdopen(handle, "wb") as file:
                    file.write(digest + b"\n" + content)
                temporary.replace(path)
            finally:
                temporary.unlink(missing_ok=True)
        except OSError as error:
            self.reported.append(f"{path}: a result cannot be kept ({error.strerror}); nothing else is affected")

    def _path(self, key: str) -> Path:
        if not re.fullmatch("[0-9a-f]{64}", key):
            raise ValueError(f"not a key: {key!r}")
        return self.folder / f"{key}.result"


def intact(raw: bytes) -> bytes | None:
    """What an entry's file holds after its hash; None where the two do not agree."""
    digest, _, content = raw.partition(b"\n")
    return content if digest.decode("ascii", "replace") == hashlib.sha256(content).hexdigest() else None


def key(*things: object) -> str:
    """SHA-256 over the content of `things`: records, mappings, sequences, texts, numbers, arrays, files.

    A `Path` stands for the content of its file, not its name. A `Place` is left out, because a line number changes
    nothing computed. Equal numbers have equal keys (1 and 1.0, 0.0 and -0.0); mappings and sets have no order.

    Raises:
        GeometryError: a file that is stated is not there.
        TypeError: a thing whose content is not defined here.
        ValueError: a number that is not finite.
    """
    text = json.dumps(["printworthy", LAYOUT, _content(things)], ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def once(function: Callable[Asked, Answer]) -> Callable[Asked, Answer]:
    """`function` with its last answers kept by the `key` of what it was asked: for records, which have no hash."""
    kept: dict[str, Answer] = {}

    @functools.wraps(function)
    def known(*args: Asked.args, **named: Asked.kwargs) -> Answer:
        name = key(args, named)
        if name not in kept:
            if len(kept) == REMEMBERED:
                kept.pop(next(iter(kept)))
            kept[name] = function(*args, **named)
        return kept[name]

    return known


def _content(thing: object) -> Any:
    """Nested lists and texts, each beginning with a letter for its kind, so that no two things share a form."""
    if isinstance(thing, str):
        return f"t{thing}"
    if thing is None or isinstance(thing, Place):
        return None
    if isinstance(thing, _TRUTHS):
        return bool(thing)
    if isinstance(thing, _NUMBERS):
        return _number(thing)
    if isinstance(thing, bytes):
        return f"b{hashlib.sha256(thing).hexdigest()}"
    if isinstance(thing, Path):
        return f"f{_file(thing)}"
    if isinstance(thing, np.ndarray):
        return _array(thing)
    kind: Any = type(thing)
    if (names := _names(kind)) is not None:
        return ["r", kind.__qualname__, [[name, _content(getattr(thing, name))] for name in names]]
    return _collection(thing)


@functools.cache
def _names(kind: type[Any]) -> tuple[str, ...] | None:
    """Fields of a kind of record; None for what is none."""
    return tuple(f.name for f in fields(kind)) if is_dataclass(kind) else None


def _collection(thing: object) -> Any:
    if isinstance(thing, Mapping):
        items = [[_content(name), _content(item)] for name, item in thing.items()]
        return ["m", sorted(items, key=lambda item: json.dumps(item[0]))]
    if isinstance(thing, AbstractSet):
        return ["s", sorted([_content(item) for item in thing], key=json.dumps)]
    if isinstance(thing, Sequence):
        return ["l", *[_content(item) for item in thing]]
    raise TypeError(f"no key for a {type(thing).__name__}")


def _number(value: float | np.integer[Any] | np.floating[Any]) -> str:
    if not math.isfinite(value):
        raise ValueError(f"no key for the number {value}")
    whole = int(value)
    # An integer beyond 2**53 has no float of its own: written out as the integer it is.
    return f"n{whole}" if whole == value else f"n{float(value)!r}"


def _array(array: np.ndarray) -> list[Any]:
    if array.dtype.hasobject:
        raise TypeError("no key for an array of objects")
    digest = hashlib.sha256(np.ascontiguousarray(array).tobytes()).hexdigest()
    return ["a", array.dtype.str, list(array.shape), digest]


def _file(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        do = "Put it there, or correct its name"
        raise GeometryError(f"cannot be read: {error.strerror}", where=Place(path), do=do) from error
