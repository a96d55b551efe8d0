"""`printworthy sign PART`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from printworthy import flow
from printworthy.cli.show import console
from printworthy.errors import TextError

NAME = "sign"


def run(
    part: Annotated[str, typer.Argument(help="Name of the part, or `vehicle` for the whole.")],
    who: Annotated[str, typer.Option("--as", help="Name of the person who signs.")],
    folder: Annotated[Path, typer.Option("--in", help="Workspace folder.")] = Path(),
    note: Annotated[str, typer.Option(help="What the signature is given for, or under which limits.")] = "",
    revoke: Annotated[str, typer.Option(help="Take the signature back, for this reason.")] = "",
) -> None:
    """Sign the newest verdict of a part, or the result of the vehicle, or revoke. It holds until any input changes.

    A signature here is a note of who accepted what; it certifies nothing.
    Example: printworthy sign foot-peg --as "A. Builder" --in my-vehicle
    """
    from printworthy.records import standing, store
    from printworthy.records.entries import WHOLE
    from printworthy.records.keeping import inputs_of, vehicle_inputs

    job = flow.read(folder)
    stated = next((p for p in job.parts if p.name == part), None)
    if stated is None and part != "vehicle":
        known = ", ".join(p.name for p in job.parts)
        raise TextError(f"no part named {part}", where=str(folder), do=f"Parts are: {known}")
    with store.opened(folder, write=True) as records:
        if revoke:
            entry = standing.revoke(records, part if stated else WHOLE, who, revoke)
        elif stated is None:
            entry = standing.sign(records, WHOLE, who, note, vehicle_inputs(job))
        else:
            entry = standing.sign(records, part, who, note, inputs_of(job, stated))
    console().print(f"Recorded as {entry.id}: {entry.kind} of {part} by {who}", highlight=False)
