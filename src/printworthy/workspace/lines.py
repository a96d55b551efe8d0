"""On which line of a TOML text each value stands.

`tomllib` gives the values and the line of a syntax error, but not the line of a value that is sound TOML and wrong in
meaning. This walk over the same text, made only after `tomllib` has accepted it, fills that gap; it checks nothing.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Mapping

Path = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_STRINGS = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}(?!")'  # a multi-line string may end in up to two quotes of its own
    r"|'''(?:.)*?'{3,5}(?!')"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_SCALAR = re.compile(r"[^,\]}#\r\n]+")


def line_index(text: str) -> dict[Path, int]:
    """Line, from 1, of every key, table and array entry of a sound TOML text, by path of keys and numbers from 0."""
    return _Walk(text).lines


def line_of(index: Mapping[Path, int], path: Path) -> int:
    """The line of `path`, or of the nearest thing around it that stands in the text; 1 where nothing does."""
    while path:
        if path in index:
            return index[path]
        path = path[:-1]
    return 1


class _Walk:
    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.breaks = [match.start() for match in re.finditer("\n", text)]
        self.lines: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}
        table: Path = ()
        self.blank()
        while self.at < len(text):
            if text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)
            self.blank()

    def blank(self) -> None:
        match = _BLANK.match(self.text, self.at)
        self.at = match.end() if match else self.at

    def take(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self.text, self.at)
        if match is None:  # tomllib took the text, so this walk and tomllib disagree: a fault here, not of the person
            raise AssertionError(f"line index lost its way at character {self.at}")
        self.at = match.end()
        return match[0]

    def mark(self, path: Path, at: int) -> None:
        self.lines.setdefault(path, bisect_right(self.breaks, at - 1) + 1)

    def key(self) -> list[str]:
        """A dotted key; stands after it, before "=" or "]"."""
        parts = []
        while True:
            self.blank()
            if self.text[self.at] in "\"'":
                parts.append(str(tomllib.loads(f"key = {self.take(_STRINGS)}")["key"]))
            else:
                parts.append(self.take(_BARE))
            self.blank()
            if self.text[self.at] != ".":
                return parts
            self.at += 1

    def header(self) -> Path:
        start, double = self.at, self.text.startswith("[[", self.at)
        self.at += 2 if double else 1
        parts = self.key()
        self.at += 2 if double else 1
        path: Path = ()
        for number, part in enumerate(parts):
            path = (*path, part)
            self.mark(path, start)
            if double and number == len(parts) - 1:
                self.counts[path] = self.counts.get(path, 0) + 1
            if path in self.counts:
                path = (*path, self.counts[path] - 1)
                self.mark(path, start)
        return path

    def pair(self, table: Path) -> None:
        self.blank()
        start, path = self.at, table
        for part in self.key():
            path = (*path, part)
            self.mark(path, start)
        self.at += 1  # "="
        self.value(path)

    def value(self, path: Path) -> None:
        self.blank()
        opening = self.text[self.at]
        if opening == "[":
            self.entries(path)
        elif opening == "{":
            self.inline(path)
        else:
            self.take(_STRINGS if opening in "\"'" else _SCALAR)

    def entries(self, path: Path) -> None:
        self.at += 1
        number = 0
        self.blank()
        while self.text[self.at] != "]":
            self.mark((*path, number), self.at)
            self.value((*path, number))
            number += 1
            self.comma()
        self.at += 1

    def inline(self, path: Path) -> None:
        self.at += 1
        self.blank()
        while self.text[self.at] != "}":
            self.pair(path)
            self.comma()
        self.at += 1

    def comma(self) -> None:
        self.blank()
        if self.text[self.at] == ",":
            self.at += 1
            self.blank()
