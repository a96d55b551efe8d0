"""`printworthy dossier DIR`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from printworthy import dossier, flow
from printworthy.cli.show import console, progress_line
from printworthy.errors import InputError, TextError
from printworthy.inputs import Job
from printworthy.records.entries import Entry
from printworthy.records.tally import Tally
from printworthy.workspace.cache import Cache

NAME = "dossier"


def run(
    folder: Annotated[Path, typer.Argument(help="Workspace folder.")],
    part: Annotated[list[str] | None, typer.Option(help="Only this part; may be given more than once.")] = None,
    out: Annotated[Path | None, typer.Option(help="Folder for the files; else `dossier` in the workspace.")] = None,
) -> None:
    """Write the dossier as PDF: one file for each part, one for the vehicle, to print and to keep for years.

    Tagged PDF/A-3a and PDF/UA-1 with the figures as computed attached. Parts that were not assessed yet are assessed.
    Example: printworthy dossier my-vehicle --part foot-peg
    """
    job = flow.read(folder)
    only = tuple(part or ())
    if unknown := sorted(set(only) - {p.name for p in job.parts}):
        known = ", ".join(p.name for p in job.parts)
        raise TextError(f"no part named {', '.join(unknown)}", where=str(folder), do=f"Parts are: {known}")
    with progress_line(quiet=False) as progress:
        done, fields = flow.assess(job, Cache(folder / ".cache"), progress, only)
        target = out or folder / "dossier"
        entries, tally = recorded(job)
        written = dossier.write_pdf(
            done, fields, job, target, entries, lambda name: progress(name, "setting the PDF", 0.0), only, tally
        )
    for refusal in done.refusals:
        console().print(f"{refusal.part}: {refusal.line}", highlight=False, soft_wrap=True)
    for path in written:
        console().print(f"Wrote {path}", highlight=False, soft_wrap=True)


def recorded(job: Job) -> tuple[Sequence[Entry], Tally | None]:
    """Every record of a workspace, and what was measured against what was predicted; none where nothing was recorded
    yet."""
    from printworthy.records import store
    from printworthy.records.tally import tally

    try:
        with store.opened(job.root) as records:
            return records.entries(), tally(records, job)
    except InputError:
        return (), None
