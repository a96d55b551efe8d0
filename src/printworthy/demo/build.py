"""Writes the demo workspace: text as shipped, geometry drawn on the spot, the same bytes on every run."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from importlib.metadata import version
from pathlib import Path

from printworthy.demo.files import step_text, stl_bytes, triangles
from printworthy.demo.shapes import DRAWINGS, Drawing
from printworthy.errors import InputError
from printworthy.workspace.cache import Cache, key
from printworthy.workspace.files import write_whole

SHIPPED = Path(__file__).parent
MARK = "vehicle.toml"  # a folder that holds the demo's own vehicle is a demo workspace
Progress = Callable[[str, float], None]


def build(folder: Path, progress: Progress | None = None) -> None:
    """Write the whole demo workspace into `folder`; what is there already and unchanged is left untouched.

    `progress` is told the part being drawn and the share done.

    Raises:
        InputError: the folder holds something else, or a file of the demo that was changed since.
    """
    texts = dict(_texts())
    _refuse_foreign(folder, texts)
    for number, (name, content) in enumerate(_contents(folder, texts)):
        if progress is not None:
            progress(name, number / (len(texts) + len(DRAWINGS)))
        if content is not None:
            _put(folder, name, content)


def _texts() -> Iterator[tuple[str, bytes]]:
    """Files that are shipped as they are: workspace text, and the real part with its licence."""
    for source in (SHIPPED / "workspace", SHIPPED / "example"):
        for path in sorted(source.rglob("*")):
            if path.is_file():
                where = Path("parts", path.name) if source.name == "example" else path.relative_to(source)
                yield where.as_posix(), path.read_bytes()


def _contents(folder: Path, texts: Mapping[str, bytes]) -> Iterator[tuple[str, bytes | None]]:
    """Every file with its bytes, the marking one first, so that a broken-off run can go on; None for a drawn one that
    is already there as this code draws it."""
    yield MARK, texts[MARK]
    yield from ((name, content) for name, content in texts.items() if name != MARK)
    known = Cache(folder / ".cache")
    hand = key("drawings", version("netgen-mesher"), sorted(SHIPPED.rglob("*.py")))
    for name, drawing in DRAWINGS.items():
        path, mark = folder / place(name, drawing), key(hand, name)
        kept = known.get(mark)
        if kept and path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest() == kept.text:
            yield place(name, drawing), None
            continue
        content = drawn(name, drawing)
        yield place(name, drawing), content
        known.put(mark, hashlib.sha256(content).hexdigest())


def place(name: str, drawing: Drawing) -> str:
    """Path of a drawn part in the workspace."""
    return f"parts/{name}.stl" if drawing.triangle else f"parts/{name}.step"


def drawn(name: str, drawing: Drawing) -> bytes:
    """The file of a drawn part."""
    solid = drawing.draw()
    if drawing.triangle:
        return stl_bytes(triangles(solid, drawing.triangle), name)
    return step_text(solid, name).encode("ascii")


def _refuse_foreign(folder: Path, texts: Mapping[str, bytes]) -> None:
    """A folder that is there must be empty or hold the demo's vehicle, and no text of the demo may be changed."""
    if not folder.exists():
        return
    if not folder.is_dir():
        raise InputError("is a file", where=f"{folder}", do="Name a folder for the demo")
    if any(folder.iterdir()) and not (folder / MARK).is_file():
        raise InputError("the folder is not empty", where=f"{folder}", do="Name a new or empty folder for the demo")
    for name, content in texts.items():
        _refuse_changed(folder / name, content)


def _refuse_changed(path: Path, content: bytes) -> None:
    if path.is_file() and path.read_bytes() != content:
        do = "Name a new folder for the demo, or assess this one as it is"
        raise InputError("differs from the demo and would be overwritten", where=f"{path}", do=do)


def _put(folder: Path, name: str, content: bytes) -> None:
    """Write a file whole or not at all; an identical one keeps its time stamp."""
    path = folder / name
    if path.is_file() and path.read_bytes() == content:
        return
    _refuse_changed(path, content)
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, content)
