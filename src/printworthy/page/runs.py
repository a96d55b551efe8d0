"""The last run and the one before it, kept beside the results: what the page shows, and what changed.

`.cache/page/run.json` holds the key of the inputs of every part and an assessment; `before.json` the run it replaced.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from pydantic import ConfigDict, TypeAdapter, ValidationError

from printworthy.inputs import Geometry, Job
from printworthy.results import Assessment, PartAssessment, Refusal
from printworthy.workspace.cache import key as cache_key
from printworthy.workspace.files import write_whole

KEPT: TypeAdapter[tuple[dict[str, str], Assessment]] = TypeAdapter(
    tuple[dict[str, str], Assessment], config=ConfigDict(ser_json_inf_nan="strings")
)


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """An assessment, and the key of each part's inputs when it was made."""

    assessment: Assessment
    keys: Mapping[str, str]

    def part(self, name: str) -> PartAssessment | None:
        """One assessed part."""
        return next((p for p in self.assessment.parts if p.part == name), None)

    def refusal(self, name: str) -> Refusal | None:
        """Why a part was not computed."""
        return next((r for r in self.assessment.refusals if r.part == name), None)


@dataclass(frozen=True, slots=True)
class Change:
    """What became of a part since the run before."""

    part: str
    words: str


def folder_of(root: Path) -> Path:
    """Where the page keeps its own files."""
    return root / ".cache" / "page"


def last(root: Path) -> Run | None:
    """The last run, or None."""
    return _read(folder_of(root) / "run.json")


def before(root: Path) -> Run | None:
    """The run before the last, or None."""
    return _read(folder_of(root) / "before.json")


def _read(path: Path) -> Run | None:
    try:
        keys, assessment = KEPT.validate_json(path.read_bytes())
    except (FileNotFoundError, ValidationError):
        return None  # none yet, or written by another release: the results themselves are in the cache
    return Run(assessment, keys)


def put(root: Path, assessment: Assessment, keys: Mapping[str, str]) -> None:
    """Keep a run; the one before it is kept too unless nothing it depends on changed."""
    folder = folder_of(root)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "run.json"
    earlier = last(root)
    if earlier is not None and dict(earlier.keys) != dict(keys):
        path.replace(folder / "before.json")
    write_whole(path, KEPT.dump_json((dict(keys), assessment)))


def completed(done: Assessment, job: Job, earlier: Run | None) -> tuple[Assessment, dict[str, str]]:
    """A run of some parts with the earlier answers of the others that are still there, and the keys of those."""
    if earlier is None:
        return done, {}
    known = {p.part for p in done.parts} | {r.part for r in done.refusals}
    left = {p.name for p in job.parts} - known
    order = {p.name: i for i, p in enumerate(job.parts)}
    parts = (*done.parts, *(p for p in earlier.assessment.parts if p.part in left))
    refusals = (*done.refusals, *(r for r in earlier.assessment.refusals if r.part in left))
    whole = replace(
        done,
        parts=tuple(sorted(parts, key=lambda p: order[p.part])),
        refusals=tuple(sorted(refusals, key=lambda r: order[r.part])),
    )
    return whole, {name: earlier.keys[name] for name in left if name in earlier.keys}


def shape_key(geometry: Geometry, size: float | None) -> str:
    """Hash of what a part's mesh depends on."""
    return cache_key("shape", geometry, size)


def changes(now: Run, then: Run | None) -> tuple[Change, ...]:
    """What changed between two runs, part by part, in words."""
    if then is None:
        return ()
    found = []
    for part in now.assessment.parts:
        other = then.part(part.part)
        if other is None:
            refused = then.refusal(part.part)
            was = f"was not computed ({refused.word})" if refused else "is new"
            found.append(Change(part.part, f"{was}; now {_told(part)}"))
        elif _told(part) != _told(other):
            found.append(Change(part.part, f"{_told(other)} became {_told(part)}"))
    for refusal in now.assessment.refusals:
        other = then.part(refusal.part)
        if other is not None:
            found.append(Change(refusal.part, f"{_told(other)} became {refusal.word}: {refusal.line}"))
    names = {p.part for p in now.assessment.parts} | {r.part for r in now.assessment.refusals}
    gone = [p.part for p in then.assessment.parts if p.part not in names]
    return (*found, *(Change(name, "is no longer there") for name in gone))


def _told(part: PartAssessment) -> str:
    n = ", ".join(f"{c:.2f}" for c in part.verdict.direction)
    return f"{part.verdict.word} at {part.option.result.utilisation:.2f}, {part.verdict.material}, built ({n})"
