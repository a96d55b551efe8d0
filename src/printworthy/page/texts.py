"""The text files of a workspace as the page shows and writes them: nothing is lost, whoever else edits them.

A text is written only over the version it was made from; every version that is written over is kept, and can be had
back.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from printworthy.errors import Place, TextError
from printworthy.page.runs import folder_of
from printworthy.workspace.files import LARGEST_TEXT, inside, write_whole

KINDS = (".toml", ".csv", ".md", ".txt")
NAME = re.compile(r"(?:[A-Za-z0-9_][A-Za-z0-9_. -]*/){0,3}[A-Za-z0-9_][A-Za-z0-9_. -]*")
KEPT = 50  # versions of a file


@dataclass(frozen=True, slots=True)
class Text:
    """A text file: its name in the workspace, what stands in it, the hash of that ('' where there is no file), and how
    many earlier versions are kept."""

    name: str
    content: str
    digest: str
    earlier: int


class Changed(Exception):
    """The file is no longer the one that was edited; `text` is what stands there now."""

    def __init__(self, text: Text) -> None:
        self.text = text
        super().__init__(text.name)


def names(root: Path) -> Iterator[str]:
    """The text files of a workspace, the vehicle first."""
    folders = (root, root / "parts", root / "cards", root / "evidence")
    for folder in folders:
        for path in sorted(folder.glob("*")):
            name = path.relative_to(root).as_posix()
            if path.is_file() and path.suffix in KINDS and NAME.fullmatch(name):
                yield name


def place(root: Path, name: str) -> Path:
    """The path of a text file. Raises TextError for a name that is none, or that leads out of the workspace."""
    if not NAME.fullmatch(name) or ".." in name or Path(name).suffix not in KINDS or not inside(root / name, root):
        do = f"Texts are {', '.join(KINDS)} files inside the workspace"
        raise TextError("is not the name of a text of this workspace", where=name[:80], do=do)
    return root / name


def read(root: Path, name: str) -> Text:
    """A text file; empty where there is none yet. Raises TextError where it is no text."""
    path = place(root, name)
    try:
        raw = path.read_bytes()
        content = raw.decode("utf-8-sig").replace("\r\n", "\n")
    except FileNotFoundError:
        return Text(name, "", "", len(_versions(root, name)))
    except UnicodeDecodeError as error:
        raise TextError("is not UTF-8 text", where=Place(path), do="Save the file as UTF-8 text") from error
    return Text(name, content, _digest(raw), len(_versions(root, name)))


def write(root: Path, name: str, content: str, based_on: str) -> Text:
    """Write a text over the version with the hash `based_on`, which is kept. Raises Changed where another stands there
    now, TextError where it cannot be written."""
    path, now = place(root, name), read(root, name)
    if now.digest != based_on:
        raise Changed(now)
    if len(content) > LARGEST_TEXT:
        raise TextError("is larger than any text of a workspace", where=Place(path), do="Check what was pasted")
    if content == now.content:
        return now
    if now.digest:
        _keep(root, name, path)
    windows = now.digest and b"\r\n" in path.read_bytes()
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, (content.replace("\n", "\r\n") if windows else content).encode())
    return read(root, name)


def undo(root: Path, name: str, based_on: str) -> Text:
    """Bring the version before back. Raises Changed, TextError (none is kept)."""
    path, now = place(root, name), read(root, name)
    if now.digest != based_on:
        raise Changed(now)
    versions = _versions(root, name)
    if not versions:
        raise TextError("has no earlier version", where=Place(path), do="Nothing was changed from this page")
    write_whole(path, versions[-1].read_bytes())
    versions[-1].unlink()
    return read(root, name)


def _digest(raw: bytes) -> str:
    return hashlib.sha256(raw).hexdigest()


def _store(root: Path, name: str) -> Path:
    return folder_of(root) / "versions" / quote(name, safe="")


def _versions(root: Path, name: str) -> list[Path]:
    return sorted(_store(root, name).glob("*.old"))


def _keep(root: Path, name: str, path: Path) -> None:
    versions = _versions(root, name)
    number = int(versions[-1].stem) + 1 if versions else 1
    _store(root, name).mkdir(parents=True, exist_ok=True)
    (_store(root, name) / f"{number:06}.old").write_bytes(path.read_bytes())
    for old in versions[: max(0, len(versions) + 1 - KEPT)]:
        old.unlink()
