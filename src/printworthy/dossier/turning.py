"""What turns the answer: every build direction, what printing each way costs, what the answer hangs on."""

from __future__ import annotations

import numpy as np

from printworthy.dossier import beads, charts, tables, words
from printworthy.dossier.document import Block, Cell, Column, Figure, Items, Row, Table
from printworthy.inputs import Vector
from printworthy.results import DirectionSearch, LayFigures, Option, PartAssessment, Word

RANK: tuple[Word, ...] = ("print", "print with conditions", "not decided", "do not print")  # best first
MOST_MARKS = 9  # letters on the disc; more would hide it


def blocks(part: PartAssessment, discs: tuple[Figure, ...]) -> tuple[Block, ...]:
    """In words, as a disc of all directions where they were searched, as tables."""
    made: list[Block | None] = [Items("In words", sentences(part)), *discs]
    if part.search is not None:
        made.append(influences(part.search))
    made += [tables.options(part), laying(part)]
    return tuple(b for b in made if b is not None)


def better(part: PartAssessment) -> str:
    """The solved option that reaches the best word, where that is better than the answer's; '' where none is."""

    def rank(option: Option) -> tuple[int, bool, float]:
        same = option.result.material == part.option.result.material
        return RANK.index(option.verdict.word), not same, option.result.utilisation

    best = min(part.options, key=rank)
    if RANK.index(best.verdict.word) >= RANK.index(part.verdict.word):
        return ""
    return f"A better word was reached by {best.result.material}: {_one(best)}."


def sentences(part: PartAssessment) -> tuple[str, ...]:
    """What changing the build direction or the material would do, how the direction was chosen."""
    chosen = part.option
    lines = []
    same = [o for o in part.options if o.result.material == chosen.result.material]
    if len(same) > 1:
        lines.append(_range(f"Turning the part, still in {chosen.result.material}", same))
    for material in dict.fromkeys(o.result.material for o in part.options):
        if material != chosen.result.material:
            found = [o for o in part.options if o.result.material == material]
            lines.append(_range(f"In {material}", found) if len(found) > 1 else f"In {material}: {_one(found[0])}.")
    if len(part.options) == 1 and part.search is None:
        lines.append("One material and one build direction were solved: nothing is known about turning the part.")
    if part.search is not None:
        lines += _searched(part.search)
    return tuple(lines)


def _one(option: Option) -> str:
    return (
        f"{words.utilisation(option.result.utilisation)} built {words.direction(option.result.direction)} "
        f"({option.result.governing.mode}; {option.verdict.word})"
    )


def _range(head: str, found: list[Option]) -> str:
    low = min(found, key=lambda o: o.result.utilisation)
    high = max(found, key=lambda o: o.result.utilisation)
    text = f"{head}, the utilisation runs from {_one(low)} to {_one(high)}"
    verdicts = list(dict.fromkeys(o.verdict.word for o in found))
    if len(verdicts) > 1:
        return f"{text}. The build direction alone changes the word: {' / '.join(verdicts)}."
    return f"{text}. The word stays '{verdicts[0]}' in all {len(found)} directions solved."


def _searched(search: DirectionSearch) -> list[str]:
    """How a build direction was chosen among all, and at what layer strength it would fail."""
    lines = [
        f"Choice among {len(search.directions)} build directions in {search.material}: {words.sentence(search.choice)}"
    ]
    lines.append(f"Rule of the choice: {words.sentence(search.rule)}")
    if search.layer_strength is not None:
        lines.append(
            f"Built {words.direction(search.chosen)}, the part would reach the limit if the layers held only "
            f"{_percent(search.layer_strength)} of the strength between layers used here."
        )
    if search.raster is not None:
        lines.append(beads.sentence(search.raster))
    return lines


def _percent(share: float) -> str:
    return f"{words.number(100 * share, 2)} %"


def disc(part: PartAssessment, search: DirectionSearch, anchor: str) -> Figure:
    """All directions, with the solved ones and the chosen one lettered."""
    marks: list[tuple[str, Vector, str]] = []
    same = [o for o in part.options if o.result.material == search.material]
    for option in same[:MOST_MARKS]:
        direction = option.result.direction
        answers = option is part.option
        text = (
            f"{tables.turned(direction)}: {words.utilisation(option.result.utilisation)}, "
            f"{option.result.governing.mode}; {option.verdict.word}" + ("; answers for the part" if answers else "")
        )
        marks.append(("A" if answers else str(len(marks) + 1), direction, text))
    reached = "within" if search.reached else "ABOVE"
    note = (
        f"Largest error found against {len(search.checks)} exact solutions: {_percent(search.error)}, {reached} the "
        f"target of {_percent(search.target)}. {words.sentence(search.coverage)}"
    )
    return charts.all_directions(np.array(search.directions), np.array(search.utilisation), marks, anchor, note)


