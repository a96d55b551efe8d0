"""`printworthy sign PART`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from printworthy import flow
from printworthy.cli.show import console

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
    from printworthy.records import signing  # here: a database library is slow to start

    job = flow.read(folder)
    entry = signing.revoke(job, part, who, revoke) if revoke else signing.sign(job, part, who, note)
    console().print(f"Recorded as {entry.id}: {entry.kind} of {part} by {who}", highlight=False)
