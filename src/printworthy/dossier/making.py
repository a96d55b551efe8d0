"""What making a part takes, as blocks: time, mass, cost, other processes."""

from __future__ import annotations

import math

import numpy as np

from printworthy.dossier import words
from printworthy.dossier.document import Block, Cell, Column, Facts, Figure, Row, Table, Text
from printworthy.dossier.plot import Axis, plot
from printworthy.making.alternatives import delivered
from printworthy.results import Course, Making, PartAssessment, PartMade, Spread

WEEK, HOUR, MONTH = 7 * 86400.0, 3600.0, 365.25 * 86400 / 12
SEASON = 200 * 86400.0  # from here on times are told in months
STYLES = ("solid", "dashed", "dotted", "solid", "dashed", "dotted")
UNKNOWN = "not known"


def money(value: float | None) -> str:
    """An amount in EUR, or that it is not known."""
    return UNKNOWN if value is None else f"{words.number(value)} EUR"


def interval(found: Spread | None) -> str:
    """An amount with its interval."""
    if found is None:
        return UNKNOWN
    return f"{words.number(found.value)} EUR ({words.number(found.low)} to {words.number(found.high)})"


def duration(seconds: float | None) -> str:
    """A time in the unit people read."""
    if seconds is None:
        return UNKNOWN
    if seconds < 2 * HOUR:
        return f"{words.number(seconds / 60)} min"
    if seconds >= SEASON:
        return f"{words.number(seconds / MONTH)} months"
    return f"{words.number(seconds / HOUR)} h" if seconds < 4 * 86400 else f"{words.number(seconds / 86400)} days"


def sure(chance: float) -> str:
    """A chance, never rounded to certainty."""
    return "over 99.9 %" if chance > 0.999 else f"{100 * chance:.1f} %"


def part_blocks(part: PartAssessment, making: Making | None) -> tuple[Block, ...]:
    """Time, mass and cost of a part, and other processes for it."""
    found = next((p for p in making.parts if p.part == part.part), None) if making else None
    if found is None or part.printing is None:
        return (Text("No printer is stated, so that time and cost were not figured."),)
    blocks: list[Block] = [_facts(part, found)]
    if found.refusal:
        blocks.append(Text(found.refusal))
    if found.cost.total is not None:
        blocks.append(_items(found))
        blocks.append(tornado(found))
    else:
        blocks.append(Text(f"Cost not known: {', '.join(found.cost.missing)} missing."))
    blocks.append(_processes(found))
    known = [c for c in found.courses if c.piece is not None and c.tooling is not None]
    if known and found.cost.total is not None:
        blocks += [break_even(found, known), calendar(found, known)]
    return tuple(blocks)


def _facts(part: PartAssessment, found: PartMade) -> Facts:
    p = part.printing
    assert p is not None
    per = found.bed_seconds / found.bed if found.bed else None
    kg = None if found.mass is None else found.mass + (found.support_mass or 0.0)
    return Facts(
        "Making",
        (
            ("time of one print", Cell(duration(p.seconds), p.seconds, "s", "its layers, without heating")),
            ("of it waiting to cool", Cell(duration(p.waiting), p.waiting, "s")),
            ("layers", Cell(f"{len(p.layer_seconds)} of {words.number(p.layer_height)} mm", len(p.layer_seconds))),
            ("inside", Cell(f"{p.walls} walls, " + ("solid" if p.infill == 1 else f"{p.infill:.0%} filled"))),
            ("mass printed", Cell(UNKNOWN if found.mass is None else words.mass(found.mass), found.mass, "kg")),
            ("against the solid", _solid(part)),
            ("supports", Cell(UNKNOWN if found.support_mass is None else words.mass(found.support_mass))),
            ("filament with supports", Cell(UNKNOWN if kg is None else words.mass(kg), kg, "kg")),
            ("energy of one", Cell(UNKNOWN if found.energy is None else f"{words.number(found.energy)} kWh")),
            ("on a bed", Cell(f"{found.bed} in {duration(found.bed_seconds)}" if found.bed else "none")),
            ("time of one on a full bed", Cell(duration(per), per, "s")),
            ("cost of one", Cell(interval(found.cost.total), source="5 % to 95 % of the draws of all inputs")),
        ),
    )  # fmt: skip


def _solid(part: PartAssessment) -> Cell:
    """What the layers lay down over the volume of the geometry file."""
    assert part.printing is not None
    share = part.printing.volume / part.shape.volume
    off = f"{100 * (share - 1):+.2f} %".replace("-", words.MINUS) if part.printing.infill == 1 else f"{share:.0%}"
    return Cell(
        off, share, source="volume laid down over the solid's; of a solid print within 0.5 % (docs/validation.md)"
    )


def _items(found: PartMade) -> Table:
    rows = tuple(Row((Cell(n), Cell(f"{v:.2f}", v, "EUR"))) for n, v in found.cost.items)
    note = f"Prices are those of the cards; interval from {found.cost.draws} draws of every input over its range."
    return Table("What one costs", (Column("item"), Column("cost", "EUR", "number")), rows, note)


