"""`printworthy vary DIR TABLE.KEY=VALUE ...`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer
from pydantic import TypeAdapter

from printworthy import flow
from printworthy.cli.show import console, drop_lines, progress_line, varied_tables
from printworthy.errors import TextError
from printworthy.results import Varied
from printworthy.workspace.cache import Cache

NAME = "vary"


def run(
    folder: Annotated[Path, typer.Argument(help="Workspace folder.")],
    figures: Annotated[
        list[str], typer.Argument(help='Figures of vehicle.toml, as frame.rake="26 deg" or mass.NAME.mass="45 kg".')
    ],
    solve: Annotated[bool, typer.Option("--solve", help="Assess anew the parts whose loads act another way.")] = False,
    json: Annotated[bool, typer.Option("--json", help="Print the comparison as JSON.")] = False,
) -> None:
    """Show what other figures of the vehicle do to trail, loads on wheels and parts, verdicts and the drop limit.

    Nothing is written. A part whose loads only grow or shrink is judged from what was solved; one whose loads act
    another way has no verdict until it is assessed again (--solve).
    A heavier rider, a higher drop, a softer spring: rider.mass="95 kg" event.NAME.height="300 mm"
    front.suspension.rate="9 N/mm".
    Example: printworthy vary my-vehicle frame.rake="26 deg"
    """
    changes = dict(_pair(text) for text in figures)
    before, after = flow.read(folder), flow.read(folder, changes)
    with progress_line(quiet=json) as progress:
        found = flow.varied(before, after, Cache(folder / ".cache"), progress, solve=solve)
    if json:
        print(TypeAdapter(Varied).dump_json(found, indent=2).decode())  # noqa: T201
        return
    for table in varied_tables(found, f"{after.vehicle.title} with {', '.join(figures)}"):
        console().print(table)
    for line in drop_lines(found):
        console().print(line, highlight=False, soft_wrap=True)
    for old, new in found.handling:
        if new.warning and new.warning != old.warning:
            print(f"worth a look: {new.name}: {new.warning}", file=sys.stderr)  # noqa: T201


def _pair(text: str) -> tuple[str, str]:
    key, sign, value = text.partition("=")
    if not sign or not key.strip() or not value.strip():
        do = 'Write TABLE.KEY=VALUE, as frame.rake="26 deg"'
        raise TextError(f'"{text}" is no figure with a value', do=do)
    return key.strip(), value.strip().strip('"')
