"""Coupons in pictures: ordered data with fits, a box for each group, pull curves, what more coupons would buy; limits
with the recommended one, its path, shear, claims. As a page of their own and as a section of the dossier."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from printworthy.dossier import page, words
from printworthy.dossier.document import Block, Cell, Column, Document, Facts, Figure, Items, Row, Section, Table
from printworthy.dossier.plot import Axis, Line, plot
from printworthy.dossier.tables import figure
from printworthy.evidence import oblique_studies, studies
from printworthy.evidence.by_weight import ByWeight
from printworthy.evidence.claims import Claim
from printworthy.evidence.need import SCATTER, limit_share
from printworthy.evidence.oblique import Oblique, ObliqueFigure
from printworthy.evidence.recommend import Recommended
from printworthy.evidence.study import Study
from printworthy.evidence.values import rule
from printworthy.inputs import CouponSet, Job, Rules

STYLES: dict[str, Line] = {"normal": "solid", "lognormal": "dashed", "Weibull": "dotted"}
SCATTERS = (0.06, 0.12, 0.20, 0.30)  # [-] lines of the picture of knock-downs
NEAR = (0.25, 0.07)  # of ln n and of the share: nearer labels would overlap
NUMBERS = (3, 5, 8, 12, 18, 30, 60)


def write_coupons(
    found: Sequence[Study], sets: Sequence[CouponSet], oblique: Sequence[Oblique], weights: Sequence[ByWeight],
    claims: Sequence[Claim], rules: Rules, path: Path,
) -> None:  # fmt: skip
    """Write the page of `found`, the pull curves of `sets`, shear and claims as one HTML file."""
    invented = any(s.invented for s in sets)
    sections = _sections(found, sets, oblique, rules, "coupons", invented)
    if claims:
        sections.append(
            Section("claims", "Printed against other processes", (by_weight(weights), held(claims)), invented=invented)
        )
    pairs = (("coupons", Cell(str(sum(len(s.values) for s in found)))), ("groups", Cell(str(len(found)))))
    facts = Facts("The table", pairs)
    document = Document("Coupons", "Strengths of coupons, by group.", facts, tuple(sections), invented, "printworthy")
    path.write_text(page.lay_out(document, "none kept"), encoding="utf-8")


def section(job: Job, invented: bool) -> Section | None:
    """The coupons of a vehicle; None without any."""
    if not job.coupons:
        return None
    found = studies(job.coupons, job.rules)
    oblique = oblique_studies(job.coupons, dict(job.cards), job.rules)
    parts = _sections(found, job.coupons, oblique, job.rules, "coupons", invented)
    return Section("coupons", "Coupons", (), tuple(parts), invented=invented, new_page=True)


def _sections(
    found: Sequence[Study], sets: Sequence[CouponSet], oblique: Sequence[Oblique], rules: Rules, anchor: str,
    invented: bool,
) -> list[Section]:  # fmt: skip
    made = [Section(f"{anchor}-boxes", "Side by side", (boxes(found), knock_downs(found, rules), basis(found)),
                    invented=invented)]  # fmt: skip
    for number, study in enumerate(found, 1):
        blocks: list[Block] = [ordered(study)] if study.fits else []
        blocks += [limits(study)] if study.limits else []
        if study.recommended is not None:
            blocks.append(
                Items("Path to the recommended basis", (*study.recommended.path, *study.recommended.cautions))
            )
        blocks.append(Items("Remarks", study.remarks))
        made.append(Section(f"{anchor}-{number}", f"{number}. {study.title}", tuple(blocks), invented=invented))
    drawn = [s for s in sets if s.curves]
    if drawn:
        made.append(Section(f"{anchor}-curves", "Pull curves", tuple(curves(s) for s in drawn), invented=invented))
    if oblique:
        made.append(Section(f"{anchor}-shear", "Shear between layers and the criterion", (shear(oblique),),
                            invented=invented))  # fmt: skip
    return made


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
    second = ", ".join(f"{f.family} {words.number(f.stephens, 2)}" for f in study.fits if f.stephens is not None)
    caption = (
        f"Ordered strengths with fits; Anderson-Darling significance: {told}. Below 0.05 a family is rejected. By "
        f"Stephens's correction, for comparison: {second}."
    )
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

    rows = [Row((Cell(name), cell(b), cell(a))) for name, b, a in study.limits]
    if study.recommended is not None:
        r = study.recommended
        ends = (cell(v) if v is not None else Cell("none") for v in (r.b, r.a))
        rows.append(Row((Cell(f"recommended: {r.method}"), *ends), chosen=True))
    columns = (Column("distribution"), Column("B-basis", "MPa", "number"), Column("A-basis", "MPa", "number"))
    return Table(f"Lower limits, n = {len(study.values)}", columns, tuple(rows))


def basis(found: Sequence[Study]) -> Table:
    """The recommended basis of every group beside what decisions use."""
    rows = []
    for number, s in enumerate(found, 1):
        r = s.recommended or Recommended("none: fewer than three values, or all the same", None, None, (), ())
        ends = (Cell("none") if v is None else figure(v, "MPa") if v > 0 else Cell("not usable") for v in (r.b, r.a))
        used = Cell("card") if s.used is None else figure(s.used, "MPa")
        rows.append(Row((Cell(f"{number}. {s.title}"), Cell(str(len(s.values)), float(len(s.values))),
                         figure(s.mean, "MPa"), figure(100 * s.cv), *ends, Cell(r.method), used)))  # fmt: skip
    columns = (
        Column("group"), Column("n", "", "number"), Column("mean", "MPa", "number"), Column("scatter", "%", "number"),
        Column("B-basis", "MPa", "number"), Column("A-basis", "MPa", "number"), Column("by"),
        Column("used in decisions", "MPa", "number"),
    )  # fmt: skip
    note = (
        "B: 90 % of parts are stronger with 95 % confidence; A: 99 %. The flow is that of CMH-17, its path stands with "
        "each group. Decisions use a lognormal limit with the least scatter believed, which stays positive for few "
        "coupons, and from 18 coupons on no more than the B-basis."
    )
    return Table("Recommended basis", columns, tuple(rows), note=note, stacked=True)


def knock_downs(found: Sequence[Study], rules: Rules) -> Figure:
    """What share of the mean n coupons let be used, for four scatters, and where each group stands."""
    ticks = tuple((float(n), str(n)) for n in NUMBERS)
    made = plot(Axis("coupons", 2.8, 66, log=True, ticks=ticks), Axis("limit / mean", 0.0, 1.0))
    along = np.unique(np.round(np.geomspace(3, 60, 40))).astype(int)
    for scatter in SCATTERS:
        shares = [limit_share(int(n), scatter, rules) for n in along]
        made.line(along, shares, "solid" if scatter in SCATTERS[::2] else "dashed")
        made.say(NUMBERS[-1], shares[-1], f"{100 * scatter:g} %", "end", dy=-7)
    for there in _together(found):
        _, n, share = min(there, key=lambda place: place[2])
        made.points([n for _, n, _ in there], [share for _, _, share in there], "ring")
        made.say(n, share, ", ".join(str(number) for number, _, _ in there), "start", dx=9, dy=20)
    least = ", ".join(f"{100 * rule(rules, r):g} %" for r in (SCATTER["in layer"], "minimum_cv_between"))
    caption = (
        "How many coupons for which knock-down: lower limit over mean (90 % of parts, 95 % confidence, lognormal) for "
        f"scatters of 6, 12, 20 and 30 %. Rings: the groups, by number, with the limit in use; least scatter believed "
        f"{least} (in the layer, otherwise)."
    )
    return Figure(made.text(), caption, caption)


def _together(found: Sequence[Study]) -> list[list[tuple[int, int, float]]]:
    """Number, coupons and share of the mean in use of each group; those that would lie on one another together."""
    clusters: list[list[tuple[int, int, float]]] = []
    for number, s in enumerate(found, 1):
        if s.used is None:
            continue
        place = (number, min(len(s.values), NUMBERS[-1]), s.used / s.mean)
        for there in clusters:
            if any(abs(np.log(place[1] / n)) < NEAR[0] and abs(place[2] - share) < NEAR[1] for _, n, share in there):
                there.append(place)
                break
        else:
            clusters.append([place])
    return clusters


def shear(found: Sequence[Oblique]) -> Table:
    """Shear strength, shear modulus and exponent, measured with an interval or assumed."""
    rows = tuple(_shear_row(o.title, f) for o in found for f in o.figures)
    columns = (
        Column("material"), Column("figure"), Column("value", "", "number"), Column("90 % interval"), Column("from"),
    )  # fmt: skip
    note = "S and G13 in MPa. A value marked assumed is a low bound; the coupon that would settle it is named."
    return Table("Shear between layers", columns, rows, note=note, stacked=True)


def _shear_row(title: str, f: ObliqueFigure) -> Row:
    value = Cell("not known") if f.value is None else Cell(words.number(f.value), f.value, f.unit,
                                                            mark="assumed" if f.assumed else "")  # fmt: skip
    ends = "none"
    if not f.assumed and f.low is not None and f.high is not None:
        ends = f"{words.number(f.low)} to {words.number(f.high)}"
    return Row((Cell(title), Cell(f.name), value, Cell(ends), Cell(f.words)))


def by_weight(found: Sequence[ByWeight]) -> Table:
    """Strength and stiffness over density, and scatter, beside other processes."""

    def known(value: float | None, unit: str) -> Cell:
        return Cell("not known") if value is None else figure(value, unit)

    rows = tuple(
        Row((Cell(r.name), Cell(str(r.n) if r.n else "card or stated", float(r.n)), figure(r.strength, "MPa"),
             known(r.by_strength, "kN m/kg"), known(r.modulus, "MPa"), known(r.by_modulus, "MN m/kg"),
             Cell("curves" if r.measured else "card"), known(None if r.scatter is None else 100 * r.scatter, "%")))
        for r in found
    )  # fmt: skip
    columns = (
        Column("what"), Column("n", "", "number"), Column("strength", "MPa", "number"),
        Column("strength / density", "kN m/kg", "number"), Column("modulus", "MPa", "number"),
        Column("modulus / density", "MN m/kg", "number"), Column("modulus from"), Column("scatter", "%", "number"),
    )  # fmt: skip
    note = "Means of coupons and typical values of cards: for comparison, no limit stands here."
    return Table("By weight, beside other processes", columns, rows, note=note, stacked=True)


def held(claims: Sequence[Claim]) -> Table:
    """Claims about printing against these coupons."""
    rows = tuple(Row((Cell(c.claim), Cell(c.answer), Cell(c.figures), Cell(c.source))) for c in claims)
    columns = (Column("claim"), Column("for these coupons"), Column("figures"), Column("source of the claim"))
    return Table("Claims about printing, held against these coupons", columns, rows, note="Claims decide nothing.",
                 stacked=True)  # fmt: skip
