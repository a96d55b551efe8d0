"""Tables of numbers under headings with units, `frame up [m/s^2]`: a column without a unit is asked about, not guessed.

Headings stand in the first line; lines that begin with # are passed over. A unit stands in the heading, or is stated by
whoever names the column; where neither says, the line that asks shows what each candidate would mean.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from printworthy import units
from printworthy.errors import CardError, InputError, Place, UnitNeeded
from printworthy.units import G
from printworthy.workspace.files import read_text
from printworthy.workspace.validate import near_spelling

Array = NDArray[np.float64]
LARGEST = 50_000_000  # [bytes]: a quarter of an hour at 2 kHz in three columns
_HEADING = re.compile(r"\s*(?P<name>[^\[\]]*?)\s*(?:\[(?P<unit>[^\]]*)\])?\s*")
# What a peak acceleration may come from (common practice, no source), so that a wrong unit shows itself.
MEANINGS = ((1.0, "a smooth road"), (6.0, "a rough track"), (25.0, "a kerb taken at speed"), (1e9, "a crash"))


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """Rows of cells with the lines they stand in, under names with units ("" where none stands)."""

    path: Path
    names: tuple[str, ...]
    units: tuple[str, ...]
    lines: tuple[int, ...]
    rows: tuple[tuple[str, ...], ...]

    def column(self, wanted: str) -> int:
        """The number of a column by its name, with or without the unit of its heading. Raises CardError."""
        full = [f"{n} [{u}]" if u else n for n, u in zip(self.names, self.units, strict=True)]
        for known in (full, list(self.names)):
            if known.count(wanted) == 1:
                return known.index(wanted)
        do = f"{near_spelling(wanted, self.names)}Columns are: {', '.join(full)}"
        raise CardError(f'has no column "{wanted}"', where=Place(self.path, 1), do=do)

    def numbers(self, at: int, rows: Sequence[int] | None = None) -> Array:
        """The bare numbers of a column (n,), of all rows or of some. Raises CardError with the line."""
        chosen = range(len(self.rows)) if rows is None else rows
        found = []
        for i in chosen:
            try:
                value = float(self.rows[i][at])
            except ValueError:
                value = float("nan")
            if not np.isfinite(value):
                what = f'"{self.rows[i][at]}" is not a finite number'
                do = "Correct the row, or take it out; write decimals with a point"
                raise CardError(what, where=Place(self.path, self.lines[i], self.names[at]), do=do)
            found.append(value)
        return np.array(found)

    def unit(self, at: int, stated: Mapping[str, str]) -> str:
        """The unit of a column, from its heading or as stated; "" where nobody says. Raises CardError for two."""
        name, own = self.names[at], self.units[at]
        said = stated.get(name) or stated.get(f"{name} [{own}]", "")
        if own and said and own != said:
            what = f'column "{name}" is headed [{own}] and stated to be in {said}'
            raise CardError(what, where=Place(self.path, 1), do="Correct the wrong one")
        return own or said


def read_table(path: Path, root: Path) -> Table:
    """A table of numbers. Raises InputError with file and line."""
    lines = [
        (n, line)
        for n, line in enumerate(read_text(path, root, LARGEST).split("\n"), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    where = Place(path, lines[0][0] if lines else 1)
    if len(lines) < 2:
        raise CardError("holds a heading and no numbers", where=where, do="Write one row for each reading")
    if ";" in lines[0][1] and "," not in lines[0][1]:
        raise CardError(
            "is parted by semicolons", where=where, do="Save it with commas between cells and points in numbers"
        )
    try:
        cells = [tuple(c.strip() for c in row) for row in csv.reader([line for _, line in lines], strict=True)]
    except csv.Error as error:
        raise CardError(f"is not CSV: {error}", where=where, do="Close each quote in its own row") from error
    heads = [match for cell in cells[0] if (match := _HEADING.fullmatch(cell)) is not None]
    if len(heads) < len(cells[0]) or any(not h["name"] for h in heads):
        do = 'Write the name of each column with its unit: "time [s],frame up [m/s^2]"'
        raise CardError("a column has no name that can be read", where=where, do=do)
    for (number, _), row in zip(lines[1:], cells[1:], strict=True):
        if len(row) != len(heads):
            what = f"has {len(row)} cells under {len(heads)} columns"
            raise CardError(what, where=Place(path, number), do="Write decimals with a point, texts with commas quoted")
    names, own = (tuple(h[key] or "" for h in heads) for key in ("name", "unit"))
    return Table(path, names, own, tuple(n for n, _ in lines[1:]), tuple(cells[1:]))


def in_unit(table: Table, at: int, unit: str, dimension: str, values: Array) -> Array:
    """Values (n,) of a column in the inside unit of a dimension. Raises CardError for a unit of another kind."""
    try:
        factor = units.quantity(f"1 {unit}", dimension)
    except InputError as error:
        raise CardError(error.what, where=Place(table.path, 1, table.names[at]), do=error.do) from error
    return values * factor


def quantity(table: Table, at: int, dimension: str, stated: Mapping[str, str], rows: Sequence[int] | None = None
             ) -> Array:  # fmt: skip
    """A column (n,) in the inside unit of its dimension. Raises UnitNeeded, which asks, and CardError."""
    values = table.numbers(at, rows)
    unit = table.unit(at, stated)
    if not unit and units.DIMENSIONS[dimension].unit:
        raise asked(table, at, dimension, values)
    return in_unit(table, at, unit, dimension, values)


def asked(table: Table, at: int, dimension: str, values: Array) -> UnitNeeded:
    """The line that asks for a unit and says what each candidate would mean."""
    name = table.names[at]
    peak = float(np.abs(values).max(initial=0.0))
    do = f'Find out in which unit it was recorded and write it into the heading: "{name} [{CANDIDATES[dimension][0]}]"'
    meant = "; ".join(_meaning(dimension, unit, peak, values) for unit in CANDIDATES[dimension])
    return UnitNeeded(f'column "{name}" has no unit. {meant}', where=Place(table.path, 1, name), do=do)


CANDIDATES = {
    "acceleration": ("m/s^2", "g"), "load": ("m/s^2", "g", "N"), "force": ("N", "kN", "kgf"), "time": ("s", "ms"),
    "frequency": ("Hz", "1/min"), "acceleration density": ("(m/s^2)^2/Hz", "g^2/Hz"),
}  # fmt: skip


def _meaning(dimension: str, unit: str, peak: float, values: Array) -> str:
    if dimension == "time":
        return f"In {unit} it lasts {units.show(units.quantity(f'{np.ptp(values):.12g} {unit}', 'time'), 'time')}"
    if dimension == "acceleration density":
        level = units.quantity(f"{peak:.12g} {unit}", dimension)
        return f"In {unit} its largest is {units.show(level, dimension)}"
    if unit in ("m/s^2", "g"):
        value = units.quantity(f"{peak:.12g} {unit}", "acceleration")
        what = next(word for limit, word in MEANINGS if value <= limit * G)
        return f"In {unit} its peak of {peak:.3g} is {value / G:.3g} times gravity, {what}"
    return f"In {unit} its largest is {peak:.3g} {unit}"
