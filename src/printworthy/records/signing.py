"""Signing the verdict on a part of a workspace, for the command and the page alike."""

from __future__ import annotations

from printworthy.errors import TextError
from printworthy.inputs import Job, Part
from printworthy.records import standing
from printworthy.records.entries import Entry
from printworthy.records.keeping import inputs_of
from printworthy.records.store import FILE, opened


def sign(job: Job, part: str, who: str, words: str, read: str = "") -> Entry:
    """Sign the newest verdict of a part. `read`: id of the assessment the person has before them; "": the newest.

    Raises TextError for no such part, no name, no assessment, another than was read, one that decides nothing, and
    inputs that changed since; NotComputed where the records cannot be written.
    """
    stated, name = _stated(job, part), _name(who)
    with opened(job.root, write=True) as records:
        newest = standing.standing(part, records.entries("assessment", part=part), None).assessment
        if read and newest is not None and newest.id != read:
            raise TextError(f"{part} was assessed anew meanwhile", do="Read the new answer, then sign")
        return standing.sign(records, part, name, words.strip(), inputs_of(job, stated))


def revoke(job: Job, part: str, who: str, reason: str) -> Entry:
    """Take the signature of a part back. Raises TextError for no such part, no name, no signature, no reason;
    NotComputed where the records cannot be written."""
    _stated(job, part)
    name = _name(who)
    with opened(job.root, write=True) as records:
        return standing.revoke(records, part, name, reason)


def standings(job: Job) -> dict[str, standing.Standing]:
    """Where the verdict of each part stands, its inputs compared as they are; empty where nothing is recorded yet.

    Raises NotComputed where the records cannot be read.
    """
    if not (job.root / FILE).exists():
        return {}
    with opened(job.root) as records:
        entries = records.entries("assessment", "signature", "revocation")
    return {p.name: standing.standing(p.name, entries, inputs_of(job, p)) for p in job.parts}


def _stated(job: Job, part: str) -> Part:
    found = next((p for p in job.parts if p.name == part), None)
    if found is None:
        known = ", ".join(p.name for p in job.parts)
        raise TextError(f"no part named {part}", where=str(job.root), do=f"Parts are: {known}")
    return found


def _name(who: str) -> str:
    name = " ".join(who.split())
    if not name:
        raise TextError("a signature needs the name of a person", do="Write who signs")
    return name