def tornado(found: PartMade) -> Figure:
    """The inputs that move the cost most, each from its low to its high end."""
    swings = [s for s in found.cost.swings if s.low != s.high][:8]
    assert found.cost.total is not None
    ends = [v for s in swings for v in (s.low, s.high)] or [found.cost.total.value]
    low, high = min(ends), max(ends)
    room = 0.1 * (high - low) or 1.0
    ticks = tuple((float(len(swings) - k), s.name[:36]) for k, s in enumerate(swings)) or ((1.0, "no range"),)
    made = plot(
        Axis("cost of one, EUR", low - room, high + room), Axis("", 0.4, len(swings) + 0.6 or 1.6, ticks=ticks),
        height=40.0 * max(2, len(swings)),
    )  # fmt: skip
    for k, s in enumerate(swings):
        y = float(len(swings) - k)
        made.box(min(s.low, s.high), max(s.low, s.high), y - 0.3, y + 0.3)
    made.level(found.cost.total.value, "as stated", across=False)
    text = "; ".join(f"{s.name} {s.low:.2f} to {s.high:.2f} EUR ({s.confidence})" for s in swings)
    caption = f"What the cost hangs on: each input alone from its low to its high end. {text}."
    return Figure(made.text(), caption, caption)


def _processes(found: PartMade) -> Table:
    rows = tuple(
        Row(
            (
                Cell(c.title), Cell(c.material), Cell(UNKNOWN if c.mass is None else words.mass(c.mass), c.mass, "kg"),
                Cell(interval(c.piece)), Cell(interval(c.tooling)), Cell(duration(c.lead_time)),
                Cell(str(c.minimum_order)), Cell(_from(c, found)),
                Cell("never" if c.overtakes is None else duration(c.overtakes)),
                Cell(f"{money(c.change)}, {duration(c.change_delay)}"), Cell(c.source),
            )
        )
        for c in found.courses
    )  # fmt: skip
    heads = ("process", "material", "mass", "a piece", "tooling", "to the first", "least order", "cheaper from",
             "overtakes printing after", "a late design change", "source")  # fmt: skip
    note = (
        "Cheaper from: pieces from which it costs less than printing, tooling paid again at stated design changes. "
        "Overtakes: when it has delivered as many as the printers. The same solid is taken; a part drawn for the "
        "process would be another. Strength in these materials is not judged here."
    )
    return Table("The same part by other processes", tuple(Column(h) for h in heads), rows, note, stacked=True)


def _from(course: Course, found: PartMade) -> str:
    if course.piece is None or found.cost.total is None:
        return UNKNOWN
    return "never" if course.break_even is None else f"{math.ceil(course.break_even - 1e-9)} pieces"


def break_even(found: PartMade, known: list[Course]) -> Figure:
    """Cost of a piece with its share of the tooling against the number made."""
    assert found.cost.total is not None
    numbers = np.logspace(0, 5, 80)
    lines = [(c.title, c.piece.value + c.tooling.value / numbers) for c in known if c.piece and c.tooling]
    values = np.concatenate([y for _, y in lines] + [np.array([found.cost.total.low, found.cost.total.high])])
    low = 10 ** np.floor(np.log10(max(float(values.min()), 1e-2)))
    high = 10 ** np.ceil(np.log10(float(values.max())))
    made = plot(Axis("pieces made", 1, 1e5, log=True), Axis("EUR each", float(low), float(high), log=True))
    made.band([1, 1e5], [found.cost.total.low] * 2, [found.cost.total.high] * 2)
    made.level(found.cost.total.value)
    key, ends = [("P", "printed")], [(found.cost.total.value, "P")]
    for k, (title, y) in enumerate(lines):
        made.line(numbers, y, STYLES[k % len(STYLES)])  # type: ignore[arg-type]
        ends.append((float(y[-1]), chr(65 + k)))
        key.append((chr(65 + k), title))
    made.ends(ends)
    said = "; ".join(c.words for c in known)
    caption = f"Cost of a piece with its share of the tooling; band: interval of the printed piece. {said}."
    return Figure(made.text(), caption, caption, tuple(key))


def calendar(found: PartMade, known: list[Course]) -> Figure:
    """Pieces delivered against time: printing from the first day, other processes after their lead time."""
    leads = [c.lead_time for c in known if c.lead_time is not None]
    last = 1.6 * max(leads, default=WEEK)
    times = np.linspace(0, last, 200)
    printed = np.floor(times / (found.every or np.inf))
    courses = [c for c in known if c.lead_time is not None and c.every]
    lines = [(c.title, delivered(times, c.lead_time or 0.0, c.every or 1.0)) for c in courses]
    top = max([float(printed.max()), 10.0] + [float(min(y.max(), 4 * printed.max())) for _, y in lines])
    made = plot(Axis("weeks from the order", 0, last / WEEK), Axis("pieces delivered", 0, 1.05 * top))
    made.line(times / WEEK, np.minimum(printed, top))
    key, ends = [("P", "printed")], [(float(printed[-1]), "P")]
    for k, (title, y) in enumerate(lines):
        inside = y <= top
        made.line(times[inside] / WEEK, y[inside], STYLES[(k + 1) % len(STYLES)])  # type: ignore[arg-type]
        if inside.all():
            ends.append((float(y[-1]), chr(65 + k)))
        else:
            made.say(float(times[inside][-1]) / WEEK, float(y[inside][-1]), chr(65 + k), dy=-6)
        key.append((chr(65 + k), title))
    made.ends(ends)
    when = "; ".join(
        f"{c.title} {'never overtakes' if c.overtakes is None else f'overtakes after {c.overtakes / WEEK:.1f} weeks'}"
        for c in courses
    )
    caption = (
        "Pieces delivered after the order; printed from the first day on every printer that fits, at the hours a year "
        f"its card states. {when}."
    )
    return Figure(made.text(), caption, caption, tuple(key))
