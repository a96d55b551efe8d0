"""Tables of evidence/*.csv: which kind a file is, its rows by column, and cells read with their units."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from printworthy import units
from printworthy.errors import CardError, InputError, Place
from printworthy.workspace.files import read_text
from printworthy.workspace.validate import near_spelling

Kind = Literal["coupons", "fatigue", "weighings", "dimensions"]
# The column that no other kind has. A file that cannot be read counts as coupons, whose reader says what is wrong.
MARKS: dict[str, Kind] = {"cycles": "fatigue", "mass": "weighings", "nominal": "dimensions"}


@dataclass(frozen=True, slots=True)
class Layout:
    """Columns of one kind of table; of `either` exactly one stands in a heading."""

    required: tuple[str, ...]
    optional: tuple[str, ...]
    either: tuple[str, ...] = ()

    @property
    def known(self) -> tuple[str, ...]:
        """Every column."""
        return self.required + self.either + self.optional


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its place, its cells by column."""

    place: Place
    cells: dict[str, str]

    def at(self, column: str) -> Place:
        """The place of a cell."""
        return Place(self.place.file, self.place.line, column)

    def number(self, column: str, dimension: str, unit: str = "") -> float:
        """The number of a cell; a bare one is in `unit`. CardError if it is empty or none of that dimension."""
        cell = self.cells[column]
        if not cell:
            raise CardError(f"{column} is empty", where=self.at(column), do="Fill it in for every row")
        try:
            float(cell)
            cell = f"{cell} {unit}".strip()
        except ValueError:
            pass  # has its own unit, or is no number: the reader of quantities says so
        try:
            return units.quantity(cell, dimension)
        except InputError as error:
            raise CardError(error.what, where=self.at(column), do=error.do) from error

    def positive(self, column: str, dimension: str, unit: str = "") -> float:
        """`number`, above zero."""
        value = self.number(column, dimension, unit)
        if not value > 0:
            raise CardError(
                f"{self.cells[column]} is not above zero", where=self.at(column), do="Give what was measured"
            )
        return value

    def word(self, column: str, known: Iterable[str]) -> str:
        """A cell that holds one of the `known` words."""
        cell, known = self.cells[column], tuple(known)
        if cell not in known:
            do = f"{near_spelling(cell, known)}Known are: {', '.join(known)}"
            raise CardError(f'{column} "{cell}" is not known', where=self.at(column), do=do)
        return cell

    def text(self, column: str) -> str:
        """A cell that holds any words, not empty."""
        if not self.cells[column]:
            raise CardError(f"{column} is empty", where=self.at(column), do="Fill it in for every row")
        return self.cells[column]


def files_of(root: Path, kind: Kind) -> list[Path]:
    """The files of one kind in evidence/, by their headings."""
    return [path for path in sorted((root / "evidence").glob("*.csv")) if _kind(path, root) == kind]


def _kind(path: Path, root: Path) -> Kind:
    try:
        columns = _split(*_lines(path, root)[0])
    except (InputError, IndexError):
        return "coupons"
    return next((kind for mark, kind in MARKS.items() if mark in columns), "coupons")


def read_rows(path: Path, root: Path | None, layout: Layout) -> tuple[list[Row], list[InputError]]:
    """The rows of a file under its checked heading, and what is wrong with heading and rows as such."""
    rows: list[Row] = []
    problems: list[InputError] = []
    try:
        lines = _lines(path, root)
        columns = _heading(lines, path, layout)
    except InputError as error:
        return [], [error]
    for place, line in lines[1:]:
        try:
            cells = _split(place, line)
            if len(cells) != len(columns):
                what = f"has {len(cells)} cells under {len(columns)} columns"
                raise CardError(what, where=place, do="Write decimals with a point and texts with commas in quotes")
            rows.append(Row(place, dict(zip(columns, cells, strict=True))))
        except InputError as error:
            problems.append(error)
    if len(lines) == 1:
        problems.append(CardError("holds no row", where=lines[0][0], do="Add one row for each piece"))
    return rows, problems


def once(problems: Sequence[InputError]) -> list[InputError]:
    """The same fault in many rows as one line, at the first of them."""
    groups: dict[tuple[str, str], list[InputError]] = {}
    for problem in problems:
        field = problem.where.field if isinstance(problem.where, Place) else ""
        groups.setdefault((problem.what, field), []).append(problem)
    return [
        first if not more else CardError(f"{first.what} (and in {len(more)} more rows)", where=first.where, do=first.do)
        for first, *more in groups.values()
    ]


def _lines(path: Path, root: Path | None) -> list[tuple[Place, str]]:
    text = read_text(path, root)
    return [
        (Place(path, n), line)
        for n, line in enumerate(text.split("\n"), 1)
        if line.strip() and not line.startswith("#")
    ]


def _heading(lines: Sequence[tuple[Place, str]], path: Path, layout: Layout) -> list[str]:
    if not lines:
        raise CardError("holds no heading", where=Place(path), do=f"Begin with: {','.join(layout.required)}")
    place, heading = lines[0]
    columns = _split(place, heading)
    for problem in _heading_problems(columns, place, layout):
        raise problem
    return columns


def _heading_problems(columns: Sequence[str], place: Place, layout: Layout) -> Iterator[CardError]:
    for name in columns:
        if name not in layout.known:
            do = near_spelling(name, layout.known) or f"Known are: {', '.join(layout.known)}"
            yield CardError(f'column "{name}" is not known', where=place, do=do)
    if len(set(columns)) < len(columns):
        yield CardError("a column stands twice", where=place, do="Keep one of them")
    missing = [name for name in layout.required if name not in columns]
    if missing:
        yield CardError(f"column {' and '.join(missing)} is missing", where=place, do="Add it to every row")
    if layout.either and len(set(columns).intersection(layout.either)) != 1:
        what = f"exactly one of the columns {' and '.join(layout.either)} is needed"
        yield CardError(what, where=place, do="Keep the one that was measured")


def _split(place: Place, line: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line], strict=True))]
    except csv.Error as error:
        raise CardError(f"is not a row of CSV: {error}", where=place, do="Close each quote in its own row") from error
