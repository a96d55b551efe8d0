"""Predicted against measured: charts of pieces about the line where they agree, their ratios, what follows of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from scipy.special import stdtrit

from printworthy.dossier import words
from printworthy.dossier.document import Block, Cell, Column, Figure, Items, Row, Section, Table
from printworthy.dossier.plot import Axis, Shape, log_ticks, plot
from printworthy.dossier.tables import figure
from printworthy.evidence.agreement import CONFIDENCE, Agreement
from printworthy.records.pairs import Measure, Pair
from printworthy.records.tally import Group, Proposal, Tally, by_piece

NAMES: dict[Measure, str] = {"mass": "mass", "deflection": "movement in the proof test", "life": "life in ride"}
SHAPES: tuple[Shape, ...] = ("disc", "ring", "square")  # by part; a triangle: the piece went on
TELLING = 0.1  # share of the predicted life below which a piece that goes on says nothing yet
WIDE = 4.0  # largest over smallest value beyond which axes run by powers of ten


def section(found: Tally, invented: bool) -> Section | None:
    """Predicted against measured over all records; None where nothing was measured."""
    if not found.pairs and not found.unpaired:
        return None
    kinds = sorted({(p.measure, p.unit) for p in found.pairs}, key=lambda k: (list(NAMES).index(k[0]), k[1]))
    blocks: list[Block] = [Items("What the pieces say", tuple(sentences(found)))] if found.groups else []
    if found.groups:
        blocks.append(ratios(found.groups))
    for measure in NAMES:
        if ended := [g for g in found.groups if g.measure == measure and g.found.n > g.found.open_]:
            blocks.append(ratio_chart(ended))
    blocks += [chart(m, [p for p in found.pairs if (p.measure, p.unit) == (m, u)]) for m, u in kinds]
    if found.pairs:
        blocks.append(pieces(found.pairs))
    blocks += [Items("Not compared, and why", apart)] if (apart := tuple(u.said for u in found.unpaired)) else []
    blocks += [proposed(found.proposals)] if found.proposals else []
    blocks += [decided(found)] if found.decided else []
    return Section("tally", "Predicted against measured", tuple(blocks), invented=invented, new_page=True)


def sentences(found: Tally) -> Iterator[str]:
    """What the groups that stand for a material say, a line each where it contradicts the prediction or does not tell;
    then why no card is proposed."""
    wholes = [g for g in found.groups if g.whole]
    yield from (says(g) for g in wholes if not _stands(g.found))
    if count := sum(_stands(g.found) for g in wholes):
        told = words.count(count, "prediction is", "predictions are")
        yield f"{told} not contradicted: the interval holds 1."
    yield from (words.sentence(line) for line in found.remarks)


def _stands(a: Agreement) -> bool:
    return not a.off and (a.low is not None or a.high is not None)


def says(group: Group) -> str:
    """One group in a sentence."""
    a, about = group.found, f"{group.part or 'all parts'} in {group.material}"
    head = f"{NAMES[group.measure]}, {about}: {words.count(group.pieces, 'piece', 'pieces')}"
    earlier = "" if group.present else " (made to an earlier card)"
    if a.open_ == a.n:
        most = max(p.ratio for p in group.pairs)
        return words.sentence(
            f"{head}{earlier}, none damaged so far, at most {words.number(most)} of the prediction ridden"
        )
    if a.low is None and a.high is None:
        ends = sorted(p.measured / end for p in group.pairs for end in (p.low, p.high))
        span = f"{words.number(ends[0])} to {words.number(ends[-1])} over the range of the prediction"
        return words.sentence(f"{head}{earlier}, measured over predicted {words.number(a.mean)}, {span}; {a.method}")
    verdict = "the prediction is off" if a.off else "nothing speaks against the prediction"
    return words.sentence(
        f"{head}{earlier}, measured over predicted {words.number(a.mean, 4)} (95 %: {interval(a)}), scatter "
        f"{words.number(100 * a.scatter, 2)} %: {verdict}"
    )


def interval(a: Agreement) -> str:
    """The interval of the mean in words."""
    if a.low is None and a.high is None:
        return "none"
    low, high = (None if e is None else words.number(e, 4) for e in (a.low, a.high))
    return f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"


def ratios(groups: Sequence[Group]) -> Table:
    """Every group with its mean ratio, scatter and interval."""
    rows = []
    for g in groups:
        a = g.found
        finding = "not told" if a.low is None and a.high is None else "off" if a.off else "not contradicted"
        ended = a.n > a.open_
        card = "as now" if g.present else "earlier"
        rows.append(Row((
            Cell(NAMES[g.measure]), Cell(f"{g.part or 'all parts'}, {g.material}"), Cell(card),
            Cell(str(g.pieces), float(g.pieces)), figure(a.mean, digits=4) if ended else Cell("none ended"),
            Cell("none" if a.n - a.open_ < 2 else words.number(100 * a.scatter, 2), 100 * a.scatter, "%"),
            Cell(interval(a)), Cell(finding), Cell(a.method),
        ), chosen=a.off))  # fmt: skip
    columns = (
        Column("measured"), Column("of"), Column("card"), Column("pieces", "", "number"),
        Column("mean", "measured / predicted", "number"), Column("scatter", "%", "number"),
        Column("mean lies in", "95 %"), Column("prediction"), Column("interval by"),
    )  # fmt: skip
    note = (
        "Ratios are taken as log-normal: mean geometric, scatter of their logarithm, several readings on one piece "
        "counted as one. Off (marked): the interval leaves 1 out. A piece belongs to the assessment that stood when it "
        "was first written down."
    )
    return Table("Measured over predicted", columns, tuple(rows), note=note, stacked=True)


def ratio_chart(groups: Sequence[Group]) -> Figure:
    """Mean ratios of one measure with their intervals about 1, one line for each group."""
    ends = [e for g in groups for e in (g.found.low, g.found.high, g.found.mean) if e is not None]
    low, high = min(0.95, *ends), max(1.05, *ends)
    pad = 0.06 * (high - low)
    count = len(groups)
    names = tuple((float(count - i), chr(ord("A") + i % 26) + (str(i // 26) if i > 25 else "")) for i in range(count))
    frame = plot(
        Axis("measured / predicted", max(low - pad, 0.0), high + pad), Axis("", 0.3, count + 0.7, ticks=names),
        height=50.0 + 34.0 * count,
    )  # fmt: skip
    frame.level(1.0, "as predicted", across=False)
    key = []
    for (y, letter), g in zip(names, groups, strict=True):
        a = g.found
        left, right = (frame.x.low if a.low is None else a.low), (frame.x.high if a.high is None else a.high)
        if a.low is not None or a.high is not None:
            frame.line([left, right], [y, y])
            for end in (e for e in (a.low, a.high) if e is not None):
                frame.line([end, end], [y - 0.2, y + 0.2])
        frame.points([a.mean], [y], "disc" if g.whole else "ring")
        key.append((letter, f"{g.part or 'all parts'} in {g.material}, {words.count(g.pieces, 'piece', 'pieces')}"))
    caption = (
        f"{NAMES[groups[0].measure].capitalize()}: mean ratio of measured to predicted, with its 95 % interval where "
        "there is one; a bar that leaves the bold line out: the prediction is off. Discs stand for their material, "
        "rings for one part among several."
    )
    return Figure(frame.text(), f"{caption} {' '.join(f'{a}: {b}.' for a, b in key)}", caption, tuple(key))


def chart(measure: Measure, found: Sequence[Pair]) -> Figure:
    """Pieces of one measure about the line where measured equals predicted, with the band most pieces lie in."""
    count = len(found)
    early = [p for p in found if p.went_on and p.ratio < TELLING]
    found = [p for p in found if p not in early] or list(found)
    unit = found[0].unit
    every = [v for p in found for v in (p.predicted, p.measured)]
    log = max(every) / min(every) > WIDE
    low, high = (min(every) / 1.3, max(every) * 1.3) if log else (0.93 * min(every), 1.05 * max(every))
    ticks = log_ticks(low, high) if log else ()
    frame = plot(
        Axis(f"predicted {NAMES[measure]}, {unit}", low, high, log, ticks),
        Axis(f"measured {NAMES[measure]}, {unit}", low, high, log, ticks), height=440.0,
    )  # fmt: skip
    ends = np.geomspace(low, high, 2)
    ratio, went_on = by_piece(found)
    band = _band([r for r, on in zip(ratio, went_on, strict=True) if not on])
    said = "Too few pieces for a band."
    if band is not None:
        frame.band(ends, np.clip(ends * band[0], low, high), np.clip(ends * band[1], low, high))
        said = f"Band: {words.number(band[0])} to {words.number(band[1])} of the prediction, where 95 % of pieces lie."
    frame.line(ends, ends)
    key, parts = [], dict.fromkeys(p.part for p in found)
    for number, part in enumerate(parts):
        mine = [p for p in found if p.part == part]
        letter = chr(ord("A") + number % 26)
        for p in mine:
            frame.points([p.predicted], [p.measured], "triangle" if p.went_on else SHAPES[number % len(SHAPES)])
            frame.keep(*frame.at(p.predicted, p.measured))
        key.append((letter, f"{part}, {words.count(len({p.piece for p in mine}), 'piece', 'pieces')}"))
    for (letter, _), part in zip(key, parts, strict=True):
        first = next(p for p in found if p.part == part)
        frame.name(first.predicted, first.measured, letter)
    went = " Triangles: pieces without damage so far, their life is longer." if any(went_on) else ""
    went += (
        f" Not drawn: {count - len(found)} that went on and had not reached a tenth of it."
        if len(found) < count
        else ""
    )
    caption = f"Predicted and measured {NAMES[measure]}. On the line they are the same. {said}{went}"
    return Figure(frame.text(), f"{caption} {' '.join(f'{a}: {b}.' for a, b in key)}", caption, tuple(key))


def _band(known: Sequence[float]) -> tuple[float, float] | None:
    """Where the ratio of one more piece lies with 95 %, log-normal; None for fewer than three."""
    if len(known) < 3:
        return None
    logs = np.log(np.asarray(known))
    half = float(stdtrit(len(logs) - 1, (1 + CONFIDENCE) / 2)) * float(logs.std(ddof=1)) * math.sqrt(1 + 1 / len(logs))
    middle = float(logs.mean())
    return math.exp(middle - half), math.exp(middle + half)


def pieces(found: Sequence[Pair]) -> Table:
    """Every measurement beside its prediction."""
    rows = tuple(
        Row((
            Cell(f"{p.part}/{p.piece}"), Cell(f"{NAMES[p.measure]}, {p.unit}"), Cell(p.words),
            Cell(_short(p.predicted), p.predicted, p.unit), Cell(f"{_short(p.low)} to {_short(p.high)}"),
            Cell(("at least " if p.went_on else "") + _short(p.measured), p.measured, p.unit),
            figure(p.ratio), Cell(", ".join(e.id for e in p.entries)), Cell(p.assessment.id),
        ))
        for p in sorted(found, key=lambda p: (list(NAMES).index(p.measure), p.part, p.piece))
    )  # fmt: skip
    columns = (
        Column("piece"), Column("measured"), Column("how"), Column("predicted", "", "number"),
        Column("the card leaves"), Column("measured", "", "number"), Column("ratio", "", "number"), Column("records"),
        Column("made to"),
    )  # fmt: skip
    note = "Life: predicted is what half of the pieces reach at most, the card leaves: from the low limit to it."
    return Table("Pieces", columns, rows, note=note, stacked=True)


def _short(value: float) -> str:
    """Four digits of a figure that may be a life of a million hours."""
    return words.number(float(f"{value:.4g}"), 4)


def proposed(proposals: Sequence[Proposal]) -> Table:
    """Cards that measured pieces ask for and nobody has decided on."""
    rows = tuple(
        Row((Cell(p.id), Cell(p.material), Cell("; ".join(changes(p))), Cell(str(p.pieces), float(p.pieces)),
             Cell(f"{words.number(p.low, 4)} to {words.number(p.high, 4)}")))
        for p in proposals
    )  # fmt: skip
    columns = (Column("proposal"), Column("card"), Column("values"), Column("pieces", "", "number"),
               Column("factor", "95 %"))  # fmt: skip
    note = "Nothing changes until a person accepts one: printworthy tally --accept or --refuse."
    return Table("Cards proposed", columns, rows, note=note, stacked=True)


def changes(p: Proposal) -> Iterator[str]:
    """Every value of a proposed card, old and new."""
    for name, new in p.values.items():
        old = p.old[name].value
        yield f"{words.plain(name)} {words.number(old, 4)} to {words.number(new.value, 4)} {words.unit(new.unit)}"


def decided(found: Tally) -> Table:
    """What people decided about proposed cards."""
    rows = tuple(
        Row((Cell(e.id), Cell(words.moment(e.at)), Cell(e.who), Cell(str(e.body["decision"])),
             Cell(f"{e.body['measure']}, {e.body['material']}"), Cell(words.number(float(e.body["factor"]), 4)),
             Cell(str(e.body.get("file", "")) or "none"), Cell(str(e.body["note"]) or "none")))
        for e in found.decided
    )  # fmt: skip
    columns = (
        Column("record"), Column("when"), Column("by"), Column("decision"), Column("card"), Column("factor"),
        Column("file written"), Column("note"),
    )  # fmt: skip
    return Table("Decisions on proposed cards", columns, rows, stacked=True)
