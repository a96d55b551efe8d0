"""Assessments written down: of each part what was found, and the hash of everything it was found from."""

from __future__ import annotations

import getpass
import hashlib
from pathlib import Path
from typing import Any

from printworthy.answers import OUTCOME, depends_on, part_key
from printworthy.errors import GeometryError
from printworthy.inputs import Job, Part
from printworthy.records.entries import Draft, Entry, Input
from printworthy.records.store import opened
from printworthy.results import Assessment, PartAssessment, Refusal
from printworthy.workspace.cache import key

MISSING = "cannot be read"


def keep(done: Assessment, job: Job, who: str = "") -> dict[str, Entry]:
    """Write an assessment into the records of its workspace; the new entry of each part.

    Raises NotComputed where they cannot be written.
    """
    stated = {part.name: part for part in job.parts}
    outcomes: list[PartAssessment | Refusal] = [*done.parts, *done.refusals]
    drafts = [_draft(done, outcome, job, stated[outcome.part], who or user()) for outcome in outcomes]
    with opened(job.root, write=True) as records:
        return {entry.part: entry for entry in records.append(drafts)}


def inputs_of(job: Job, part: Part) -> tuple[Input, ...]:
    """Everything a part's verdict rests on, each with its hash: what was read from it, and its file as it stands."""
    return tuple(
        Input(name, _hash(thing), _file_hash(job.root / name)) for name, thing in depends_on(job, part).items()
    )


def user() -> str:
    """The account of this computer that writes, where nobody is named."""
    try:
        return getpass.getuser()
    except (KeyError, OSError):  # an account without a name
        return "unnamed account"


def _draft(done: Assessment, outcome: PartAssessment | Refusal, job: Job, part: Part, who: str) -> Draft:
    said: dict[str, Any] = {
        "title": outcome.title,
        "role": outcome.role,
        "version": done.version,
        "computed": done.when,
    }
    if isinstance(outcome, Refusal):
        said |= {"word": outcome.word, "line": outcome.line}
    else:
        option = outcome.option
        worst = option.result.governing
        said |= {
            "word": outcome.verdict.word, "material": outcome.verdict.material,
            "direction": list(outcome.verdict.direction), "utilisation": worst.utilisation, "mode": worst.mode,
            "case": worst.case, "mass_kg": option.mass, "invented": outcome.invented,
        }  # fmt: skip
    said["key"] = outcome.key if isinstance(outcome, PartAssessment) else _key(job, part)
    return Draft(
        "assessment", who, part.name, body=said, inputs=inputs_of(job, part),
        contents={"result": OUTCOME.dump_json(outcome)},
    )  # fmt: skip


def _key(job: Job, part: Part) -> str:
    try:
        return part_key(job, part)
    except GeometryError:
        return ""


def _hash(thing: object) -> str:
    try:
        return key(thing)
    except GeometryError:
        return MISSING


def _file_hash(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""
