"""The tables of one part, built from its records."""

from __future__ import annotations

from printworthy.dossier import words
from printworthy.dossier.document import Cell, Column, Row, Table
from printworthy.dossier.loads import describe
from printworthy.inputs import MaterialCard, Part, Vector
from printworthy.results import DirectionResult, PartAssessment


def figure(value: float, unit: str = "", source: str = "", digits: int = 3) -> Cell:
    """A number with what stands behind it."""
    return Cell(words.number(value, digits), value, unit, source)


def use(value: float, source: str = "") -> Cell:
    """A utilisation with its bar; 'over' marks it in a word when the limit is passed."""
    return Cell(words.utilisation(value), value, "-", source, bar=value, mark="over 1" if value > 1 else "")


def turned(direction: Vector) -> str:
    """A build direction in words and numbers."""
    return f"{words.direction(direction)} {words.vector(direction)}"


def title(card_name: str, cards: dict[str, MaterialCard]) -> str:
    """The card's title with its name, or the name alone where no such card is at hand."""
    card = cards.get(card_name)
    return f"{card.title} [{card_name}]" if card and card.title != card_name else card_name


def _beads(result: DirectionResult) -> str:
    """The raster of an option, after its build direction."""
    return "" if result.raster is None else f", beads at {words.number(result.raster)}°"


def options(part: PartAssessment) -> Table:
    """Every material and build direction that was solved."""
    rows = []
    for number, option in enumerate(part.options):
        governing = option.result.governing
        rows.append(
            Row(
                (
                    Cell(option.result.material),
                    Cell(turned(option.result.direction) + _beads(option.result)),
                    use(option.result.utilisation, option.result.solver),
                    Cell(words.margin(option.result.utilisation), 1 / option.result.utilisation - 1)
                    if option.result.utilisation > 0
                    else Cell("unbounded"),
                    Cell(governing.mode),
                    Cell(governing.case),
                    Cell(option.verdict.word, word=option.verdict.word),
                    figure(option.mass * 1000, "g", "volume times the card's density"),
                ),
                chosen=number == part.chosen,
            )
        )
    columns = (
        Column("material"), Column("build direction"), Column("utilisation", "", "bar"),
        Column("margin of safety", "", "number"), Column("governing mode"), Column("governing case"),
        Column("word", "", "word"), Column("mass", "g", "number"),
    )  # fmt: skip
    return Table(
        "Every material and build direction solved", columns, tuple(rows),
        note="The marked row answers for the part. Utilisation is demand over design value with the factor on load "
        "inside; 1 is the limit; rounded up. Margin of safety = 1 / utilisation − 1, rounded down. A direction and its "
        "opposite give the same computed strength.",
        stacked=True,
    )  # fmt: skip


def cases(result: DirectionResult, stated: Part) -> Table:
    """Load cases of one option: what presses, what holds against it, how near the limit, where and how."""
    kinds = {c.name: c for c in stated.cases}
    rows = []
    for c in sorted(result.cases, key=lambda c: -c.utilisation):
        at = words.vector(c.point) + (f", near face {c.near_face}" if c.near_face else "")
        rows.append(
            Row(
                (
                    Cell(c.case + (f" ({kinds[c.case].kind})" if c.case in kinds else "")),
                    use(c.utilisation),
                    Cell(c.mode),
                    Cell(at, mark="at a support" if c.at_support else ""),
                    Cell(words.vector(c.applied), unit="N"),
                    Cell(words.vector(c.reaction), unit="N"),
                    figure(c.imbalance, "-", digits=2),
                    figure(c.max_displacement, "mm"),
                ),
                chosen=c.case == result.governing.case,
            )
        )
    columns = (
        Column("case"), Column("utilisation", "", "bar"), Column("governing mode"), Column("place", "mm"),
        Column("force applied", "N"), Column("reaction", "N"), Column("imbalance", "of the load", "number"),
        Column("largest movement", "mm", "number"),
    )  # fmt: skip
    return Table(
        "Load cases at the answering build direction", columns, tuple(rows),
        note=f"Utilisation includes the factor on load {words.number(result.factor)}; forces, reactions and movements "
        f"do not. Solved by: {result.solver}.",
        stacked=True,
    )  # fmt: skip


def stresses(result: DirectionResult) -> Table:
    """Stress at the governing place of every case, in layer axes."""
    rows = tuple(
        Row((Cell(c.case), *(figure(s, "MPa") for s in c.stress)), chosen=c.case == result.governing.case)
        for c in result.cases
    )
    heads = ("11 in the layer", "22 in the layer", "33 along the build", "23 shear between", "13 shear between",
             "12 shear in the layer")  # fmt: skip
    return Table(
        "Stress at the governing place, in layer axes", (Column("case"), *(Column(h, "MPa", "number") for h in heads)),
        rows, note="Without the factor on load. Axis 3 is the build direction; tension is positive. Raw values at "
        "quadrature points of the mesh.",
    )  # fmt: skip


