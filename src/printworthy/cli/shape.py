"""`printworthy shape FILE`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from pydantic import TypeAdapter

from printworthy.cli.show import console, shape_lines
from printworthy.results import ShapeReport
from printworthy.shape import look

NAME = "shape"


def run(
    file: Annotated[Path, typer.Argument(help="STL, OBJ, PLY, 3MF or STEP file.")],
    unit: Annotated[str | None, typer.Option(help="Length unit of a file that has none: mm, cm, m, inch.")] = None,
    body: Annotated[int | None, typer.Option(help="Which body, when the file holds several.")] = None,
    mend: Annotated[bool, typer.Option(help="Permit repairs that change the solid; each is reported.")] = False,
    json: Annotated[bool, typer.Option("--json", help="Print the report as JSON.")] = False,
) -> None:
    """Look at one geometry file: size, volume, bodies, what is wrong with it, what was mended.

    Example: printworthy shape bracket.stl --unit mm
    """
    report = look(file, unit=unit, body=body, mend=mend)
    if json:
        print(TypeAdapter(ShapeReport).dump_json(report, indent=2).decode())  # noqa: T201
        return
    for line in shape_lines(report):
        console().print(line, highlight=False)
