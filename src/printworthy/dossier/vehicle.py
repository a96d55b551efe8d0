"""The whole dossier as a `Document`: head, summary, one section per part, limits of use, the run."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from printworthy.dossier import (
    coupons,
    guards,
    history,
    lasting,
    making_set,
    ride,
    tables,
    tallied,
    words,
    yardsticks,
)
from printworthy.dossier import part as parts
from printworthy.dossier.document import (
    Cell,
    Column,
    Decision,
    Document,
    Facts,
    Items,
    Row,
    Section,
    Table,
    Text,
)
from printworthy.errors import InputError
from printworthy.inputs import Job, Part
from printworthy.records.entries import WHOLE, Entry
from printworthy.records.tally import Tally
from printworthy.results import Assessment, PartAssessment, SurfaceField
from printworthy.verdict import next_tests
from printworthy.workspace.cache import Cache

LIMITS = (
    "Nothing here certifies a part. Local codes and licensed practice decide; where they ask for more, they hold.",
    "An answer holds for the stated loads, supports, temperatures and material; what was not stated was not asked.",
    "The strength criterion acts in layer axes and is separated by mode. It is not validated on prints at intermediate "
    "angles until a coupon set at 45 degrees says so.",
    "The solid is linear and elastic; dense, or, where a part states infill, of two zones that are each even. Voids, "
    "raster paths, warping and residual stress are in the coupons, or nowhere.",
    "Stresses are raw peak values at quadrature points. At re-entrant corners, fixed edges and facet edges they grow "
    "with refinement; they are not limit values.",
    "Life under repeated load is computed where every case has a duty and the polymer was tired that way, and nowhere "
    "else. Creep of the shape, ageing, crash and fire are not computed here; where a screen asks for them, "
    "the reasons say what evidence is missing.",
    "A coupon speaks for the printer, settings, batch and moisture it was made with, and for no other.",
    "Colours repeat what the words say. Where picture and table differ, the table holds: the picture carries values at "
    "the corners of the skin, the table the largest at any quadrature point.",
)


def document(
    assessment: Assessment, fields: Mapping[str, SurfaceField], job: Job, ids: Mapping[str, str] | None = None,
    cache: Cache | None = None, tally: Tally | None = None,
) -> Document:  # fmt: skip
    """Everything the dossier says. `ids`: of the record of each part's assessment, where it was recorded.
    `cache`: where pictures are kept. `tally`: what was measured, against what was predicted.

    Raises InputError where the assessment names a part that the job does not have.
    """
    sections = [_summary(assessment, job)]
    for number, part in enumerate(assessment.parts, 1):
        bodies = assessment.ride.bodies.get(part.part, ()) if assessment.ride else ()
        stated, field = _stated(part, job), fields.get(part.part)
        sections.append(parts.section(part, stated, field, job, f"part-{number}", bodies, assessment.making, cache))
    if assessment.ride is not None:
        sections.insert(1, ride.vehicle_section(assessment.ride, job, assessment.invented))
    made = making_set.vehicle_section(assessment.making, assessment.invented)
    sections += [made] if made is not None else []
    broken = coupons.section(job, assessment.invented)
    sections += [broken] if broken is not None else []
    held = tallied.section(tally, assessment.invented) if tally is not None else None
    sections += [held] if held is not None else []
    sections += [rules_section(job, assessment.invented), guards.section(), _limits(), _run(assessment, ids or {})]
    return Document(
        title=assessment.title,
        lead=_lead(assessment),
        facts=Facts(
            "The machine",
            (
                ("vehicle", Cell(assessment.vehicle)),
                ("service temperature", Cell(f"{words.number(job.vehicle.service_low)} to "
                                             f"{words.number(job.vehicle.service_high)} °C")),
                ("note", Cell(job.vehicle.note or "none")),
                ("computed", Cell(words.moment(assessment.when))),
            ),
        ),
        sections=tuple(sections),
        invented=assessment.invented,
        foot=f"printworthy {assessment.version}, {words.moment(assessment.when)}",
    )  # fmt: skip


def short(assessment: Assessment, job: Job, ids: Mapping[str, str], tally: Tally | None = None) -> Document:
    """The vehicle with the word, the reasons and the conditions of each part; its details are in the parts' own."""
    whole = document(assessment, {}, job, ids, tally=tally)
    names = {f"part-{n}" for n, _ in enumerate(assessment.parts, 1)}

    def cut(s: Section) -> Section:
        kept = tuple(b for b in s.blocks if isinstance(b, Decision | Facts))
        return replace(s, blocks=kept, sections=(), new_page=False)

    return replace(whole, sections=tuple(cut(s) if s.anchor in names else s for s in whole.sections))