def modes(result: DirectionResult) -> Table:
    """Utilisation of every mode in every case."""
    names = list(dict.fromkeys(mode for c in result.cases for mode in c.by_mode))
    rows = []
    for c in result.cases:
        found = (use(c.by_mode[name]) if name in c.by_mode else Cell("not asked") for name in names)
        rows.append(Row((Cell(c.case), *found), chosen=c.case == result.governing.case))
    return Table(
        "Utilisation by mode of failure", (Column("case"), *(Column(n, "", "bar") for n in names)), tuple(rows)
    )


def loads(stated: Part) -> Table:
    """Every load as it was stated, with where the figures come from."""
    rows = [
        Row((Cell(c.name), Cell(c.kind), Cell(describe(load)), Cell(c.source)))
        for c in stated.cases
        for load in c.loads
    ]
    return Table(
        "Loads as stated", (Column("case"), Column("kind"), Column("load"), Column("source")), tuple(rows), stacked=True
    )


def supports(stated: Part) -> Table:
    """How the part is held."""
    rows = []
    for s in stated.supports:
        normal = figure(s.stiffness, "N/mm³") if s.stiffness is not None else Cell("rigid" if s.kind in (
            "fixed", "sliding") else "from the material")  # fmt: skip
        along = figure(s.tangential, "N/mm³") if s.tangential is not None else Cell("not stated")
        rows.append(Row((Cell(s.face), Cell(s.kind), normal, along)))
    columns = (Column("face"), Column("kind"), Column("stiffness", "N/mm³", "number"),
               Column("stiffness across", "N/mm³", "number"))  # fmt: skip
    return Table("Supports as stated", columns, tuple(rows))


def deflections(result: DirectionResult) -> Table | None:
    """Movements of named faces against their limits; None where no face is followed."""
    if not result.deflections:
        return None
    rows = []
    for d in result.deflections:
        limit = figure(d.limit, "mm") if d.limit is not None else Cell("none stated")
        ratio = use(d.movement / d.limit) if d.limit else Cell("not asked")
        rows.append(Row((Cell(d.face), Cell(d.case), figure(d.movement, "mm"), limit, ratio)))
    columns = (Column("face"), Column("case"), Column("movement", "mm", "number"), Column("limit", "mm", "number"),
               Column("movement / limit", "", "bar"))  # fmt: skip
    return Table("Movement of named faces", columns, tuple(rows), note="Without the factor on load.")


def checks(part: PartAssessment) -> Table | None:
    """Checks beside strength of the answering option; None where none was made."""
    if not part.option.checks:
        return None
    rows = tuple(
        Row(
            (
                Cell(c.name),
                figure(c.demand, c.unit),
                figure(c.capacity, c.unit),
                Cell(c.unit),
                use(c.utilisation) if c.decided else Cell("not decided", word="not decided"),
                Cell(c.words),
                Cell(c.source),
            )
        )
        for c in part.option.checks
    )
    columns = (Column("check"), Column("demand", "", "number"), Column("capacity", "", "number"), Column("unit"),
               Column("utilisation", "", "bar"), Column("remark"), Column("source"))  # fmt: skip
    return Table("Checks beside strength", columns, rows, stacked=True)


def metals(part: PartAssessment, cards: dict[str, MaterialCard]) -> Table | None:
    """The same solid in metal."""
    if not part.metals:
        return None
    printed = part.option.mass
    rows = [
        Row((Cell(title(m.material, cards)), figure(m.mass * 1000, "g"),
             Cell(words.number(m.mass / printed), m.mass / printed) if printed else Cell("no printed mass"),
             use(m.utilisation), Cell(m.case)))
        for m in part.metals
    ]  # fmt: skip
    columns = (Column("metal"), Column("mass", "g", "number"), Column("mass / printed", "", "number"),
               Column("utilisation on yield", "", "bar"), Column("case"))  # fmt: skip
    return Table("The same solid in metal", columns, tuple(rows),
                 note="Same shape, loads and factor on load; a metal part would usually be drawn thinner.")  # fmt: skip


def factors(part: PartAssessment) -> Table:
    """Factors on load and their product."""
    rows = [Row((Cell(s.name), Cell(words.number(s.factor, 4), s.factor), Cell(s.source))) for s in part.factors]
    product = 1.0
    for s in part.factors:
        product *= s.factor
    rows.append(Row((Cell("product"), Cell(words.number(product, 4), product), Cell("of the rows above")), chosen=True))
    return Table("Factors on load", (Column("factor"), Column("value", "", "number"), Column("source")), tuple(rows))


def inputs(part: PartAssessment) -> Table:
    """Every figure the answer used that was stated, not computed."""
    rows = []
    for name, q in part.inputs.items():
        spread = ""
        if q.low is not None or q.high is not None:
            ends = (words.number(e) if e is not None else "open" for e in (q.low, q.high))
            spread = " to ".join(ends)
        mark = q.confidence if q.confidence in ("assumed", "invented") else ""
        rows.append(
            Row((Cell(words.plain(name)), Cell(words.number(q.value, 4), q.value, q.unit, q.source, mark=mark),
                 Cell(words.unit(q.unit)),
                 Cell(spread or "not stated"), Cell(q.source), Cell(q.confidence)))
        )  # fmt: skip
    columns = (Column("input"), Column("value", "", "number"), Column("unit"), Column("spread"), Column("source"),
               Column("standing"))  # fmt: skip
    return Table("Inputs with their sources", columns, tuple(rows), stacked=True)
