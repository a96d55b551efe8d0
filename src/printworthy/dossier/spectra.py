"""What each load case repeats: cycles over their size, drawn and by level."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from printworthy.dossier import words
from printworthy.dossier.document import Block, Cell, Column, Figure, Row, Table
from printworthy.dossier.lasting import RAISED
from printworthy.dossier.plot import Axis, plot
from printworthy.dossier.tables import figure
from printworthy.evidence.damage import equivalent_range, spectrum
from printworthy.inputs import Duty, LoadCase
from printworthy.results import SNCurve

Array = NDArray[np.float64]
LEVELS = 10  # of the table, each a tenth of the case's load
LEAST = 1e-4  # [cycles per h or km]: rarer ones are drawn at the left edge
STYLES = ("solid", "dashed", "dotted")
TITLE = "Cycles by their size, in each {per} of ride"


def blocks(cases: Sequence[LoadCase], curves: Sequence[SNCurve] = ()) -> tuple[Block, ...]:
    """The spectra of all cases that state a duty; none where no case does. `curves`: S-N lines of the part's life."""
    found = [(c, rows) for c in cases if c.duty is not None and len(rows := spectrum(c.duty))]
    if not found:
        return ()
    return (chart(found), levels(found), *((equivalent(found, curves),) if curves else ()))


def above(rows: Array) -> tuple[Array, Array]:
    """Cycles (n,) that are as large or larger, and their range (n,) as a share of the case's load, largest first."""
    order = np.argsort(-rows[:, 0], kind="stable")
    return np.cumsum(rows[order, 2]), rows[order, 0]


def chart(found: Sequence[tuple[LoadCase, Array]]) -> Figure:
    """How many cycles are at least so large, case by case."""
    per = found[0][0].duty.per if found[0][0].duty else ""
    curves = [above(rows) for _, rows in found]
    first = int(np.floor(np.log10(max(LEAST, min(float(n[0]) for n, _ in curves)))))
    last = int(np.ceil(np.log10(max(float(n[-1]) for n, _ in curves)) + 0.01))
    powers = tuple((10.0**p, f"10{str(p).translate(RAISED)}") for p in range(first, last + 1))
    x = Axis(f"cycles at least so large, in each {per} of ride", 10.0**first, 10.0**last, log=True, ticks=powers)
    y = Axis("range of load, share of the case's", 0.0, 1.08 * max(float(r[0]) for _, r in curves))
    drawn, key = plot(x, y), []
    for number, ((case, _), (counts, ranges)) in enumerate(zip(found, curves, strict=True)):
        steps = np.repeat(np.maximum(counts, x.low), 2)
        drawn.line(
            np.concatenate([[x.low], steps[:-1], [steps[-1]]]), np.concatenate([np.repeat(ranges, 2), [0.0]]),
            STYLES[number % len(STYLES)],  # type: ignore[arg-type]
        )  # fmt: skip
        letter = chr(ord("A") + number)
        drawn.say(steps[-1], float(ranges[-1]), letter, "start" if x.share(steps[-1]) < 0.9 else "end", dx=6, dy=-4)
        key.append((letter, case.name))
    caption = (
        "The load spectrum of each case with a duty: along a curve, how many cycles in each "
        f"{per} of ride are at least so large. Range 1 is the whole load of the case, on and off."
    )
    return Figure(drawn.text(), f"{caption} Cases: {'; '.join(name for _, name in key)}.", caption, tuple(key))


def levels(found: Sequence[tuple[LoadCase, Array]]) -> Table:
    """Cycles of each case by tenths of its load, with where they come from."""
    per = found[0][0].duty.per if found[0][0].duty else ""
    top = max(LEVELS, *(int(np.ceil(rows[:, 0].max() * LEVELS - 1e-9)) for _, rows in found))
    rows = []
    for case, cycles in found:
        assert case.duty is not None
        place = np.ceil(cycles[:, 0] * LEVELS - 1e-9).astype(int)
        for level in range(top, 0, -1):
            count = float(cycles[place == level, 2].sum())
            if count > 0:
                size = f"{words.number((level - 1) / LEVELS)} to {words.number(level / LEVELS)}"
                mean = float(np.average(cycles[place == level, 1], weights=cycles[place == level, 2]))
                rows.append(Row((
                    Cell(case.name), Cell(size), Cell(words.number(count), count, f"1/{per}"),
                    Cell(words.number(mean), mean), Cell(_ends(case.duty)),
                )))  # fmt: skip
    columns = (
        Column("case"), Column("range, share of its load"), Column("cycles", f"in each {per}", "number"),
        Column("mean load of them", "", "number"), Column("from"),
    )  # fmt: skip
    return Table(TITLE.format(per=per), columns, tuple(rows), stacked=True)


def equivalent(found: Sequence[tuple[LoadCase, Array]], curves: Sequence[SNCurve]) -> Table:
    """One steady range for each case that would spend as much life in as many cycles: what a bench test may repeat."""
    per = found[0][0].duty.per if found[0][0].duty else ""
    rows = tuple(
        Row((Cell(case.name), Cell(curve.name), figure(-1 / curve.exponent),
             figure(equivalent_range(cycles[:, 0], cycles[:, 2], curve.exponent)), figure(float(cycles[:, 2].sum()))))
        for case, cycles in found for curve in curves
    )  # fmt: skip
    columns = (
        Column("case"), Column("S-N set"), Column("power m of range", "", "number"),
        Column("steady range, share of its load", "", "number"), Column("cycles", f"in each {per}", "number"),
    )  # fmt: skip
    note = "(sum n r^m / sum n)^(1/m), m from the slope of the S-N line. The means of the cycles are left out: for a " \
           "bench test, not for the life above."  # fmt: skip
    return Table("One steady range that spends as much", columns, rows, note=note, stacked=True)


def _ends(duty: Duty) -> str:
    both = "; shown is the high end of what is known, the low end serves the longest life" if duty.gentle else ""
    return f"{duty.source}{both}"
