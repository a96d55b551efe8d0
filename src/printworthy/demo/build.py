"""Writes the demo workspace: text as shipped, geometry drawn on the spot, the same bytes on every run."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from functools import partial
from importlib.metadata import version
from pathlib import Path

from printworthy.demo.files import step_text, stl_bytes, triangles
from printworthy.demo.shapes import DRAWINGS, Drawing
from printworthy.errors import InputError
from printworthy.workers import Crew, Tell, spread
from printworthy.workspace.cache import Cache, key
from printworthy.workspace.files import write_whole

SHIPPED = Path(__file__).parent
MARK = "vehicle.toml"  # a folder that holds the demo's own vehicle is a demo workspace


def build(folder: Path, progress: Tell = lambda *_: None, workers: int | Crew | None = 1) -> None:
    """Write the whole demo workspace into `folder`; what is there already and unchanged is left untouched.

    `progress` is told the part being drawn; `workers` as for `printworthy.workers.spread`.

    Raises:
        InputError: the folder holds something else, or a file of the demo that was changed since.
    """
    texts = dict(_texts())
    _refuse_foreign(folder, texts)
    for name in sorted(texts, key=lambda name: name != MARK):  # that one first: a broken-off run can then go on
        _put(folder, name, texts[name])
    hand = key("drawings", version("netgen-mesher"), sorted(SHIPPED.rglob("*.py")))
    missing = [name for name in DRAWINGS if not _there(folder, name, hand)]
    spread(partial(_draw, folder, hand), missing, progress, workers)


def _texts() -> Iterator[tuple[str, bytes]]:
    """Files that are shipped as they are: workspace text, and the real part with its licence."""
    for source in (SHIPPED / "workspace", SHIPPED / "example"):
        for path in sorted(source.rglob("*")):
            if path.is_file():
                where = Path("parts", path.name) if source.name == "example" else path.relative_to(source)
                yield where.as_posix(), path.read_bytes()


def _there(folder: Path, name: str, hand: str) -> bool:
    """Whether a drawn part is there as this code, of the key `hand`, draws it."""
    path, kept = folder / place(name, DRAWINGS[name]), Cache(folder / ".cache").get(key(hand, name))
    return kept is not None and path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest() == kept.text


def _draw(folder: Path, hand: str, name: str, progress: Tell) -> None:
    """Write the file of a drawn part."""
    progress(name, "drawing", 0.0)
    content = drawn(name, DRAWINGS[name])
    _put(folder, place(name, DRAWINGS[name]), content)
    Cache(folder / ".cache").put(key(hand, name), hashlib.sha256(content).hexdigest())


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
