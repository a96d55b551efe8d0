"""`printworthy log KIND PIECE KEY=VALUE ...`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from printworthy import workspace
from printworthy.cli.show import console
from printworthy.errors import TextError

NAME = "log"


def run(
    kind: Annotated[str, typer.Argument(help="inspection, proof, ride, retirement, or correction.")],
    piece: Annotated[str, typer.Argument(help="PART/SERIAL of the piece; for a correction the id of the record.")],
    figures: Annotated[
        list[str] | None, typer.Argument(help='What was found, as mass="43 g", result=passed, photo=peg.jpg.')
    ] = None,
    who: Annotated[str, typer.Option("--as", help="Who found it; else the account of this computer.")] = "",
    folder: Annotated[Path, typer.Option("--in", help="Workspace folder.")] = Path(),
) -> None:
    """Write down what was found on a printed piece. Nothing is overwritten: a correction is a record of its own.

    inspection: printer, lot, mass, size.NAME, finding, photo, result. proof: case, level (times the stated loads),
    load, moment, hold, deflection, set (lasting), temperature, noise, finding, photo, result. ride: time, distance,
    event, damage, photo. retirement: reason, damage, time, distance, photo.
    Example: printworthy log proof foot-peg/7 case=standing load="1.2 kN" hold="60 s" deflection="3.1 mm" noise=no
    result=passed --in my-vehicle
    """
    from printworthy.records import forms, store
    from printworthy.records.keeping import user

    job = workspace.read(folder)
    with store.opened(folder, write=True) as records:
        if kind == "correction":
            made = forms.correction(records.find(piece), who or user(), figures or [])
        else:
            part, _, serial = piece.partition("/")
            known = [p.name for p in job.parts]
            if part not in known or not serial:
                do = f"Write PART/SERIAL. Parts are: {', '.join(known)}"
                raise TextError(f"'{piece}' is no piece of a part of this workspace", where=str(folder), do=do)
            made = forms.draft(kind, part, serial, who or user(), figures or [])
        entry = records.append([made])[0]
    console().print(f"Recorded as {entry.id}: {entry.kind} of {entry.part}/{entry.piece}", highlight=False)
