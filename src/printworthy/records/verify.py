"""Whether records, inputs and kept results are what they were."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from printworthy.errors import NotComputed
from printworthy.inputs import Job
from printworthy.records.entries import WHOLE, Entry, Input
from printworthy.records.keeping import inputs_of, vehicle_inputs
from printworthy.records.standing import THE_VEHICLE, changed, standing
from printworthy.records.store import FIRST, Records, seal_of
from printworthy.workspace.cache import intact


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was found; `damage`: something is broken, not merely changed."""

    words: str
    damage: bool


def verify(records: Records, job: Job | None, cache: Path) -> Iterator[Finding]:
    """Everything that is not as it was: the database, its chain of seals, kept bytes, inputs, cache. `job` None: the
    workspace could not be read, and its inputs are not compared."""
    yield from (Finding(f"database: {row[0]}", True) for row in records.pragma("integrity_check") if row[0] != "ok")
    for table, row, parent, _ in records.pragma("foreign_key_check"):
        yield Finding(f"database: row {row} of {table} points to no row of {parent}", True)
    entries = records.entries()
    yield from _chain(entries)
    yield from _contents(records, entries)
    if job is not None:
        yield from _inputs(entries, job)
    yield from damaged_results(cache)


def _chain(entries: tuple[Entry, ...]) -> Iterator[Finding]:
    before = FIRST
    for place, entry in enumerate(entries, 1):
        if entry.number != place or seal_of(entry, before) != entry.seal:
            yield Finding(f"record {entry.number} ({entry.kind} {entry.part}): not as it was written", True)
        before = entry.seal
    for earlier, later in pairwise(entries):
        if later.at < earlier.at:
            words = f"record {later.number} is dated {later.at}, before the record it follows: the clock went back"
            yield Finding(f"{words}. The order of the records holds", False)


def _contents(records: Records, entries: tuple[Entry, ...]) -> Iterator[Finding]:
    known: set[str] = set()
    for entry in entries:
        for name, sha256 in entry.contents.items():
            if sha256 not in known:
                known.add(sha256)
                try:
                    records.content(sha256)
                except NotComputed as stop:
                    yield Finding(f"record {entry.number} ({entry.part}, {name}): {stop.what}", True)


def _inputs(entries: tuple[Entry, ...], job: Job) -> Iterator[Finding]:
    """What changed since the newest assessment of each part and of the vehicle, and what that does to a signature."""
    for part in job.parts:
        yield from _since(part.name, part.name, entries, inputs_of(job, part))
    yield from _since(WHOLE, THE_VEHICLE, entries, vehicle_inputs(job))


def _since(part: str, name: str, entries: tuple[Entry, ...], now: tuple[Input, ...]) -> Iterator[Finding]:
    found = standing(part, entries, now)
    if found.assessment is None:
        yield Finding(f"{name}: not assessed yet", False)
        return
    differs = changed(found.assessment.inputs, now)
    if differs:
        yield Finding(f"{name}: changed since it was assessed: {', '.join(differs)}", False)
    if found.state == "stale":
        yield Finding(f"{name}: {found.words}. The signature no longer holds", False)
    files = {i.name: i.file for i in found.assessment.inputs}
    for one in now:
        if not differs and one.file != files.get(one.name):
            yield Finding(f"{name}: {one.name} is not the same file, though the same is read from it", False)


def damaged_results(folder: Path) -> Iterator[Finding]:
    """Kept results in the cache `folder` whose content is not what was kept."""
    for path in sorted(folder.glob("*.result")):
        if intact(path.read_bytes()) is None:
            yield Finding(f"{path}: damaged; `printworthy assess` computes it again", True)
