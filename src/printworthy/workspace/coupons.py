"""Test records: evidence/*.csv, one coupon a row, grouped into sets and batches.

Columns: set, material, direction, then strength and unit, or force, unit and area, or curve (a file beside, see
`curves`), width, thickness and gauge length; source, invented; optional temperature, moisture, batch, beads (along,
across, both: the pull against the beads), test (slow, notched impact). A bare area is in mm^2, a bare length in mm, a
bare temperature in degC; a cell with its own unit is taken as it says.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import cast, get_args

from printworthy import units
from printworthy.errors import CardError, InputError, Place
from printworthy.inputs import BeadDirection, CouponDirection, CouponSet
from printworthy.workspace.curves import Curve, read_curve
from printworthy.workspace.files import read_text
from printworthy.workspace.rows import files_of, once
from printworthy.workspace.validate import near_spelling

REQUIRED = ("set", "material", "direction", "source", "invented")
# What is measured, in one of three ways, with the columns each needs.
WAYS = {"strength": ("unit",), "force": ("unit", "area"), "curve": ("width", "thickness")}
MEASURED = ("strength", "force", "unit", "area", "curve", "width", "thickness", "gauge length")
OPTIONAL = ("temperature", "moisture", "batch", "beads", "test")
BEADS: tuple[str, ...] = get_args(BeadDirection)
TESTS = ("", "slow", "notched impact")
DIRECTIONS: tuple[str, ...] = get_args(CouponDirection)

# No printed polymer breaks outside this [MPa]; foams and metals are not what is tested here.
PLAUSIBLE = (0.5, 1500.0)
# Equal coupons, even poor prints, stay within a factor of a few; ten means two units in one column.
LARGEST_SPREAD = 10.0
LABORATORY = 23.0  # [degC], standard laboratory atmosphere of ISO 291, from memory


@dataclass(frozen=True, slots=True)
class _Row:
    place: Place
    cells: dict[str, str]
    strength: float  # [MPa]
    temperature: float | None  # [degC]
    curve: Curve | None = None


def collect_coupons(root: Path, materials: Iterable[str]) -> tuple[list[CouponSet], list[InputError]]:
    """The coupon sets of the workspace, and every problem; `materials` are the names of the cards."""
    sets: dict[str, CouponSet] = {}  # the first batch of each
    every: list[CouponSet] = []
    problems: list[InputError] = []
    known = tuple(materials)
    for path in files_of(root, "coupons"):
        found, wrong = read_coupons(path, known, root)
        problems += wrong
        for coupons in found:
            first = sets.setdefault(coupons.name, coupons)
            if first.place.file == coupons.place.file:
                every.append(coupons)
            else:
                what = f'set "{coupons.name}" is already in {first.place.file.name}'
                problems.append(CardError(what, where=coupons.place, do="Give each set its own name"))
    return every, problems


def read_coupons(
    path: Path, materials: Sequence[str] | None, root: Path | None = None
) -> tuple[list[CouponSet], list[InputError]]:
    """The sets of one file, one for each batch, made of its sound rows, and everything that is wrong in it.

    `materials` None: any name is taken.
    """
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
        row, wrong = _row(place, cells, materials, root)
        problems += wrong
        if row is not None:
            rows.setdefault(cells["set"], []).append(row)
    if len(lines) == 1:
        problems.append(CardError("holds no coupon", where=Place(path, lines[0][0]), do="Add one row for each coupon"))
    for name, group in rows.items():
        problems += _mixed(name, group)
    return [one for name, group in rows.items() for one in _batches(name, group)], once(problems)


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
    ways = [way for way in WAYS if way in columns]
    if len(ways) != 1:
        do = "Give strength and unit; or force, unit and area; or curve, width and thickness"
        raise CardError("exactly one of the columns strength, force and curve is needed", where=place, do=do)
    for name in WAYS[ways[0]]:
        if name not in columns:
            do = f"Add it: {ways[0]} needs {' and '.join(WAYS[ways[0]])}, as measured on each coupon"
            raise CardError(f"{ways[0]} is given without the column {name}", where=place, do=do)
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


def _row(
    place: Place, cells: dict[str, str], materials: Sequence[str] | None, root: Path | None
) -> tuple[_Row | None, list[InputError]]:
    problems: list[InputError] = [*_words(place, cells, materials)]
    strength = temperature = curve = None
    try:
        curve = _curve(place, cells, root) if "curve" in cells else None
        strength = _plausible(curve.strength, place, "curve") if curve else _strength(place, cells)
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
    return _Row(place, cells, strength, temperature, curve), []


def _curve(place: Place, cells: dict[str, str], root: Path | None) -> Curve:
    if not cells["curve"]:
        raise CardError("curve is empty", where=_at(place, "curve"), do="Name the file of its curve, beside this one")
    size = {name: _with_unit(place, cells, name, "length", "mm") for name in WAYS["curve"]}
    gauge = _with_unit(place, cells, "gauge length", "length", "mm") if cells.get("gauge length") else None
    for name, value in {**size, "gauge length": 1.0 if gauge is None else gauge}.items():
        if value <= 0.0:
            raise CardError("is not above zero", where=_at(place, name), do="Give it as measured")
    if gauge is not None and gauge < size["width"]:
        what = f"a gauge length of {gauge:g} mm is shorter than the coupon is wide ({size['width']:g} mm)"
        raise CardError(what, where=_at(place, "gauge length"), do="Columns look exchanged")
    return read_curve(place.file.parent / cells["curve"], root, area=size["width"] * size["thickness"], gauge=gauge)


def _words(place: Place, cells: dict[str, str], materials: Sequence[str] | None) -> Iterator[CardError]:
    """Cells that hold words, each from its list."""
    for column in ("set", "source"):
        if not cells[column]:
            yield CardError(f"{column} is empty", where=_at(place, column), do="Fill it in for every row")
    taken = (cells["material"],) if materials is None and cells["material"] else materials or ()
    lists = {
        "material": taken, "direction": DIRECTIONS, "invented": ("yes", "no"), "beads": BEADS, "test": TESTS,
    }  # fmt: skip
    for column, known in lists.items():
        if column in cells and cells[column] and _is_bare(cells[column]) and cells[column] not in known:
            do = f"Columns look exchanged. Known are: {', '.join(filter(None, known))}"
            yield CardError(f"{column} is a number", where=_at(place, column), do=do)
        elif column in cells and cells[column] not in known:
            do = f"{near_spelling(cells[column], known)}Known are: {', '.join(filter(None, known))}"
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
        exchanged = area / force if force > 0.0 else 0.0
        if not PLAUSIBLE[0] <= strength <= PLAUSIBLE[1] and PLAUSIBLE[0] <= exchanged <= PLAUSIBLE[1]:
            what = f"{force:g} N over {area:g} mm^2 is {strength:.3g} MPa, which no coupon holds"
            raise CardError(what, where=_at(place, column), do="Force and area look exchanged; check the unit too")
    return _plausible(strength, place, column)


def _plausible(strength: float, place: Place, column: str) -> float:
    if strength <= 0.0:
        raise CardError("is not above zero", where=_at(place, column), do="Leave out coupons that were not broken")
    if not PLAUSIBLE[0] <= strength <= PLAUSIBLE[1]:
        what = f"lies outside {PLAUSIBLE[0]:g} to {PLAUSIBLE[1]:g} MPa, between which coupons break"
        raise CardError(what, where=_at(place, column), do=f"It amounts to {strength:.3g} MPa: check unit and area")
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
    for column in ("material", "direction", "temperature", "moisture", "beads", "test", "invented"):
        first = rows[0].cells.get(column, "")
        other = next((row for row in rows if row.cells.get(column, "") != first), None)
        if other is not None:
            what = f'set "{name}" mixes {column} "{first}" and "{other.cells[column]}"'
            same = column == "temperature" and len({row.strength for row in rows}) == 1
            do = "Strength and temperature look exchanged" if same else "Give each its own set"
            yield CardError(what, where=_at(other.place, column), do=do)
    least, most = min(rows, key=lambda row: row.strength), max(rows, key=lambda row: row.strength)
    if most.strength > LARGEST_SPREAD * least.strength:
        what = f'set "{name}" runs from {least.strength:.3g} to {most.strength:.3g} MPa (line {most.place.line})'
        yield CardError(what, where=least.place, do="Check the units: equal coupons do not differ tenfold")


def _batches(name: str, rows: Sequence[_Row]) -> Iterator[CouponSet]:
    """One set for each batch, in the order in which they come."""
    batches: dict[str, list[_Row]] = {}
    for row in rows:
        batches.setdefault(row.cells.get("batch", ""), []).append(row)
    for batch, group in batches.items():
        yield _set(name, batch, group)


def _set(name: str, batch: str, rows: Sequence[_Row]) -> CouponSet:
    first = rows[0]
    sources = list(dict.fromkeys(row.cells["source"] for row in rows))
    if first.temperature is None:
        sources.append(f"test temperature not stated, taken as {LABORATORY:g} degC (laboratory)")
    made = CouponSet(
        name=name,
        material=first.cells["material"],
        direction=cast(CouponDirection, first.cells["direction"]),
        strengths=tuple(row.strength for row in rows),
        temperature=LABORATORY if first.temperature is None else first.temperature,
        moisture=first.cells.get("moisture", "") or "not stated",
        source="; ".join(sources),
        invented=first.cells["invented"] == "yes",
        place=first.place,
        batch=batch,
        beads=cast(BeadDirection, first.cells.get("beads", "")),
        impact=first.cells.get("test") == "notched impact",
    )
    curves = [row.curve for row in rows if row.curve is not None]
    return replace(
        made,
        moduli=tuple(c.modulus for c in curves if c.modulus is not None),
        strains=tuple(c.strain for c in curves if c.strain is not None),
        curves=tuple(c.points for c in curves if c.points),
        remarks=tuple(remark for c in curves for remark in c.remarks),
    )
