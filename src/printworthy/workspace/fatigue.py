"""Fatigue records: evidence/*.csv with a column cycles, one coupon a row, grouped into sets.

Columns: set, material, direction, amplitude or maximum with unit, ratio (smallest over largest stress), cycles, run_out
(yes: taken off unbroken), source, invented; optional temperature, moisture, beads (along, across, both).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import cast, get_args

from printworthy.errors import CardError, InputError
from printworthy.inputs import BeadDirection, CouponDirection, CouponSet, FatigueSet
from printworthy.workspace.rows import Layout, Row, files_of, once, read_rows

LAYOUT = Layout(
    ("set", "material", "direction", "unit", "ratio", "cycles", "run_out", "source", "invented"),
    ("temperature", "moisture", "beads"),
    ("amplitude", "maximum"),
)
DIRECTIONS: tuple[str, ...] = get_args(CouponDirection)
FEWEST = 3  # failures: two give a line, the third says how they scatter
LABORATORY = 23.0  # [degC], standard laboratory atmosphere of ISO 291, from memory
HIGHEST = 1e12  # [cycles] no machine has run for longer


@dataclass(frozen=True, slots=True)
class _Test:
    row: Row
    amplitude: float  # [MPa]
    maximum: float  # [MPa]
    ratio: float
    cycles: float
    run_out: bool
    temperature: float  # [degC]


def collect_fatigue(
    root: Path, materials: Iterable[str], coupons: Sequence[CouponSet]
) -> tuple[list[FatigueSet], list[InputError]]:
    """The fatigue sets of the workspace, and every problem; `coupons`: none may bear more again and again than once."""
    sets: dict[str, FatigueSet] = {}
    problems: list[InputError] = []
    known = tuple(materials)
    for path in files_of(root, "fatigue"):
        found, wrong = read_fatigue(path, known, coupons, root)
        problems += wrong
        for one in found:
            if one.name in sets:
                what = f'set "{one.name}" is already in {sets[one.name].place.file.name}'
                problems.append(CardError(what, where=one.place, do="Give each set its own name"))
            sets.setdefault(one.name, one)
    return list(sets.values()), problems


def read_fatigue(
    path: Path, materials: Sequence[str], coupons: Sequence[CouponSet] = (), root: Path | None = None
) -> tuple[list[FatigueSet], list[InputError]]:
    """The sound sets of one file, and everything that is wrong in it."""
    rows, problems = read_rows(path, root, LAYOUT)
    groups: dict[str, list[_Test]] = {}
    for row in rows:
        try:
            test = _test(row, materials)
            groups.setdefault(row.text("set"), []).append(test)
        except InputError as error:
            problems.append(error)
    if problems:  # what a set lacks can be told only once every row is sound
        return [], once(problems)
    sound = []
    for name, tests in groups.items():
        wrong = [*_mixed(name, tests), *_too_few(name, tests), *_above(name, tests, coupons)]
        problems += wrong
        if not wrong:
            sound.append(_set(name, tests))
    return sound, problems


def _test(row: Row, materials: Sequence[str]) -> _Test:
    row.word("material", materials)
    row.word("direction", DIRECTIONS)
    row.text("source")
    row.word("invented", ("yes", "no"))
    if "beads" in row.cells:
        row.word("beads", get_args(BeadDirection))
    run_out = row.word("run_out", ("yes", "no")) == "yes"
    ratio = row.number("ratio", "ratio")
    if not -10 <= ratio < 1:
        do = "Write smallest over largest stress, pull positive: 0.1, 0, -1; pressed coupons make no S-N line here"
        raise CardError(f"ratio {ratio:g} is not from -10 to below 1", where=row.at("ratio"), do=do)
    column = "amplitude" if "amplitude" in row.cells else "maximum"
    stress = row.positive(column, "stress", row.text("unit"))
    cycles = row.positive("cycles", "count")
    if not 1 <= cycles <= HIGHEST:
        raise CardError(f"{cycles:g} cycles cannot be meant", where=row.at("cycles"), do="Count whole cycles from 1")
    amplitude = stress if column == "amplitude" else stress * (1 - ratio) / 2
    hot = row.number("temperature", "temperature", "degC") if row.cells.get("temperature") else LABORATORY
    return _Test(row, amplitude, 2 * amplitude / (1 - ratio), ratio, cycles, run_out, hot)


def _mixed(name: str, tests: Sequence[_Test]) -> Iterator[CardError]:
    """A set is one material, loaded one way at one ratio, in one state."""
    first = tests[0]
    for other in tests:
        if other.ratio != first.ratio:
            what = f'set "{name}" mixes stress ratios {first.ratio:g} and {other.ratio:g}'
            yield CardError(what, where=other.row.at("ratio"), do="Give each ratio its own set")
            break
    for column in ("material", "direction", "temperature", "moisture", "beads", "invented"):
        stated = first.row.cells.get(column, "")
        odd = next((t for t in tests if t.row.cells.get(column, "") != stated), None)
        if odd is not None:
            what = f'set "{name}" mixes {column} "{stated}" and "{odd.row.cells[column]}"'
            yield CardError(what, where=odd.row.at(column), do="Give each its own set")


def _too_few(name: str, tests: Sequence[_Test]) -> Iterator[CardError]:
    """What leaves no line to draw."""
    where, broken = tests[0].row.place, [t for t in tests if not t.run_out]
    if not broken:
        what = f'set "{name}" holds run-outs only: they say what is survived, not where the line runs'
        yield CardError(what, where=where, do="Test at higher stress until coupons break")
    elif len(broken) < FEWEST:
        what = f'set "{name}" holds {len(broken)} broken coupons, {FEWEST} are the fewest that show slope and scatter'
        yield CardError(what, where=where, do="Break more; 6 to 12 are usual")
    elif len({t.amplitude for t in broken}) == 1:
        what = f'set "{name}" breaks on one stress level only: the slope is not known'
        yield CardError(what, where=where, do="Break coupons on a second level")


def _above(name: str, tests: Sequence[_Test], coupons: Sequence[CouponSet]) -> Iterator[CardError]:
    """A stress no coupon of the same kind has borne even once."""
    cells = tests[0].row.cells
    same = [s for s in coupons if (s.material, s.direction) == (cells["material"], cells["direction"])]
    strongest = max((x for s in same for x in s.strengths), default=float("inf"))
    high = next((t for t in tests if t.maximum > strongest), None)
    if high is not None:
        column = "amplitude" if "amplitude" in high.row.cells else "maximum"
        what = (
            f'set "{name}" goes up to {high.maximum:.3g} MPa, above the {strongest:.3g} MPa at which the strongest '
            "coupon broke at once"
        )
        do = "Check amplitude against maximum, ratio and unit"
        yield CardError(what, where=high.row.at(column), do=do)


def _set(name: str, tests: Sequence[_Test]) -> FatigueSet:
    first = tests[0]
    sources = list(dict.fromkeys(t.row.cells["source"] for t in tests))
    if not first.row.cells.get("temperature"):
        sources.append(f"test temperature not stated, taken as {LABORATORY:g} degC (laboratory)")
    return FatigueSet(
        name=name,
        material=first.row.cells["material"],
        direction=cast(CouponDirection, first.row.cells["direction"]),
        ratio=first.ratio,
        amplitudes=tuple(t.amplitude for t in tests),
        cycles=tuple(t.cycles for t in tests),
        run_outs=tuple(t.run_out for t in tests),
        temperature=first.temperature,
        moisture=first.row.cells.get("moisture", "") or "not stated",
        source="; ".join(sources),
        invented=first.row.cells["invented"] == "yes",
        place=first.row.place,
        beads=cast(BeadDirection, first.row.cells.get("beads", "")),
    )
