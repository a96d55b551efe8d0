"""`printworthy new DIR`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from printworthy import workspace
from printworthy.cli.show import console

NAME = "new"


def run(folder: Annotated[Path, typer.Argument(help="Folder to make; it must not hold anything yet.")]) -> None:
    """Write a small working example to start from.

    Example: printworthy new my-vehicle
    """
    workspace.new(folder)
    console().print(f"Wrote an example to {folder}. Next: printworthy check {folder}")