def of_part(
    assessment: Assessment, name: str, fields: Mapping[str, SurfaceField], job: Job, entries: Sequence[Entry]
) -> Document:
    """One part alone: all about it, what was recorded of it, limits of use, the run. `entries`: every record of it.

    Raises InputError where the assessment has no such part.
    """
    found = next((p for p in assessment.parts if p.part == name), None)
    if found is None:
        raise InputError(f"part '{name}' was not computed", where=str(job.root), do="The vehicle's dossier says why")
    mine = [e for e in entries if e.part == name]
    newest = next((e.id for e in reversed(mine) if e.kind == "assessment"), "")
    ids = {name: newest} if newest else {}
    bodies = assessment.ride.bodies.get(name, ()) if assessment.ride else ()
    about = parts.section(found, _stated(found, job), fields.get(name), job, "part-1", bodies, assessment.making)
    first = Section("answer", "The answer", about.blocks, invented=found.invented)
    whole = document(replace(assessment, parts=(found,), refusals=(), ride=None, making=None), {}, job, ids)
    return replace(
        whole,
        title=f"{found.title}, {assessment.title}",
        lead=f"{found.part}: {found.verdict.word}.",
        sections=(
            first, *about.sections, *history.sections(mine, newest), guards.section(), _limits(),
            _run(replace(assessment, parts=(found,)), ids),
        ),
        invented=assessment.invented or found.invented,
    )  # fmt: skip


def _stated(part: PartAssessment, job: Job) -> Part:
    for stated in job.parts:
        if stated.name == part.part:
            return stated
    what = f"the assessment has a part '{part.part}' that the workspace does not have"
    raise InputError(what, where=str(job.root), do="Assess again from this workspace")


def _lead(assessment: Assessment) -> str:
    words_found = Counter([p.verdict.word for p in assessment.parts] + [r.word for r in assessment.refusals])
    total = len(assessment.parts) + len(assessment.refusals)
    counted = "; ".join(f"{word}: {n}" for word, n in words_found.items())
    return f"{words.count(total, 'part', 'parts')}. {counted}." if total else "No parts."


def _summary(assessment: Assessment, job: Job) -> Section:
    rows = []
    for number, part in enumerate(assessment.parts, 1):
        governing = part.option.result.governing
        metal = min(part.metals, key=lambda m: m.mass) if part.metals else None
        rows.append(
            Row(
                (
                    Cell(part.title),
                    Cell(part.verdict.word, word=part.verdict.word),
                    tables.use(governing.utilisation),
                    Cell(governing.mode),
                    Cell(governing.case),
                    Cell(tables.turned(part.verdict.direction)),
                    Cell(part.verdict.material),
                    lasting.short(part.option.life),
                    Cell(words.number(part.option.mass * 1000), part.option.mass * 1000, "g"),
                    Cell(f"{metal.material}: {words.number(metal.mass * 1000)} g", metal.mass * 1000, "g")
                    if metal
                    else Cell("none compared"),
                ),
                link=f"part-{number}",
            )
        )
    columns = (
        Column("part"), Column("word", "", "word"), Column("utilisation", "", "bar"), Column("governing mode"),
        Column("governing case"), Column("build direction"), Column("material"), Column("life"),
        Column("mass", "g", "number"), Column("lightest metal"),
    )  # fmt: skip
    blocks: list[Table | Items | Text] = []
    if rows:
        blocks.append(
            Table("Parts and their words", columns, tuple(rows), stacked=True, note="Utilisation 1 is the limit (bold "
                  "stroke in each bar), factor on load included, rounded up. Life in ride, reached by the "
                  "share of pieces of the rule; see the part.")
        )  # fmt: skip
    outside = ride.loose(job, {p.part: p.title for p in assessment.parts})
    blocks += [outside] if outside is not None else []
    blocks += [asked] if (asked := _next_tests(assessment, job)) is not None else []
    held = yardsticks.summary(assessment.parts)
    blocks += [held] if held is not None else []
    if assessment.refusals:
        refused = tuple(
            Row((Cell(r.title), Cell(r.word, word=r.word), Cell(r.role), Cell(r.line))) for r in assessment.refusals
        )
        heads = (Column("part"), Column("word", "", "word"), Column("role"), Column("why"))
        blocks.append(Table("Parts that were not computed", heads, refused, stacked=True))
    return Section("summary", "Summary", tuple(blocks), invented=assessment.invented)


