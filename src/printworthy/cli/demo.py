"""`printworthy demo [DIR]`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from printworthy import demo, flow
from printworthy.cli.assess import assess_and_show
from printworthy.cli.show import console, progress_line
from printworthy.workers import Crew

NAME = "demo"


def run(
    folder: Annotated[Path, typer.Argument(help="Folder for the invented vehicle.")] = Path("demo-vehicle"),
) -> None:
    """Build an invented vehicle, part by part, and decide it.

    Some parts are meant to be refused: the exit code is 0 once every part has been answered.
    Example: printworthy demo
    """
    with Crew() as crew:
        with progress_line(quiet=False) as progress:
            demo.build(folder, progress, crew)
        crew.load("printworthy.flow")  # while it is read here
        console().print(f"Invented vehicle in {folder}: every load and coupon in it is made up.", highlight=False)
        code = assess_and_show(flow.read(folder), workers=crew)
    if code == 1:
        raise typer.Exit(1)