def influences(search: DirectionSearch) -> Table | None:
    """What the utilisation of the chosen direction hangs on, strongest first."""
    if not search.influences:
        return None
    ordered = sorted(search.influences, key=lambda i: -abs(i.high - i.low))
    rows = tuple(
        Row((Cell(i.name), Cell(i.change), tables.use(i.base), tables.use(i.low), tables.use(i.high))) for i in ordered
    )
    columns = (
        Column("input"), Column("change"), Column("as it is", "", "bar"), Column("input lower", "", "bar"),
        Column("input higher", "", "bar"),
    )  # fmt: skip
    note = f"Utilisation in {search.material}, built {words.direction(search.chosen)}, one input changed at a time."
    return Table("What the answer hangs on", columns, rows, note=note, stacked=True)


def exact_checks(search: DirectionSearch) -> Table:
    """Every exact solution that the map of directions was held against."""
    rows = tuple(
        Row((Cell(c.why), Cell(tables.turned(c.direction)), tables.figure(c.estimate), tables.figure(c.exact),
             Cell(_percent(c.error), c.error)))
        for c in sorted(search.checks, key=lambda c: -c.error)
    )  # fmt: skip
    columns = (
        Column("why this direction"), Column("direction"), Column("estimated", "", "number"),
        Column("exact", "", "number"), Column("error", "", "number"),
    )  # fmt: skip
    note = (
        f"Governing utilisation without the factor on load. Reduced model of {search.fields} fields; criterion at "
        f"{words.number(search.hot_points)} places of the mesh, which missed at most {_percent(search.shortlist_miss)} "
        "of the whole field where both were computed."
    )
    return Table("The map of directions against exact solutions", columns, rows, note=note, stacked=True)


def laying(part: PartAssessment) -> Table | None:
    """What printing costs each way; None where it was not worked out."""
    rows, seen = [], []
    for option in part.options:
        if option.lay is None or option.result.direction in seen:
            continue
        seen.append(option.result.direction)
        rows.append(_laid(option.lay, chosen=option.result.direction == part.option.result.direction))
    if not rows:
        return None
    columns = (
        Column("build direction"), Column("height", "mm", "number"), Column("rectangle on the bed", "mm", "number"),
        Column("first layer", "mm²", "number"), Column("overhang", "mm²", "number"),
        Column("support", "cm³", "number"), Column("tips at a slope of", "", "number"),
        Column("axes of rounds off the build direction"), Column("build space"),
    )  # fmt: skip
    note = (
        "Overhang: skin beyond the printer's angle, without the first layer. Support: solid columns below it, with its "
        "own error. Tipping without supports; negative: it does not stand by itself. Rounds at 0° print round, at 90° "
        "they lie."
    )
    return Table("What printing each way costs", columns, tuple(rows), note=note, stacked=True)


def _laid(lay: LayFigures, *, chosen: bool) -> Row:
    support = f"{words.number(lay.support_volume / 1000)} ± {words.number(lay.support_error / 1000, 1)}"
    over = max(lay.over_bed, lay.over_height)
    room = "fits" if lay.fits else f"{words.number(over)} mm too large"
    rounds = "; ".join(f"{name} {words.number(angle, 2)}°" for name, angle in lay.round_angle.items())
    return Row(
        (
            Cell(tables.turned(lay.direction)),
            tables.figure(lay.height, "mm"),
            Cell(f"{words.number(lay.rectangle[0])} × {words.number(lay.rectangle[1])}", unit="mm"),
            tables.figure(lay.contact_area, "mm2"),
            tables.figure(lay.overhang_area, "mm2"),
            Cell(support, lay.support_volume, "mm3"),
            tables.figure(lay.tip_slope, "-", digits=2),
            Cell(rounds or "none named"),
            Cell(room, mark="" if lay.fits else "too large"),
        ),
        chosen=chosen,
    )
