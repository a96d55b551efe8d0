"""The document model: what a dossier says, with nothing about how it looks.

`page` lays it out as HTML, `pdf` as PDF. Text is plain text everywhere, except
`Figure.svg`, which `figures.py` builds element by element, so that no user text can become markup.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from printworthy.results import Word

ColumnKind = Literal["text", "number", "word", "bar"]


@dataclass(frozen=True, slots=True)
class Cell:
    """One entry: its text and, where it is a number, the value in `unit` and its source. `word` marks a verdict word,
    `bar` a utilisation drawn beside its text, `mark` a short warning such as 'assumed'."""

    text: str
    value: float | None = None
    unit: str = ""
    source: str = ""
    word: Word | None = None
    bar: float | None = None
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Column:
    """The head of a column; `unit` is shown under it and holds for every number in it."""

    title: str
    unit: str = ""
    kind: ColumnKind = "text"


@dataclass(frozen=True, slots=True)
class Row:
    """Cells of one row, the first one names it; `chosen` marks the row that answers for the part; `link` a section."""

    cells: tuple[Cell, ...]
    chosen: bool = False
    link: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A captioned table. `stacked`: on a narrow page each row becomes a block of its own."""

    kind: ClassVar[str] = "table"
    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    note: str = ""
    stacked: bool = False


@dataclass(frozen=True, slots=True)
class Facts:
    """Named figures, each a `Cell`."""

    kind: ClassVar[str] = "facts"
    title: str
    pairs: tuple[tuple[str, Cell], ...]


@dataclass(frozen=True, slots=True)
class Items:
    """A titled list of sentences."""

    kind: ClassVar[str] = "items"
    title: str
    items: tuple[str, ...]
    ordered: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """One paragraph."""

    kind: ClassVar[str] = "text"
    text: str


@dataclass(frozen=True, slots=True)
class ReasonLine:
    """One reason of a verdict: what was asked, the answer, the best word it leaves, its source. `decides`: no other
    reason leaves less, so this one sets the word."""

    screen: str
    words: str
    effect: Word
    source: str
    decides: bool = False


@dataclass(frozen=True, slots=True)
class Decision:
    """The word, the one-line summary of what governs, the reasons in the order asked, the conditions; `instead` names
    an option that reaches a better word, '' if none does."""

    kind: ClassVar[str] = "decision"
    word: Word
    line: str
    reasons: tuple[ReasonLine, ...]
    conditions: tuple[str, ...]
    instead: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture as SVG, what it shows for one who cannot see it, and the key to its marks (mark, meaning).
    `narrow`: it needs little room."""

    kind: ClassVar[str] = "figure"
    svg: str
    alt: str
    caption: str
    key: tuple[tuple[str, str], ...] = ()
    narrow: bool = False


Block = Table | Facts | Items | Text | Decision | Figure


@dataclass(frozen=True, slots=True)
class Section:
    """A headed piece. `anchor` is its address in the file, `invented` marks data that describe no real thing."""

    anchor: str
    title: str
    blocks: tuple[Block, ...]
    sections: tuple[Section, ...] = ()
    invented: bool = False
    word: Word | None = None
    new_page: bool = False


@dataclass(frozen=True, slots=True)
class Document:
    """A whole dossier."""

    title: str
    lead: str
    facts: Facts
    sections: tuple[Section, ...]
    invented: bool
    foot: str
