"""Test records: evidence/*.csv, one coupon a row, grouped into sets.

Columns: set, material, direction, then strength and unit, or force, unit and area; source, invented; optional
temperature, moisture, batch. A bare area is in mm^2, a bare temperature in degC; a cell with its own unit is taken as
it says.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import cast, get_args

from printworthy import units
from printworthy.errors import CardError, InputError, Place
from printworthy.inputs import CouponDirection, CouponSet
from printworthy.workspace.files import read_text
from printworthy.workspace.rows import files_of, once
from printworthy.workspace.validate import near_spelling

REQUIRED = ("set", "material", "direction", "unit", "source", "invented")
MEASURED = ("strength", "force", "area")
OPTIONAL = ("temperature", "moisture", "batch")
DIRECTIONS: tuple[str, ...] = get_args(CouponDirection)

# No printed polymer or light metal breaks outside this [MPa]; foams and hard steels are not what is tested here.
PLAUSIBLE = (0.1, 3000.0)
# Equal coupons, even poor prints, stay within a factor of a few; ten means two units in one column.
LARGEST_SPREAD = 10.0
LABORATORY = 23.0  # [degC], standard laboratory atmosphere of ISO 291, from memory


@dataclass(frozen=True, slots=True)
class _Row:
    place: Place
    cells: dict[str, str]
    strength: float  # [MPa]
    temperature: float | None  # [degC]


def collect_coupons(root: Path, materials: Iterable[str]) -> tuple[list[CouponSet], list[InputError]]:
    """The coupon sets of the workspace, and every problem; `materials` are the names of the cards."""
    sets: dict[str, CouponSet] = {}
    problems: list[InputError] = []
    known = tuple(materials)
    for path in files_of(root, "coupons"):
        found, wrong = read_coupons(path, known, root)
        problems += wrong
        for coupons in found:
            if coupons.name in sets:
                what = f'set "{coupons.name}" is already in {sets[coupons.name].place.file.name}'
                problems.append(CardError(what, where=coupons.place, do="Give each set its own name"))
            sets.setdefault(coupons.name, coupons)
    return list(sets.values()), problems


def read_coupons(
    path: Path, materials: Sequence[str], root: Path | None = None
) -> tuple[list[CouponSet], list[InputError]]:
    """The sets of one file made of its sound rows, and everything that is wrong in it."""
    try:
        text = read_text(path, root)
        lines = [(n, line) for n, line in enumerate(text.split("\n"), 1) if line.strip() and not line.startswith("#")]
        columns = _columns(path, lines)
    except InputError as error:
        return [], [error]
    problems: list[InputError] = []
    rows: dict[str, list[_Row]] = {}
    for number, line in lines[1:]:
        place = Place(path, number)
        try:
            cells = _cells(place, columns, line)
        except InputError as error:
            problems.append(error)
            continue
        row, wrong = _row(place, cells, materials)
        problems += wrong
        if row is not None:
            rows.setdefault(cells["set"], []).append(row)
    if len(lines) == 1:
        problems.append(CardError("holds no coupon", where=Place(path, lines[0][0]), do="Add one row for each coupon"))
    for name, group in rows.items():
        problems += _mixed(name, group)
    return [_set(name, group) for name, group in rows.items()], once(problems)


def _columns(path: Path, lines: Sequence[tuple[int, str]]) -> list[str]:
    """The heading, checked."""
    if not lines:
        raise CardError("holds no heading", where=Place(path), do=f"Begin with: {','.join(REQUIRED)},strength")
    number, heading = lines[0]
    place = Place(path, number)
    if "," not in heading and (";" in heading or "\t" in heading):
        raise CardError(
            "columns are not parted by commas", where=place, do="Save it as CSV with commas and decimal points"
        )
    columns = _split(place, heading)
    known = REQUIRED + MEASURED + OPTIONAL
    for name in columns:
        if name not in known:
            do = near_spelling(name, known) or f"Known are: {', '.join(known)}"
            raise CardError(f'column "{name}" is not known', where=place, do=do)
    if len(set(columns)) < len(columns):
        raise CardError("a column stands twice", where=place, do="Keep one of them")
    missing = [name for name in REQUIRED if name not in columns]
    if missing:
        raise CardError(f"column {' and '.join(missing)} is missing", where=place, do="Add it to every row")
    if ("strength" in columns) == ("force" in columns):
        do = "Give strength and its unit, or force, its unit and area"
        raise CardError("exactly one of the columns strength and force is needed", where=place, do=do)
    if "force" in columns and "area" not in columns:
        do = "Add the measured cross-section of each coupon in mm^2"
        raise CardError("forces are given without the column area", where=place, do=do)
    return columns


def _split(place: Place, line: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line], strict=True))]
    except csv.Error as error:
        raise CardError(f"is not a row of CSV: {error}", where=place, do="Close each quote in its own row") from error


def _cells(place: Place, columns: Sequence[str], line: str) -> dict[str, str]:
    cells = _split(place, line)
    if len(cells) != len(columns):
        what = f"has {len(cells)} cells under {len(columns)} columns"
        do = "Write decimals with a point and texts with commas in quotes"
        raise CardError(what, where=place, do=do)
    return dict(zip(columns, cells, strict=True))


def _row(place: Place, cells: dict[str, str], materials: Sequence[str]) -> tuple[_Row | None, list[InputError]]:
    problems: list[InputError] = [*_words(place, cells, materials)]
    strength = temperature = None
    try:
        strength = _strength(place, cells)
    except InputError as error:
        problems.append(error)
    try:
        temperature = (
            _with_unit(place, cells, "temperature", "temperature", "degC") if cells.get("temperature") else None
        )
    except InputError as error:
        problems.append(error)
    if problems or strength is None:
        return None, problems
    return _Row(place, cells, strength, temperature), []


def _words(place: Place, cells: dict[str, str], materials: Sequence[str]) -> Iterator[CardError]:
    """Cells that hold words, each from its list."""
    for column in ("set", "source"):
        if not cells[column]:
            yield CardError(f"{column} is empty", where=_at(place, column), do="Fill it in for every row")
    for column, known in (("material", materials), ("direction", DIRECTIONS), ("invented", ("yes", "no"))):
        if cells[column] not in known:
            do = f"{near_spelling(cells[column], known)}Known are: {', '.join(known)}"
            yield CardError(f'{column} "{cells[column]}" is not known', where=_at(place, column), do=do)


def _strength(place: Place, cells: dict[str, str]) -> float:
    """Strength of one coupon [MPa]."""
    if "strength" in cells:
        if _is_unit_of(cells["unit"], "force"):
            do = "Put the number under force and the cross-section under area"
            raise CardError(f'strength is given in "{cells["unit"]}", a force', where=_at(place, "unit"), do=do)
        column, strength = "strength", _with_unit(place, cells, "strength", "stress", cells["unit"])
    else:
        force = _with_unit(place, cells, "force", "force", cells["unit"])
        area = _with_unit(place, cells, "area", "area", "mm^2")
        if area <= 0.0:
            raise CardError("is not above zero", where=_at(place, "area"), do="Give the measured cross-section")
        column, strength = "force", force / area
    if strength <= 0.0:
        raise CardError("is not above zero", where=_at(place, column), do="Leave out coupons that were not broken")
    if not PLAUSIBLE[0] <= strength <= PLAUSIBLE[1]:
        what = f"amounts to {strength:.3g} MPa, which no coupon holds"
        raise CardError(what, where=_at(place, column), do="Check unit and area")
    return strength


def _with_unit(place: Place, cells: dict[str, str], column: str, dimension: str, unit: str) -> float:
    """The number in a cell, with the unit in the cell or else `unit`."""
    cell = cells[column]
    bare = _is_bare(cell)
    for name, text in ((column, cell), ("unit", unit if bare else "-")):
        if not text:
            raise CardError(f"{name} is empty", where=_at(place, name), do="Fill it in for every row")
    try:
        return units.quantity(f"{cell} {unit}" if bare else cell, dimension)
    except InputError as error:
        raise CardError(error.what, where=_at(place, column), do=error.do) from error


def _is_bare(cell: str) -> bool:
    """Whether a cell is a number alone; a text that is no number at all is left to the reader of quantities."""
    try:
        float(cell)
    except ValueError:
        return False
    return True


def _is_unit_of(unit: str, dimension: str) -> bool:
    return unit in units.DIMENSIONS[dimension].accepted


def _at(place: Place, column: str) -> Place:
    return Place(place.file, place.line, column)


def _mixed(name: str, rows: Sequence[_Row]) -> Iterator[CardError]:
    """A set is one material, pulled one way, in one state, from one source."""
    for column in ("material", "direction", "temperature", "moisture", "invented"):
        first = rows[0].cells.get(column, "")
        other = next((row for row in rows if row.cells.get(column, "") != first), None)
        if other is not None:
            what = f'set "{name}" mixes {column} "{first}" and "{other.cells[column]}"'
            yield CardError(what, where=_at(other.place, column), do="Give each its own set")
    least, most = min(rows, key=lambda row: row.strength), max(rows, key=lambda row: row.strength)
    if most.strength > LARGEST_SPREAD * least.strength:
        what = f'set "{name}" runs from {least.strength:.3g} to {most.strength:.3g} MPa (line {most.place.line})'
        yield CardError(what, where=least.place, do="Check the units: equal coupons do not differ tenfold")


def _set(name: str, rows: Sequence[_Row]) -> CouponSet:
    first = rows[0]
    sources = list(dict.fromkeys(row.cells["source"] for row in rows))
    if first.temperature is None:
        sources.append(f"test temperature not stated, taken as {LABORATORY:g} degC (laboratory)")
    return CouponSet(
        name=name,
        material=first.cells["material"],
        direction=cast(CouponDirection, first.cells["direction"]),
        strengths=tuple(row.strength for row in rows),
        temperature=LABORATORY if first.temperature is None else first.temperature,
        moisture=first.cells.get("moisture", "") or "not stated",
        source="; ".join(sources),
        invented=first.cells["invented"] == "yes",
        place=first.place,
    )
