"""The dossier: one self-contained HTML file and one JSON file per run, PDF on demand, all from one document model."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from printworthy.dossier import drawn, page, record, tallied, vehicle
from printworthy.dossier.coupons import write_coupons
from printworthy.dossier.document import Cell, Document, Facts
from printworthy.dossier.page import environment, style
from printworthy.dossier.plan import write_plan
from printworthy.inputs import Job
from printworthy.records.entries import Entry
from printworthy.records.tally import Tally
from printworthy.results import Assessment, PartAssessment, Refusal, SurfaceField
from printworthy.workspace.cache import Cache
from printworthy.workspace.files import write_whole

__all__ = ["draw", "environment", "style", "write", "write_coupons", "write_pdf", "write_plan", "write_tally"]


def draw(job: Job, cache: Cache, answer: tuple[PartAssessment | Refusal, SurfaceField | None]) -> None:
    """Draw the pictures of a part that is finished and keep them for `write`, while others are still computed."""
    part, field = answer
    if isinstance(part, PartAssessment) and field is not None:
        stated = next(p for p in job.parts if p.name == part.part)
        drawn.pictures(part, stated, field, job.cards[part.option.result.material], cache)
        if part.search is not None:
            drawn.disc(part, part.search, cache)


def write(
    assessment: Assessment, fields: Mapping[str, SurfaceField], job: Job, folder: Path,
    ids: Mapping[str, str] | None = None, cache: Cache | None = None, tally: Tally | None = None,
) -> Path:  # fmt: skip
    """Write `VEHICLE-dossier.html` and `VEHICLE-dossier.json` into `folder`; returns the path of the HTML file.

    `fields` holds the skin of each part by part name; a part without one gets a sentence instead of pictures. `ids`:
    of the record of each part's assessment. `cache`: where pictures are kept from one run to the next. `tally`:
    measured against predicted. Both files are written aside and then renamed, so a reader never meets half a file.

    Raises InputError where assessment and job do not belong together, OSError where the folder cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    stem = f"{_plain(assessment.vehicle)}-dossier"
    html = folder / f"{stem}.html"
    text = page.lay_out(vehicle.document(assessment, fields, job, ids, cache, tally), f"{stem}.json")
    write_whole(folder / f"{stem}.json", record.dump(assessment, job).encode())
    write_whole(html, text.encode())
    return html


def write_pdf(
    assessment: Assessment, fields: Mapping[str, SurfaceField], job: Job, folder: Path, entries: Sequence[Entry],
    tell: Callable[[str], None], only: Sequence[str] = (), tally: Tally | None = None,
) -> list[Path]:  # fmt: skip
    """Write one PDF per part (or of those named), and one of the vehicle; their paths. `tell` hears which is written.

    Raises InputError and OSError as `write`, NotComputed where a PDF cannot be set.
    """
    from printworthy.dossier.pdf import pdf  # here: only this verb needs a typesetter

    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for found in (p for p in assessment.parts if not only or p.part in only):
        tell(found.part)
        text = record.dump(replace(assessment, parts=(found,), refusals=(), ride=None, making=None), job)
        made = pdf(vehicle.of_part(assessment, found.part, fields, job, entries), text, assessment.when)
        written.append(folder / f"{_plain(found.part)}.pdf")
        write_whole(written[-1], made)
    if not only:
        tell(assessment.vehicle)
        ids = {e.part: e.id for e in entries if e.kind in ("assessment", "vehicle")}
        made = pdf(vehicle.short(assessment, job, ids, tally), record.dump(assessment, job), assessment.when)
        written.append(folder / f"{_plain(assessment.vehicle)}-dossier.pdf")
        write_whole(written[-1], made)
    return written


def write_tally(found: Tally, job: Job, path: Path) -> None:
    """Write what was measured against what was predicted as one page. Raises OSError where it cannot be written."""
    section = tallied.section(found, job.vehicle.invented)
    facts = Facts(
        "Measured", (("readings", Cell(str(len(found.pairs)))), ("not compared", Cell(str(len(found.unpaired)))))
    )
    lead = "What was weighed, proof-tested and ridden, against what was predicted."
    sections = () if section is None else (section,)
    document = Document(job.vehicle.title, lead, facts, sections, job.vehicle.invented, "printworthy")
    write_whole(path, page.lay_out(document, "the records").encode())


def _plain(name: str) -> str:
    """A file name made of letters, digits, dash and underscore only: the name may come from a person."""
    return "".join(c if c.isascii() and (c.isalnum() or c in "-_") else "-" for c in name).strip("-") or "vehicle"
