"""Comparison with published values, and the report made of the comparisons.

`VALIDATION_REPORT=docs/validation.md pytest tests/validation` (that is `make validate`) writes the report once the
whole folder has passed; without the variable nothing is written, and `test_report.py` fails if the rows of the report
on disk are not the rows that were compared. Digits do not count.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Known = Literal["found", "from memory", "derived", "another program"]
WIDE = 0.1  # a relative tolerance beyond this needs a reason

INTRODUCTION = """# Validation

Written by `make validate`: every row is a comparison that a test in `tests/validation` makes on each run, and fails on
when the difference leaves the tolerance. Computed values are rounded to one digit below the first of the tolerance.

Provenance of the published value: **found** = read in the source or in a named public copy of its data;
**from memory** = recalled from the source and not opened again; **derived** = a closed form that was derived or
evaluated outside this package; the name is that of its theory; **another program** = computed in the test by a program
that shares no code with this one.
"""
HEAD = "| quantity | published | computed | difference | tolerance | remark |\n|---|---|---|---|---|---|\n"


@dataclass(frozen=True, slots=True, order=True)
class Source:
    """Where a value is published: the entry, the page or section, and how it is known here."""

    entry: str
    place: str
    known: Known


@dataclass(frozen=True, slots=True)
class Row:
    """One comparison; `tolerance` is absolute."""

    source: Source
    quantity: str
    published: float
    computed: float
    tolerance: float
    relative: bool
    why: str


ROWS: dict[tuple[Source, str], Row] = {}


def compare(
    computed: float,
    published: float,
    *,
    source: Source,
    quantity: str,
    rel: float | None = None,
    abs: float | None = None,
    why: str = "",
) -> None:
    """Assert that `computed` is within `rel` (or `abs`) of `published` and keep the row for the report.

    Raises ValueError for a comparison without exactly one tolerance, for a relative one over 0.1 without a reason, and
    for two rows of one name.
    """
    if (rel is None) == (abs is None):
        msg = f"{quantity}: state one tolerance, rel or abs"
        raise ValueError(msg)
    if rel is not None and rel > WIDE and not why:
        msg = f"{quantity}: a tolerance of {rel:g} needs a reason"
        raise ValueError(msg)
    tolerance = abs if abs is not None else rel * math.fabs(published)  # type: ignore[operator]
    if not tolerance > 0:
        msg = f"{quantity}: the tolerance must be positive"
        raise ValueError(msg)
    if (source, quantity) in ROWS:
        msg = f"{quantity}: compared twice under one name"
        raise ValueError(msg)
    row = Row(source, quantity, float(published), float(computed), tolerance, rel is not None, why)
    gap = math.fabs(row.computed - row.published)
    assert gap <= tolerance, (
        f"{quantity}: computed {computed:.8g}, published {published:.8g}, tolerance {tolerance:.3g}"
    )
    ROWS[source, quantity] = row


def report() -> str:
    """The report of all rows, in an order that does not depend on the order of the tests."""
    rows = sorted(ROWS.values(), key=lambda r: (r.source, r.quantity))
    sources = sorted({r.source for r in rows})
    parts = [INTRODUCTION, f"\n{len(rows)} comparisons with {len(sources)} sources.\n"]
    for source in sources:
        parts.append(f"\n## {source.entry}\n\n{source.place}. Provenance: {source.known}.\n\n{HEAD}")
        parts += [line(r) for r in rows if r.source == source]
    return "".join(parts)


def line(r: Row) -> str:
    """One row of a table."""
    places = decimals(r.tolerance)
    computed = round(r.computed, places)
    gap = computed - r.published
    if r.relative:
        percent = 100 / r.published
        difference = f"{signed(gap * percent, r.tolerance * math.fabs(percent))} %"
        tolerance = f"{r.tolerance * math.fabs(percent):.3g} %"
    else:
        difference, tolerance = signed(gap, r.tolerance), f"{r.tolerance:.3g}"
    shown = f"{computed + 0.0:.{places}f}" if places < 9 else f"{computed:.6g}"
    return f"| {r.quantity} | {r.published:.8g} | {shown} | {difference} | {tolerance} | {r.why} |\n"


def signed(gap: float, tolerance: float) -> str:
    """A difference in digits that the tolerance makes worth reading."""
    shown = f"{gap:+.{decimals(tolerance)}f}"
    return "0" if float(shown) == 0 else shown


def decimals(tolerance: float) -> int:
    """Decimals to show: one digit below the first of the tolerance."""
    return max(0, 1 - math.floor(math.log10(tolerance)))


def names(text: str) -> set[tuple[str, str]]:
    """Source entries and quantities of the rows in a report."""
    found, entry = set(), ""
    for row in text.splitlines():
        if row.startswith("## "):
            entry = row[3:]
        elif row.startswith("| ") and not row.startswith("| quantity "):
            found.add((entry, row.split(" | ")[0][2:]))
    return found
