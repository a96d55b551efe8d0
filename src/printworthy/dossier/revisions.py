"""Two recorded assessments side by side: what differs, what went into each."""

from __future__ import annotations

from collections.abc import Iterator

from printworthy.dossier import tables, words
from printworthy.dossier.document import Cell, Column, Document, Facts, Items, Row, Section, Table, Text
from printworthy.records.entries import Entry
from printworthy.results import PartAssessment, Refusal

Outcome = PartAssessment | Refusal
Pair = tuple[str, str, str]


def compared(before: Entry, after: Entry, old: Outcome, new: Outcome) -> Document:
    """The comparison as a document; `old` and `new` are the results the two records hold."""
    rows = tuple(Row((Cell(name), Cell(a), Cell(b)), chosen=a != b) for name, a, b in _figures(old, new))
    columns = (Column("figure"), Column(f"record {before.id}"), Column(f"record {after.id}"))
    note = "Marked rows differ."
    title = new.title if old.part == new.part else f"{old.title} and {new.title}"
    return Document(
        title=f"{title}: two revisions",
        lead=f"{_word(old)} / {_word(new)}",
        facts=Facts(
            "Records",
            tuple((name, Cell(f"{e.part}, {words.moment(e.at)}, by {e.who}, program {e.body.get('version')}"))
                  for name, e in ((before.id, before), (after.id, after))),
        ),
        sections=(
            Section("figures", "Figures", (Table("Side by side", columns, rows, note=note, stacked=True),)),
            Section("reasons", "Reasons and conditions", tuple(_told(old, new))),
            Section("inputs", "Inputs that differ", (_inputs(before, after),)),
        ),
        invented=any(isinstance(o, PartAssessment) and o.invented for o in (old, new)),
        foot=f"records {before.id} and {after.id}",
    )  # fmt: skip


def _word(outcome: Outcome) -> str:
    return outcome.word if isinstance(outcome, Refusal) else outcome.verdict.word


def _figures(old: Outcome, new: Outcome) -> Iterator[Pair]:
    a, b = dict(_of(old)), dict(_of(new))
    for name in dict.fromkeys((*a, *b)):
        yield name, a.get(name, "not there"), b.get(name, "not there")


def _of(outcome: Outcome) -> Iterator[tuple[str, str]]:
    yield "word", _word(outcome)
    yield "role", outcome.role
    if isinstance(outcome, Refusal):
        yield "why", outcome.line
        return
    option = outcome.option
    worst = option.result.governing
    yield "material", option.result.material
    yield "build direction", tables.turned(option.result.direction)
    yield "utilisation", words.utilisation(worst.utilisation)
    yield "governing", f"{worst.mode}; {worst.case}"
    yield "factor on load", words.number(option.result.factor, 4)
    yield "mass", words.mass(option.mass)
    if option.bracket is not None:
        high = "no upper end" if option.bracket.high is None else words.utilisation(option.bracket.high)
        yield "converged utilisation", f"{words.utilisation(option.bracket.low)} to {high}"
    if option.life is not None and option.life.low is not None:
        yield "life, low limit", f"{words.number(option.life.low)} {option.life.per}"
    yield "largest movement", f"{words.number(max(c.max_displacement for c in option.result.cases))} mm"
    for value in option.design.strengths:
        yield f"design value, {value.name}", f"{words.number(value.value)} MPa ({value.basis})"
    for case in option.result.cases:
        yield f"utilisation, {case.case}", words.utilisation(case.utilisation)
    for proof in outcome.care.proofs if outcome.care else ():
        level = "none" if proof.level is None else f"{words.number(proof.level)} times the stated loads"
        yield f"proof load, {proof.case}", level
    yield "geometry, SHA-256", outcome.shape.sha256


def _told(old: Outcome, new: Outcome) -> Iterator[Items | Text]:
    a, b = _sentences(old), _sentences(new)
    gone, come = [s for s in a if s not in b], [s for s in b if s not in a]
    if gone:
        yield Items("Only in the first", tuple(gone))
    if come:
        yield Items("Only in the second", tuple(come))
    if not gone and not come:
        yield Text("Both give the same reasons and conditions.")


def _sentences(outcome: Outcome) -> list[str]:
    if isinstance(outcome, Refusal):
        return [outcome.line]
    return [*(f"{r.screen}: {r.words} ({r.effect})" for r in outcome.verdict.reasons), *outcome.verdict.conditions]


def _inputs(before: Entry, after: Entry) -> Table | Text:
    a, b = ({i.name: i.content for i in e.inputs} for e in (before, after))
    rows = tuple(
        Row((Cell(name), Cell(a.get(name, "not there")[:16]), Cell(b.get(name, "not there")[:16])))
        for name in dict.fromkeys((*a, *b))
        if a.get(name) != b.get(name)
    )
    if not rows:
        return Text("The same was read from every input.")
    columns = (Column("input"), Column(f"hash in {before.id}"), Column(f"hash in {after.id}"))
    return Table("Inputs of which something else was read", columns, rows, note="First 16 digits of SHA-256.")
