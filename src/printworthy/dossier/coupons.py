"""The page of a coupon table: ordered data with fits, a box for each group, pull curves, limits and remarks."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from printworthy.dossier import page, words
from printworthy.dossier.document import Cell, Column, Document, Facts, Figure, Items, Row, Section, Table
from printworthy.dossier.plot import Axis, Line, plot
from printworthy.evidence.study import Study
from printworthy.inputs import CouponSet

STYLES: dict[str, Line] = {"normal": "solid", "lognormal": "dashed", "Weibull": "dotted"}


def write_coupons(studies: Sequence[Study], sets: Sequence[CouponSet], path: Path) -> None:
    """Write the page of `studies` and the pull curves of `sets` as one HTML file."""
    found = sections(studies, sets)
    pairs = (("coupons", Cell(str(sum(len(s.values) for s in studies)))), ("groups", Cell(str(len(studies)))))
    facts = Facts("The table", pairs)
    invented = any(s.invented for s in sets)
    document = Document("Coupons", "Strengths of coupons, by group.", facts, tuple(found), invented, "printworthy")
    path.write_text(page.lay_out(document, "none kept"), encoding="utf-8")


def sections(studies: Sequence[Study], sets: Sequence[CouponSet]) -> list[Section]:
    """A section for each group, after one that shows all side by side."""
    invented = any(s.invented for s in sets)
    found = [Section("boxes", "Side by side", (boxes(studies),), invented=invented)] if studies else []
    for number, study in enumerate(studies, 1):
        blocks = (*((ordered(study),) if study.fits else ()), *((limits(study),) if study.limits else ()),
                  Items("Remarks", study.remarks))  # fmt: skip
        found.append(Section(f"group-{number}", study.title, blocks, invented=invented))
    drawn = [s for s in sets if s.curves]
    if drawn:
        found.append(Section("curves", "Pull curves", tuple(curves(s) for s in drawn), invented=invented))
    return found


def ordered(study: Study) -> Figure:
    """Ordered strengths against the share of coupons below, with the three fits."""
    x = np.sort(study.values)
    pad = 0.15 * float(np.ptp(x))
    made = plot(Axis("strength, MPa", x[0] - pad, x[-1] + pad), Axis("share below", 0.0, 1.0))
    along = np.linspace(x[0] - pad, x[-1] + pad, 60)
    for fit in study.fits:
        made.line(along, np.clip(fit.share_below(along), 0, 1), STYLES[fit.family])
    made.points(x, (np.arange(1, len(x) + 1) - 0.5) / len(x))
    told = ", ".join(f"{f.family} ({STYLES[f.family]}) {words.number(f.significance, 2)}" for f in study.fits)
    caption = f"Ordered strengths with fits; Anderson-Darling significance: {told}. Below 0.05 a family is rejected."
    return Figure(made.text(), caption, caption)


def boxes(studies: Sequence[Study]) -> Figure:
    """A box from quartile to quartile with the median, every coupon as a ring, and the limit in use as a triangle."""
    top = 1.1 * max(max(s.values) for s in studies)
    ticks = tuple((float(i), str(i + 1)) for i in range(len(studies)))
    made = plot(Axis("group", -0.6, len(studies) - 0.4, ticks=ticks), Axis("strength, MPa", 0.0, top))
    for i, study in enumerate(studies):
        low, middle, high = np.quantile(study.values, (0.25, 0.5, 0.75))
        made.box(i - 0.25, i + 0.25, float(low), float(high), "block pale")
        made.line((i - 0.25, i + 0.25), (float(middle), float(middle)))
        made.points([float(i)] * len(study.values), study.values, "ring")
        if study.used is not None:
            made.points([float(i)], [study.used], "triangle")
    key = tuple((str(i + 1), s.title) for i, s in enumerate(studies))
    caption = "Boxes: quartiles and median; rings: coupons; triangle: lower limit that decisions use."
    return Figure(made.text(), caption, caption, key)


def curves(coupons: CouponSet) -> Figure:
    """Pull curves of one set."""
    points = [np.array(c) for c in coupons.curves]
    end, top = max(float(c[:, 0].max()) for c in points), max(float(c[:, 1].max()) for c in points)
    made = plot(Axis("strain, %", min(0.0, *(100 * float(c[:, 0].min()) for c in points)), 105 * end),
                Axis("stress, MPa", min(0.0, *(float(c[:, 1].min()) for c in points)), 1.05 * top))  # fmt: skip
    for c in points:
        made.line(100 * c[:, 0], c[:, 1])
    caption = f"Pull curves of {coupons.title}, {len(points)} coupons."
    return Figure(made.text(), caption, caption)


def limits(study: Study) -> Table:
    """Lower limits by distribution."""

    def cell(value: float) -> Cell:
        return Cell(
            words.number(value), value, "MPa", mark="" if value > 0 else f"not usable with n = {len(study.values)}"
        )

    rows = tuple(Row((Cell(name), cell(b), cell(a))) for name, b, a in study.limits)
    columns = (Column("distribution"), Column("B-basis", "MPa", "number"), Column("A-basis", "MPa", "number"))
    return Table(f"Lower limits, n = {len(study.values)}", columns, rows)
