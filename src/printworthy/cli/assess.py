"""`printworthy assess DIR`."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import Annotated

import typer
from pydantic import TypeAdapter

from printworthy import dossier, flow, verdict
from printworthy.cli.show import console, progress_line, summary_table
from printworthy.errors import NotComputed, TextError
from printworthy.inputs import Job
from printworthy.records.tally import Tally
from printworthy.results import Assessment, SurfaceField
from printworthy.workers import Crew
from printworthy.workspace.cache import Cache

NAME = "assess"
GOOD = ("print", "print with conditions")


def run(
    folder: Annotated[Path, typer.Argument(help="Workspace folder.")],
    part: Annotated[list[str] | None, typer.Option(help="Only this part; may be given more than once.")] = None,
    json: Annotated[bool, typer.Option("--json", help="Print the whole assessment as JSON.")] = False,
) -> None:
    """Decide every part: verdict, governing mode, utilisation, build direction, mass; write the dossier.

    Exit code 0: all print or print with conditions; 1: wrong input; 3: something is refused or not decided.
    Example: printworthy assess my-vehicle --part foot-peg
    """
    raise typer.Exit(assess_and_show(flow.read(folder), tuple(part or ()), json=json))


def assess_and_show(job: Job, only: tuple[str, ...] = (), *, json: bool = False, workers: Crew | None = None) -> int:
    """Assess, write the dossier, show the table (or JSON); the exit code."""
    unknown = sorted(set(only) - {p.name for p in job.parts})
    if unknown:
        known = ", ".join(p.name for p in job.parts)
        raise TextError(f"no part named {', '.join(unknown)}", where=str(job.root), do=f"Parts are: {known}")
    with progress_line(quiet=json) as progress:
        cache = Cache(job.root / ".cache")
        done, fields = flow.assess(job, cache, progress, only, workers, each=partial(dossier.draw, job, cache))
    if workers is not None:
        workers.end()
    for damaged in cache.reported:
        print(damaged, file=sys.stderr)  # noqa: T201
    path = written(done, fields, job, *remember(done, job), cache)
    if json:
        print(TypeAdapter(Assessment).dump_json(done, indent=2).decode())  # noqa: T201
    else:
        console().print(summary_table(done))
        for refusal in done.refusals:
            console().print(f"{refusal.part}: {refusal.line}", highlight=False, soft_wrap=True)
        for asked in verdict.next_tests(done.parts, {p.name: p for p in job.parts}, job.rules)[:1]:
            console().print(f"Test next, {asked.part}: {'; '.join(asked.words)}", highlight=False, soft_wrap=True)
        if path is not None:
            console().print(f"Dossier: {path}", highlight=False, soft_wrap=True)
    return exit_code(done)


def written(
    done: Assessment,
    fields: Mapping[str, SurfaceField],
    job: Job,
    ids: Mapping[str, str],
    tally: Tally | None,
    cache: Cache,
) -> Path | None:
    """The dossier's path; None, after one line, where the folder cannot be written."""
    try:
        return dossier.write(done, fields, job, job.root / "dossier", ids, cache, tally)
    except OSError as error:
        print(f"{job.root / 'dossier'}: the dossier was not written ({error.strerror})", file=sys.stderr)  # noqa: T201
        return None


def remember(done: Assessment, job: Job) -> tuple[dict[str, str], Tally | None]:
    """Record an assessment: the id of each part's, and what was measured against what was predicted; where that cannot
    be, say so in a line and go on."""
    from printworthy.records import keeping, store, tally  # here: a database library is slow to start

    try:
        ids = {part: entry.id for part, entry in keeping.keep(done, job).items()}
        with store.opened(job.root) as records:
            return ids, tally.tally(records, job)
    except NotComputed as stop:
        print(f"{stop.where}: the assessment was not recorded ({stop.what})", file=sys.stderr)  # noqa: T201
        return {}, None


def exit_code(done: Assessment) -> int:
    """0 all print, 1 wrong input, 3 refused or not decided."""
    if any(r.wrong_input for r in done.refusals):
        return 1
    return 0 if not done.refusals and all(p.verdict.word in GOOD for p in done.parts) else 3
