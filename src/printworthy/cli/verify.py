"""`printworthy verify DIR`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from printworthy import flow
from printworthy.cli.show import console
from printworthy.errors import InputError, PrintworthyError
from printworthy.inputs import Job

NAME = "verify"


def run(folder: Annotated[Path, typer.Argument(help="Workspace folder.")]) -> None:
    """Check that records, inputs and kept results are what they were when they were written.

    Every hash is computed anew: files, records and their chain, kept results. Exit code 1: something is damaged; 3: a
    signed verdict has become stale; 0: neither.
    Example: printworthy verify my-vehicle
    """
    from printworthy.records import store, verify

    try:
        with store.opened(folder) as records:
            found = list(verify.verify(records, _job(folder), folder / ".cache"))
            count = len(records.entries())
    except InputError:
        raise
    except PrintworthyError as stop:
        print(stop, file=sys.stderr)  # noqa: T201
        raise typer.Exit(1) from stop
    for one in found:
        print(one.words, file=sys.stderr if one.damage else sys.stdout)
    damaged = sum(one.damage for one in found)
    words = f"{damaged} damaged" if damaged else "nothing is damaged"
    console().print(f"{count} records, {len(found)} remarks, {words}.", highlight=False)
    if damaged:
        raise typer.Exit(1)
    if any("no longer holds" in one.words for one in found):
        raise typer.Exit(3)


def _job(folder: Path) -> Job | None:
    try:
        return flow.read(folder)
    except InputError as problem:
        print(f"the inputs cannot be compared: {problem}", file=sys.stderr)  # noqa: T201
        return None
