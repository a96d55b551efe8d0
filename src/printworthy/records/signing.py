"""Signing the verdict on a part of a workspace, or its whole, for the command and the page alike."""

from __future__ import annotations

from printworthy.errors import TextError
from printworthy.inputs import Job
from printworthy.records import standing
from printworthy.records.entries import VEHICLE, WHOLE, Entry, Input
from printworthy.records.keeping import inputs_of, vehicle_inputs
from printworthy.records.store import FILE, opened


def sign(job: Job, part: str, who: str, words: str, read: str = "") -> Entry:
    """Sign the newest verdict of a part, or the result of the `vehicle`. `read`: id of the assessment the person has
    before them; "": the newest.

    Raises TextError for no such part, no name, no assessment, another than was read, one that decides nothing, and
    inputs that changed since; NotComputed where the records cannot be written.
    """
    kept, inputs = _asked(job, part)
    name = _name(who)
    with opened(job.root, write=True) as records:
        return standing.sign(records, kept, name, words.strip(), inputs, read)


def revoke(job: Job, part: str, who: str, reason: str) -> Entry:
    """Take the signature of a part, or of the `vehicle`, back.

    Raises TextError for no such part, no name, no signature, no reason; NotComputed where the records cannot be
    written.
    """
    kept, _ = _asked(job, part)
    name = _name(who)
    with opened(job.root, write=True) as records:
        return standing.revoke(records, kept, name, reason)


def standings(job: Job) -> dict[str, standing.Standing]:
    """Where the verdict of each part stands, its inputs compared as they are; empty where nothing is recorded yet.

    Raises NotComputed where the records cannot be read.
    """
    if not (job.root / FILE).exists():
        return {}
    with opened(job.root) as records:
        entries = records.entries("assessment", "signature", "revocation")
    return {p.name: standing.standing(p.name, entries, inputs_of(job, p)) for p in job.parts}


def _asked(job: Job, part: str) -> tuple[str, tuple[Input, ...]]:
    """The name in the records of a part or of the `vehicle`, and its inputs as they are. Raises TextError."""
    stated = next((p for p in job.parts if p.name == part), None)
    if stated is not None:
        return part, inputs_of(job, stated)
    if part == VEHICLE:
        return WHOLE, vehicle_inputs(job)
    known = ", ".join(p.name for p in job.parts)
    raise TextError(f"no part named {part}", where=str(job.root), do=f"Parts are: {known}")


def _name(who: str) -> str:
    name = " ".join(who.split())
    if not name:
        raise TextError("a signature needs the name of a person", do="Write who signs")
    return name