def _next_tests(assessment: Assessment, job: Job) -> Table | None:
    """Which coupons to break next; None where none would take a part further."""
    found = next_tests(assessment.parts, {p.name: p for p in job.parts}, job.rules)
    rows = tuple(
        Row((Cell(n.title), Cell(n.word, word=n.word), tables.use(n.used), Cell("; ".join(n.strengths)),
             Cell("; ".join(n.words))), chosen=n.settles and i == 0)
        for i, n in enumerate(found)
    )  # fmt: skip
    columns = (
        Column("part"), Column("word", "", "word"), Column("utilisation", "", "bar"), Column("governed by"),
        Column("break next"),
    )  # fmt: skip
    note = (
        "Parts that coupons alone would settle come first, the most utilised of them on top; then those that more "
        "coupons take further. Parts that are refused are not in it: no coupon helps them."
    )
    return Table("Which coupons to break next", columns, rows, note=note, stacked=True) if rows else None


def rules_section(job: Job, invented: bool) -> Section:
    """Evidence asked for by consequence, values of the rule with their sources."""
    rows = tuple(
        Row((Cell(words.plain(name)), Cell(words.number(q.value, 4), q.value, q.unit, q.source),
             Cell(words.unit(q.unit)), Cell(q.source),
             Cell(q.confidence)))
        for name, q in {**job.rules.values, **job.rules.inspection_factors}.items()
    )  # fmt: skip
    columns = (Column("value"), Column("figure", "", "number"), Column("unit"), Column("source"), Column("standing"))
    evidence = tuple(f"{consequence}: {need}" for consequence, need in job.rules.evidence.items())
    return Section(
        "rules",
        "The rule behind the words",
        (
            Items("Evidence asked for, by what happens if the part fails", evidence),
            Table("Values of the rule", columns, rows, stacked=True),
        ),
        invented=invented,
        new_page=True,
    )


def _limits() -> Section:
    return Section("limits", "Limits of use", (Items("", LIMITS),))


def _run(assessment: Assessment, ids: Mapping[str, str]) -> Section:
    libraries = tuple(Row((Cell(name), Cell(version))) for name, version in assessment.libraries.items())
    keys = tuple(
        Row(
            (
                Cell(p.part),
                Cell(p.key),
                Cell(ids.get(p.part, "not recorded")),
                Cell(words.number(p.seconds), p.seconds, "s"),
            )
        )
        for p in assessment.parts
    )
    return Section(
        "run",
        "The run",
        (
            Facts("Made by", (("program", Cell(f"printworthy {assessment.version}")),
                              ("time", Cell(words.moment(assessment.when))),
                              *((("record of the vehicle", Cell(ids[WHOLE])),) if WHOLE in ids else ()))),
            Table("Parts, the hash of their inputs, time taken",
                  (Column("part"), Column("hash of inputs"), Column("record"), Column("time", "s", "number")), keys,
                  stacked=True),
            Table("Libraries", (Column("library"), Column("version")), libraries),
        ),
    )  # fmt: skip
