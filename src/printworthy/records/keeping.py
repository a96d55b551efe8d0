"""Assessments written down: of each part and of the whole vehicle what was found, and the hash of everything it was
found from."""

from __future__ import annotations

import getpass
import hashlib
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic_core import to_json

from printworthy.answers import OUTCOME, depends_on, part_key
from printworthy.errors import GeometryError
from printworthy.inputs import Job, Part
from printworthy.records.entries import WHOLE, Draft, Entry, Input
from printworthy.records.store import opened
from printworthy.results import Assessment, PartAssessment, Refusal
from printworthy.workspace.cache import key

MISSING = "cannot be read"


def keep(done: Assessment, job: Job, who: str = "", only: Collection[str] = ()) -> dict[str, Entry]:
    """Write an assessment into the records of its workspace; the new entry of each part (or of those named in
    `only`), and, where all parts are in it, of the vehicle under "".

    Raises NotComputed where they cannot be written.
    """
    stated = {part.name: part for part in job.parts}
    outcomes: list[PartAssessment | Refusal] = [*done.parts, *done.refusals]
    drafts = [
        _draft(done, outcome, job, stated[outcome.part], who or user())
        for outcome in outcomes
        if not only or outcome.part in only
    ]
    if len(outcomes) == len(job.parts):
        drafts.append(_vehicle_draft(done, job, who or user()))
    with opened(job.root, write=True) as records:
        return {entry.part: entry for entry in records.append(drafts)}


def recorded(done: Assessment, job: Job, entries: Sequence[Entry]) -> dict[str, str]:
    """Ids of the newest entries that speak of this assessment, by part, and of the vehicle under ""; parts that were
    never recorded with these inputs are left out."""
    newest = {e.part: e for e in entries if e.kind in ("assessment", "vehicle")}
    keys = {p.part: p.key for p in done.parts} | {r.part: _key(job, _part(job, r.part)) for r in done.refusals}
    ids = {part: newest[part].id for part, key in keys.items() if part in newest and newest[part].body["key"] == key}
    if WHOLE in newest and set(newest[WHOLE].inputs) == set(vehicle_inputs(job)):
        ids[WHOLE] = newest[WHOLE].id
    return ids


def inputs_of(job: Job, part: Part) -> tuple[Input, ...]:
    """Everything a part's verdict rests on, each with its hash: what was read from it, and its file as it stands."""
    return tuple(
        Input(name, _hash(thing), _file_hash(job.root / name)) for name, thing in depends_on(job, part).items()
    )


def vehicle_inputs(job: Job) -> tuple[Input, ...]:
    """Everything the vehicle's own result (drop limit, events, plan, counts of verdicts) rests on: of each part the
    hash of all its inputs."""
    prices = {"prices.toml": job.workshop.prices} if (job.root / "prices.toml").is_file() else {}
    things: Mapping[str, object] = {
        "vehicle.toml": job.vehicle,
        "making (printers, processes, demand, parts)": (job.workshop, tuple(p.making for p in job.parts)),
        "rules": job.rules,
        **prices,
    }
    own = tuple(Input(name, _hash(thing), _file_hash(job.root / name)) for name, thing in things.items())
    return own + tuple(Input(f"part {p.name}", _key(job, p) or MISSING) for p in job.parts)


def user() -> str:
    """The account of this computer that writes, where nobody is named."""
    try:
        return getpass.getuser()
    except (KeyError, OSError):  # an account without a name
        return "unnamed account"


def _part(job: Job, name: str) -> Part:
    return next(p for p in job.parts if p.name == name)


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


def _vehicle_draft(done: Assessment, job: Job, who: str) -> Draft:
    found = Counter([p.verdict.word for p in done.parts] + [r.word for r in done.refusals])
    said: dict[str, Any] = {
        "title": done.title, "version": done.version, "computed": done.when, "parts": sum(found.values()),
        **{str(word): n for word, n in found.items()}, "invented": done.invented,
    }  # fmt: skip
    drop = done.ride.drop if done.ride is not None else None
    if drop is not None:
        first = next((p for p in drop.parts if p.height is not None), None)
        said["drop limit"] = "not shown" if drop.refused else "none" if first is None else f"{first.height:.4g} mm"
    plan = done.making.schedule if done.making is not None else None
    if plan is not None:
        said |= {"plan ends [h]": plan.finish / 3600, "late [h]": plan.late / 3600}
    result = to_json(replace(done, parts=(), refusals=()), inf_nan_mode="strings")
    return Draft("vehicle", who, WHOLE, body=said, inputs=vehicle_inputs(job), contents={"result": result})


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
