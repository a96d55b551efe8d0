"""Life under repeated load: figures, what each case spends, S-N curves with their tests and the part's own cycles."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from printworthy.dossier import words
from printworthy.dossier.document import Block, Cell, Column, Facts, Figure, Items, Row, Table, Text
from printworthy.dossier.plot import Axis, log_ticks, plot
from printworthy.dossier.tables import figure
from printworthy.evidence.fatigue import survival_life
from printworthy.evidence.values import rule
from printworthy.inputs import FatigueSet, Rules
from printworthy.results import Life, LifeRow, SNCurve
from printworthy.verdict.lasting import ride

RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")


def blocks(life: Life | None, tests: Sequence[FatigueSet], rules: Rules) -> tuple[Block, ...]:
    """Everything about the life of one option; `tests`: the fatigue sets its curves were drawn through."""
    if life is None:
        return (Text("Life under repeated load was not computed for this part."),)
    made: list[Block] = [figures(life, rules)]
    if life.missing:
        made.append(Items("Life is not decided for want of", life.missing))
    if life.rows:
        made.append(spending(life))
    if life.curves:
        made.append(curves(life.curves))
    by_name = {t.name: t for t in tests}
    for curve in life.curves:
        if curve.name in by_name:
            made.append(chart(curve, by_name[curve.name], life, rules))
    if life.assumed:
        made.append(Items("What the life rests on", life.assumed))
    return tuple(made)


def short(life: Life | None) -> Cell:
    """Life at its low end, for a summary."""
    if life is None or life.low is None:
        return Cell("not decided")
    return Cell(ride(life.low, life), life.low, life.per or "")


def figures(life: Life, rules: Rules) -> Facts:
    """The figures a reader looks for first."""

    def cell(value: float | None) -> Cell:
        return Cell("not decided") if value is None else Cell(ride(value, life), value, life.per or "")

    share = 100 * rule(rules, "tolerance_part") if life.low is not None else 0.0
    pairs = [("wanted", Cell(str(life.wanted) if life.wanted else "not stated"))]
    if life.low is None:
        pairs.append(("life", Cell("not decided")))
    else:
        sure = f"reached by {share:g} % of pieces, {100 * rule(rules, 'tolerance_confidence'):g} % confidence"
        pairs += [(sure, cell(life.low)), ("at most reached by half of the pieces", cell(life.middle))]
        within = "within what was tested" if life.tested else "drawn on beyond what was tested"
        pairs.append(("S-N lines", Cell(within)))
    return Facts("Life under repeated load, in ride", tuple(pairs))


def spending(life: Life) -> Table:
    """What each case does in each direction, at the low end."""
    worst = min(life.rows, key=lambda r: r.life)
    rows = tuple(
        Row((Cell(r.case), Cell(r.direction), Cell(r.curve), figure(r.cycles), figure(r.stress, "MPa"),
             figure(r.amplitude, "MPa"), figure(float(f"{r.life:.2g}"), life.per or "")), chosen=r is worst)
        for r in life.rows
    )  # fmt: skip
    columns = (
        Column("case"), Column("direction"), Column("S-N set"), Column("cycles", f"in each {life.per}", "number"),
        Column("largest stress", "MPa", "number"), Column("equivalent amplitude of its largest cycle", "MPa", "number"),
        Column("life, this case alone", life.per or "", "number"),
    )  # fmt: skip
    note = (
        "Stresses as the test would have to make them: mesh error, special factor, heat and moisture counted, at the "
        "test's stress ratio. The marked row lives shortest; the part's life adds the damage of all cases of a set."
    )
    return Table("What each case spends", columns, rows, note=note, stacked=True)


def curves(found: Sequence[SNCurve]) -> Table:
    """The S-N curves drawn through the fatigue sets."""
    rows = tuple(
        Row((Cell(c.name), Cell(c.direction), figure(c.ratio), figure(c.coefficient, "MPa"), figure(c.exponent),
             figure(c.deviation, digits=2), Cell(f"{c.tests}, {c.tests - c.failures} run-outs", float(c.tests)),
             Cell(c.source, mark="invented" if c.invented else "")))
        for c in found
    )  # fmt: skip
    columns = (
        Column("set"), Column("direction"), Column("stress ratio", "", "number"),
        Column("amplitude at one cycle", "MPa", "number"), Column("exponent b", "", "number"),
        Column("scatter of log10 cycles", "", "number"), Column("tests"), Column("source"),
    )  # fmt: skip
    return Table("S-N curves: amplitude = coefficient times cycles to the power b", columns, rows, stacked=True)


def chart(curve: SNCurve, tests: FatigueSet, life: Life, rules: Rules) -> Figure:
    """Tests, middle line, low line, and every case at its equivalent cycles in the wanted life (else the low life)."""
    cv = rule(rules, "minimum_cv_in_layer" if curve.direction == "in layer" else "minimum_cv_between")

    def low(amplitude: np.ndarray | float) -> np.ndarray:
        p, confidence = rule(rules, "tolerance_part"), rule(rules, "tolerance_confidence")
        return survival_life(curve, amplitude, p=p, confidence=confidence, minimum_cv=cv)

    span = life.wanted.value if life.wanted else life.low
    own = [r for r in life.rows if r.curve == curve.name and r.amplitude > 0 and span is not None]
    # cycles of the largest size that would do as much damage: the share of its life times that life
    used = [(r, float(low(r.amplitude)) * (span or 0.0) / r.life) for r in own]
    used = [(r, n) for r, n in used if 1 <= n < 1e12]
    x, y = _axes(tests, used)
    drawn = plot(x, y)
    stresses = np.geomspace(y.low, y.high, 60)
    middle = 10 ** (curve.intercept + curve.slope * np.log10(stresses))
    for lives, style in ((middle, "solid"), (low(stresses), "dashed")):
        seen = (lives >= x.low) & (lives <= x.high)
        drawn.line(lives[seen], stresses[seen], "solid" if style == "solid" else "dashed")
    broke = np.array(tests.run_outs) == 0
    lives, amplitudes = np.array(tests.cycles), np.array(tests.amplitudes)
    drawn.points(lives[broke], amplitudes[broke], "disc")
    drawn.points(lives[~broke], amplitudes[~broke], "ring")
    drawn.points([n for _, n in used], [r.amplitude for r, _ in used], "square")
    for n, amplitude in [*zip(lives, amplitudes, strict=True), *((n, r.amplitude) for r, n in used)]:
        drawn.keep(*drawn.at(float(n), float(amplitude)))
    key = []
    for k, (row, n) in enumerate(used):
        drawn.name(n, row.amplitude, chr(65 + k % 26))
        key.append((chr(65 + k % 26), row.case))
    asked = f"the {life.wanted} wanted" if life.wanted else "the life told"
    p, sure = (100 * rule(rules, name) for name in ("tolerance_part", "tolerance_confidence"))
    marks = f" Squares: the cases in {asked}, as cycles of their largest size that do as much damage." if used else ""
    caption = (
        f"S-N tests {curve.name}, {curve.direction}, stress ratio {words.number(curve.ratio)}. Discs broke, rings were "
        f"taken off unbroken. Solid: half of the coupons; dashed: the life that {p:g} % outlive with {sure:g} % "
        f"confidence.{marks}" + (" INVENTED tests." if curve.invented else "")
    )
    return Figure(drawn.text(), f"{caption} " + " ".join(f"{a}: {b}." for a, b in key), caption, tuple(key))


def _axes(tests: FatigueSet, used: Sequence[tuple[LifeRow, float]]) -> tuple[Axis, Axis]:
    lives = [*tests.cycles, *(n for _, n in used)]
    stresses = [*tests.amplitudes, *(r.amplitude for r, _ in used)]
    low, high = 0.8 * min(stresses), 1.25 * max(stresses)
    left, right = 10 ** np.floor(np.log10(min(lives))), 10 ** np.ceil(np.log10(max(lives)) + 0.01)
    first, last = round(np.log10(left)), round(np.log10(right))
    powers = tuple((10.0**p, f"10{str(p).translate(RAISED)}") for p in range(first, last + 1))
    return Axis("cycles", float(left), float(right), log=True, ticks=powers), Axis(
        "amplitude, MPa", low, high, log=True, ticks=log_ticks(low, high)
    )
