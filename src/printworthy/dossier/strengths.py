"""The tables of strengths: design values, how each came about, the coupons at hand."""

from __future__ import annotations

from collections.abc import Sequence

from printworthy.dossier import words
from printworthy.dossier.document import Cell, Column, Row, Table
from printworthy.dossier.tables import figure
from printworthy.inputs import CouponSet
from printworthy.results import DesignValue, DesignValues


def design(values: DesignValues) -> Table:
    """Design values, one row each."""
    rows = []
    for v in values.strengths:
        rows.append(
            Row(
                (
                    Cell(v.name),
                    Cell(words.number(v.value), v.value, "MPa", v.source, mark=_standing(v)),
                    figure(v.start, "MPa", v.source),
                    Cell(str(v.n) if v.n else "card", float(v.n)),
                    Cell(v.basis),
                    Cell(v.source),
                    Cell(v.confidence),
                )
            )
        )
    columns = (
        Column("strength"), Column("design value", "MPa", "number"), Column("start", "MPa", "number"),
        Column("coupons", "", "number"), Column("basis"), Column("source"), Column("standing"),
    )  # fmt: skip
    return Table(f"Design values, {values.material}", columns, tuple(rows), stacked=True)


def _standing(v: DesignValue) -> str:
    if v.confidence == "assumed":
        return "assumed"
    return "invented" if v.invented or v.confidence == "invented" else ""


def design_steps(values: DesignValues) -> Table:
    """How each design value came about: start, then one row per factor, with the value after it."""
    rows = []
    for v in values.strengths:
        running = v.start
        rows.append(Row((Cell(v.name), Cell("start"), Cell(""), figure(running, "MPa"), Cell(v.source))))
        for step in v.steps:
            running *= step.factor
            rows.append(
                Row((Cell(v.name), Cell(step.name), Cell(f"{words.TIMES} {words.number(step.factor, 4)}", step.factor),
                     figure(running, "MPa"), Cell(step.source)))
            )  # fmt: skip
    columns = (Column("strength"), Column("step"), Column("factor", "", "number"),
               Column("value after it", "MPa", "number"), Column("source"))  # fmt: skip
    return Table(f"From start to design value, {values.material}", columns, tuple(rows), stacked=True)


def coupons(sets: Sequence[CouponSet]) -> Table | None:
    """Coupon sets at hand for the materials of a part."""
    if not sets:
        return None
    rows = []
    for s in sets:
        n = len(s.strengths)
        mean = sum(s.strengths) / n
        deviation = (sum((x - mean) ** 2 for x in s.strengths) / (n - 1)) ** 0.5 if n > 1 else float("nan")
        rows.append(
            Row((Cell(s.title), Cell(s.material), Cell(s.direction), Cell(str(n), float(n)), figure(mean, "MPa"),
                 figure(min(s.strengths), "MPa"), figure(deviation, "MPa") if n > 1 else Cell("one coupon"),
                 figure(s.temperature, "degC"), Cell(s.moisture or "not stated"),
                 Cell(s.source, mark="invented" if s.invented else "")))
        )  # fmt: skip
    columns = (
        Column("set"), Column("material"), Column("pulled"), Column("n", "", "number"), Column("mean", "MPa", "number"),
        Column("lowest", "MPa", "number"), Column("standard deviation", "MPa", "number"),
        Column("temperature", "°C", "number"), Column("moisture"), Column("source"),
    )  # fmt: skip
    return Table("Coupon sets at hand", columns, tuple(rows), stacked=True)
