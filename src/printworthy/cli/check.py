"""`printworthy check DIR`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from printworthy import flow, ride, workspace
from printworthy.cli.show import console
from printworthy.errors import InputError

NAME = "check"


def run(folder: Annotated[Path, typer.Argument(help="Workspace folder.")]) -> None:
    """Read all text and every geometry file; print every problem at once, with file, line and what to do.

    Example: printworthy check my-vehicle
    """
    job = flow.read(folder)
    problems: list[InputError] = flow.geometry_problems(job)
    for problem in problems:
        print(problem, file=sys.stderr)  # noqa: T201
    machine = job.vehicle.machine
    for remark in (*workspace.remarks(job), *(ride.remarks(machine) if machine else ())):
        console().print(f"worth a look: {remark}", highlight=False, soft_wrap=True)
    if problems:
        raise typer.Exit(1)
    console().print(
        f"{len(job.parts)} parts, {len(job.cards)} cards, {len({c.name for c in job.coupons})} coupon sets: "
        "no problems found"
    )
