"""`printworthy history PART`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from printworthy.cli.show import console

NAME = "history"


def run(
    part: Annotated[
        str, typer.Argument(help="Name of the part, `vehicle`, or a record's id; nothing: everything.")
    ] = "",
    folder: Annotated[Path, typer.Option("--in", help="Workspace folder.")] = Path(),
    json: Annotated[bool, typer.Option("--json", help="Print the records as JSON.")] = False,
) -> None:
    """Show what was recorded: assessments, signatures, inspections, proof tests, rides, retirements, in their order.

    Example: printworthy history foot-peg --in my-vehicle
    """
    from pydantic import TypeAdapter

    from printworthy.dossier.history import said
    from printworthy.records import store
    from printworthy.records.entries import VEHICLE, Entry
    from printworthy.records.forms import corrected

    with store.opened(folder) as records:
        every = records.entries()
    chosen = tuple(
        e for e in every if not part or part in (e.part or VEHICLE, e.piece) or e.seal.startswith(part)
    )  # fmt: skip
    if json:
        print(TypeAdapter(tuple[Entry, ...]).dump_json(chosen, indent=2).decode())  # noqa: T201
        return
    holds = corrected(every)
    for e in chosen:
        piece = f" piece {e.piece}" if e.piece else ""
        gone = " (withdrawn by a correction)" if e.kind != "correction" and e.id not in holds else ""
        head = f"{e.number:>4}  {e.at}  {e.id}  {e.kind}: {e.part or VEHICLE}{piece}, by {e.who}{gone}"
        console().print(head, highlight=False, markup=False, soft_wrap=True)
        about = f"about {e.refers}; " if e.refers else ""
        console().print(f"      {about}{said(e.body)}", highlight=False, markup=False, soft_wrap=True)
    if not chosen:
        console().print(f"Nothing is recorded of {part}.", highlight=False, markup=False)
