"""Opening the text files of a workspace: what stands in them, and on which line."""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from printworthy.errors import Place, TextError
from printworthy.workspace import lines

# A text of a person is some kilobytes; a thousand coupons are some tens of kilobytes. More is the wrong file.
LARGEST_TEXT = 1_000_000  # [bytes]
LONGEST_LINE = 3_000  # [characters]; also keeps numbers within what Python will turn into text


@dataclass(frozen=True, slots=True)
class Document:
    """A TOML file as read: plain values, and the line of each."""

    path: Path
    data: Mapping[str, Any]
    index: Mapping[lines.Path, int]

    def place(self, *path: str | int) -> Place:
        """Where `path` stands in the file, named as a person would: case[2].load[1].force."""
        return Place(self.path, lines.line_of(self.index, path), dotted(path))


def dotted(path: tuple[str | int, ...]) -> str:
    """A path of keys and numbers from 0 as text, numbers from 1."""
    text = "".join(f"[{part + 1}]" if isinstance(part, int) else f".{part}" for part in path)
    return text.removeprefix(".")


def read_text(path: Path, root: Path | None = None, largest: int = LARGEST_TEXT) -> str:
    """The text of a file inside `root` of `largest` [bytes], with line ends made "\\n".

    Raises:
        TextError: not there, not a plain file, led out of `root` by a link or "..", empty, too large, not UTF-8.
    """
    if unusable := _unusable(path, root, largest):
        raise TextError(unusable[0], where=Place(path), do=unusable[1])
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise TextError(f"cannot be read: {error.strerror}", where=Place(path), do="Check its permissions") from error
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise TextError("is not UTF-8 text", where=Place(path, line), do="Save the file as UTF-8 text") from error
    if not text.strip():
        raise TextError("is empty", where=Place(path), do="Write it, or remove it")
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    for number, line_text in enumerate(text.split("\n"), 1):
        if len(line_text) > LONGEST_LINE:
            what = f"has a line of {len(line_text)} characters"
            raise TextError(what, where=Place(path, number), do=f"Break it; {LONGEST_LINE} are taken")
    return text


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that a reader never meets half of it, and it is on the disk when this returns."""
    aside = path.with_name(f".{path.name}.{os.getpid()}")
    with aside.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    aside.replace(path)


def inside(path: Path, root: Path) -> bool:
    """Whether `path`, with every link followed, stays in `root`."""
    # os.path.realpath, because Path.resolve raises on a link that leads to itself.
    return Path(os.path.realpath(path)).is_relative_to(os.path.realpath(root))


def read_toml(path: Path, root: Path | None = None) -> Document:
    """Read one TOML file inside `root`.

    Raises:
        TextError: as for `read_text`, or the text is not sound TOML (with the line).
    """
    text = read_text(path, root)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _syntax(path, text, str(error)) from error
    except RecursionError as error:
        raise TextError(
            "is nested too deeply", where=Place(path), do="No table here needs more than five levels"
        ) from error
    return Document(path, data, lines.line_index(text))


def _unusable(path: Path, root: Path | None, largest: int = LARGEST_TEXT) -> tuple[str, str] | None:
    if root is not None and not inside(path, root):
        return "leads out of the workspace", f"Put a copy of the file inside {root}"
    if not path.exists():
        return "is not there", "Write it, or correct its name"
    if not path.is_file():
        return "is not a plain file", "Put a text file there"
    size = path.stat().st_size
    if size > largest:
        return f"has {size / 1e6:.1f} MB, more than any text of a workspace needs", "Check that it is the right file"
    return None


def _syntax(path: Path, text: str, message: str) -> TextError:
    match = re.search(r" \(at (?:line (\d+), column (\d+)|end of document)\)$", message)
    line = int(match[1]) if match and match[1] else text.count("\n", 0, len(text.rstrip())) + 1
    plain = message[: match.start()] if match else message
    shown = text.split("\n")[line - 1].strip()[:60]
    do = "Texts and quantities stand in quotes, tables in [brackets]"
    if re.search("[“”„‘’]", shown):
        do = 'The quotes must be straight ones ("), not typographic ones'
    elif re.match("Cannot (overwrite|declare|mutate)|.*already", plain):
        do = "The same name stands twice; repeated tables are written [[name]]"
    return TextError(f"is not sound TOML: {plain[:1].lower()}{plain[1:]}, at: {shown}", where=Place(path, line), do=do)
