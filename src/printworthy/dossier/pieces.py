"""Made pieces in the dossier: what to find on the scale, what was found, how well dimensions are held."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from printworthy.dossier.document import Block, Cell, Column, Facts, Row, Table, Text
from printworthy.dossier.tables import figure
from printworthy.evidence.bead import inside
from printworthy.evidence.values import rule, rule_source
from printworthy.inputs import DimensionSet, Laid, Rules, Weighing
from printworthy.results import Capability, Weight


def blocks(
    weight: Weight | None, dimensions: Mapping[str, Capability], sets: Sequence[DimensionSet], rules: Rules,
    weighings: Sequence[Weighing] = (),
) -> tuple[Block, ...]:  # fmt: skip
    """Everything about weighed and measured pieces of one part; `weighings`: those of the part in its polymer."""
    made: list[Block] = [Text("The card has no density: what a piece must weigh is not known.")]
    if weight is not None:
        made = [expected(weight)]
        if weight.pieces:
            made.append(weighed(weight))
        if laid := [w for w in weighings if w.bead is not None]:
            made.append(beads(weight, laid))
    if dimensions:
        made.append(held(dimensions, sets, rules))
    return tuple(made)


def expected(weight: Weight) -> Facts:
    """The mass of a solid piece."""
    low, high = 1000 * weight.low, 1000 * weight.high
    return Facts(
        "On the scale",
        (
            ("a solid piece, lightest", Cell(f"{low:.4g} g", low, "g", "volume times the low end of the density")),
            ("a solid piece, heaviest", Cell(f"{high:.4g} g", high, "g", "volume times the high end of the density")),
        ),
    )


def weighed(weight: Weight) -> Table:
    """Every weighed piece."""
    rows = tuple(
        Row((Cell(p.piece), figure(1000 * p.mass, "g", p.source, 4), _share((p.low, p.high)), _share((p.planned,) * 2),
             Cell(p.finding, mark="invented" if p.invented else ""), _share(p.in_layer), _share(p.between),
             Cell(p.source)))
        for p in weight.pieces
    )  # fmt: skip
    columns = (
        Column("piece"), Column("mass", "g", "number"), Column("filled", "% of the solid"), Column("planned", "%"),
        Column("finding"), Column("strength left in the layer", "%"), Column("between layers", "%"), Column("source"),
    )  # fmt: skip
    note = (
        "Filled: mass over volume and density, over the density's range. Strength left, against a piece filled as "
        "planned: at most the share of polymer, at least its square in the layer (Gibson and Ashby, from memory) and "
        "the share of the layer that touches between layers. A mass does not see where polymer is missing: one bad "
        "layer weighs nothing."
    )
    return Table("Weighed pieces", columns, rows, note=note, stacked=True)


def beads(weight: Weight, weighings: Sequence[Weighing]) -> Table:
    """What the beads of the weighed pieces were to leave, one row for each way they were laid."""
    ways: dict[Laid, list[str]] = {}
    for w in weighings:
        if w.bead is not None:
            ways.setdefault(w.bead, []).append(w.piece)
    rows = []
    for laid, names in ways.items():
        b = inside(*laid)
        masses = [1000 * m * min(1.0, 1 - b.void) for m in (weight.low, weight.high)]
        rigid = Cell("not asked") if b.rigid is None else figure(100 * b.rigid, "%")
        rows.append(Row((
            Cell(", ".join(names)), figure(b.width, "mm"), figure(b.height, "mm"), figure(b.pitch, "mm"),
            figure(100 * b.flow, "%"), figure(b.area, "mm2", digits=4), figure(b.closing, "mm"),
            figure(100 * b.void, "%"), rigid, figure(100 * b.bonded, "%"),
            Cell(f"{masses[0]:.4g} to {masses[1]:.4g}", masses[0], "g"),
        )))  # fmt: skip
    columns = (
        Column("pieces"), Column("line width", "mm", "number"), Column("layer", "mm", "number"),
        Column("pitch", "mm", "number"), Column("flow", "%", "number"), Column("bead's section", "mm2", "number"),
        Column("pitch that closes", "mm", "number"), Column("voids, melt flows", "%", "number"),
        Column("voids, outlines keep", "%", "number"), Column("layers touch", "%", "number"),
        Column("solid piece so laid", "g"),
    )  # fmt: skip
    note = (
        "A bead is taken as flat above and below and round at its sides. Voids below zero: more is laid than fits. "
        "Melt that flows keeps the mass and goes with the scale; outlines that keep their shape are the other end "
        "of what a cut face may show. How well what touches is welded, only coupons say."
    )
    return Table("Inside the bead", columns, tuple(rows), note=note, stacked=True)


def _share(ends: tuple[float, float]) -> Cell:
    low, high = 100 * ends[0], 100 * ends[1]
    return Cell(f"{low:.3g}" if f"{low:.3g}" == f"{high:.3g}" else f"{low:.3g} to {high:.3g}", low, "%")


def held(dimensions: Mapping[str, Capability], sets: Sequence[DimensionSet], rules: Rules) -> Table:
    """How well dimensions are held, and the trade's claim beside."""
    sources = {s.name: s for s in sets}
    rows = [
        Row((Cell(name), Cell(str(c.n), float(c.n)), figure(c.mean, "mm", digits=5), figure(c.deviation, "mm"),
             Cell(f"{c.lower:.6g} to {c.upper:.6g}"), figure(c.cp), figure(c.cp_low), figure(c.cpk), figure(c.cpk_low),
             figure(1e6 * c.outside), Cell(sources[name].source, mark="invented" if sources[name].invented else "")))
        for name, c in dimensions.items()
    ]  # fmt: skip
    spread, tolerance = rule(rules, "claimed_spread"), rule(rules, "claimed_tolerance")
    claim = tolerance / spread
    rows.append(
        Row((Cell("claim of the trade"), Cell("none", 0.0), Cell("centred"), figure(spread / 3, "mm"),
             Cell(f"±{tolerance:g}"), figure(claim), Cell("no pieces"), figure(claim), Cell("no pieces"),
             Cell("not asked"), Cell(rule_source(rules, "claimed_spread"))))
    )  # fmt: skip
    columns = (
        Column("dimension"), Column("pieces", "", "number"), Column("mean", "mm", "number"),
        Column("standard deviation", "mm", "number"), Column("limits", "mm"), Column("Cp", "", "number"),
        Column("at least", "95 %", "number"), Column("Cpk", "", "number"), Column("at least", "95 %", "number"),
        Column("outside", "of a million", "number"), Column("source"),
    )  # fmt: skip
    note = (
        "Cp: tolerance over six standard deviations; Cpk counts how far the mean is off. The claim takes its spread as "
        "three standard deviations of a centred process; it decides nothing."
    )
    return Table("How well dimensions are held", columns, tuple(rows), note=note, stacked=True)
