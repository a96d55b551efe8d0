"""Records of made pieces: evidence/*.csv with a column mass (weighings) or nominal (dimensions).

Weighings: piece, part, material, mass with unit, source, invented; optional density, line_width, layer_height,
pitch or overlap (width less pitch), flow (what was laid over what was meant).
Dimensions: set, part, nominal, tolerance, value with unit, source, invented.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from printworthy.errors import CardError, InputError
from printworthy.inputs import DimensionSet, Laid, Weighing
from printworthy.workspace.rows import Layout, Row, files_of, once, read_rows

WEIGHINGS = Layout(
    ("piece", "part", "material", "mass", "unit", "source", "invented"),
    ("density", "line_width", "layer_height", "pitch", "overlap", "flow"),
)
DIMENSIONS = Layout(("set", "part", "nominal", "tolerance", "value", "unit", "source", "invented"), ())
BEAD = ("line_width", "layer_height")
FLOWS = (0.5, 1.5)  # a machine is set within a few hundredths of 1; beyond, percents or another figure is meant


def collect_weighings(
    root: Path, parts: Iterable[str], materials: Iterable[str]
) -> tuple[list[Weighing], list[InputError]]:
    """All weighed pieces of the workspace, and every problem."""
    found: list[Weighing] = []
    problems: list[InputError] = []
    known, polymers = tuple(parts), tuple(materials)
    for path in files_of(root, "weighings"):
        rows, wrong = read_rows(path, root, WEIGHINGS)
        problems += wrong
        for row in rows:
            try:
                found.append(_weighing(row, known, polymers))
            except InputError as error:
                problems.append(error)
    return found, [*once(problems), *_twice(found)]


def _weighing(row: Row, parts: Sequence[str], materials: Sequence[str]) -> Weighing:
    return Weighing(
        row.text("piece"), row.word("part", parts), row.word("material", materials),
        row.positive("mass", "mass", row.text("unit")),
        row.positive("density", "density", "g/cm^3") if row.cells.get("density") else None, _bead(row),
        row.text("source"), row.word("invented", ("yes", "no")) == "yes", row.place,
    )  # fmt: skip


def _bead(row: Row) -> Laid | None:
    """How the beads of a piece were laid; None where nobody says."""
    if row.cells.get("pitch") and row.cells.get("overlap"):
        raise CardError("pitch and overlap are both stated", where=row.at("overlap"), do="Keep one of them")
    apart = "overlap" if row.cells.get("overlap") else "pitch"
    names = (*BEAD, apart)
    stated = [name for name in (*names, "flow") if row.cells.get(name)]
    if not stated:
        return None
    if missing := next((name for name in names if name not in stated), None):
        do = f"State {', '.join(BEAD)} and pitch or overlap, or none"
        raise CardError(f"{missing} is not stated", where=row.at(missing), do=do)
    width, height = (row.positive(name, "length", "mm") for name in BEAD)
    if width < height:
        what = f"a line {width:g} mm wide is narrower than its layer is high ({height:g} mm)"
        raise CardError(what, where=row.at("line_width"), do="Check that width and height are not exchanged")
    pitch = row.positive("pitch", "length", "mm") if apart == "pitch" else width - row.number("overlap", "length", "mm")
    if not width - height <= pitch <= 2 * width:
        what = f"lines {width:g} mm wide are not laid {pitch:g} mm apart"
        raise CardError(what, where=row.at(apart), do="State the distance from middle to middle of two lines")
    flow = row.positive("flow", "ratio") if row.cells.get("flow") else 1.0
    if not FLOWS[0] <= flow <= FLOWS[1]:
        what = f"a flow of {100 * flow:g} % is no setting"
        raise CardError(what, where=row.at("flow"), do="State 0.98, or 98 %, of what the bead's section asks for")
    return width, height, pitch, flow


def _twice(found: Sequence[Weighing]) -> Iterator[CardError]:
    first: dict[tuple[str, str], Weighing] = {}
    for w in found:
        earlier = first.setdefault((w.part, w.piece), w)
        if earlier is not w:
            what = f'piece "{w.piece}" of {w.part} is weighed already in line {earlier.place.line}'
            yield CardError(what, where=w.place, do="Give each piece its own name, each weighing one row")


def collect_dimensions(root: Path, parts: Iterable[str]) -> tuple[list[DimensionSet], list[InputError]]:
    """All measured dimensions of the workspace, and every problem."""
    found: list[DimensionSet] = []
    problems: list[InputError] = []
    known = tuple(parts)
    for path in files_of(root, "dimensions"):
        rows, wrong = read_rows(path, root, DIMENSIONS)
        groups: dict[str, list[tuple[Row, float, float, float]]] = {}
        for row in rows:
            try:
                groups.setdefault(row.text("set"), []).append(_dimension(row, known))
            except InputError as error:
                wrong.append(error)
        problems += once(wrong)
        if wrong:  # what a set lacks can be told only once every row is sound
            continue
        for name, group in groups.items():
            wrong = [*_uneven(name, group)]
            problems += wrong
            if not wrong:
                found.append(_set(name, group))
    return found, problems


def _dimension(row: Row, parts: Sequence[str]) -> tuple[Row, float, float, float]:
    row.word("part", parts)
    row.text("source")
    row.word("invented", ("yes", "no"))
    unit = row.text("unit")
    nominal, tolerance = row.positive("nominal", "length", unit), row.positive("tolerance", "length", unit)
    value = row.positive("value", "length", unit)
    if not 0.5 * nominal <= value <= 2 * nominal:
        what = f"{value:g} mm is not a piece of {nominal:g} mm"
        raise CardError(what, where=row.at("value"), do="Check the unit and that columns are not exchanged")
    return row, nominal, tolerance, value


def _uneven(name: str, group: Sequence[tuple[Row, float, float, float]]) -> Iterator[CardError]:
    """A set is one dimension of one part with at least two values that differ."""
    first, nominal, tolerance, _ = group[0]
    for row, other_nominal, other_tolerance, _ in group[1:]:
        same = (other_nominal, other_tolerance) == (nominal, tolerance)
        if not same or row.cells["part"] != first.cells["part"] or row.cells["invented"] != first.cells["invented"]:
            do = "Give each dimension of each part its own set"
            yield CardError(f'set "{name}" mixes dimensions, parts or invented and real', where=row.place, do=do)
            return
    if len(group) < 2:
        yield CardError(
            f'set "{name}" has one value: no spread', where=first.place, do="Measure more pieces, better 30"
        )
    elif len({value for *_, value in group}) == 1:
        do = "Read the gauge finer: a process without spread is not known"
        yield CardError(f'all values of set "{name}" are equal', where=first.place, do=do)


def _set(name: str, group: Sequence[tuple[Row, float, float, float]]) -> DimensionSet:
    row, nominal, tolerance, _ = group[0]
    return DimensionSet(
        name, row.cells["part"], nominal, nominal - tolerance, nominal + tolerance, tuple(v for *_, v in group),
        "; ".join(dict.fromkeys(r.cells["source"] for r, *_ in group)), row.cells["invented"] == "yes", row.place,
    )  # fmt: skip
