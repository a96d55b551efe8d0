"""`printworthy making DIR`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from pydantic import TypeAdapter
from rich.box import SIMPLE
from rich.table import Table

from printworthy import flow, making
from printworthy.cli.assess import remember
from printworthy.cli.replan import keep
from printworthy.cli.show import console, mass_words, progress_line
from printworthy.making import state
from printworthy.results import Making
from printworthy.workspace.cache import Cache

NAME = "making"


def run(
    folder: Annotated[Path, typer.Argument(help="Workspace folder.")],
    handover: Annotated[Path | None, typer.Option(help="Write oriented 3MF files and settings sheets here.")] = None,
    plan: Annotated[Path | None, typer.Option(help="Write the plan's state here, for `replan`, and its page.")] = None,
    json: Annotated[bool, typer.Option("--json", help="Print everything about making as JSON.")] = False,
) -> None:
    """Time, cost, beds and schedule of the vehicle set; hand the parts over, turned as they are to be built.

    Parts that may not be printed are costed and not handed over. Parts that were not assessed yet are assessed first.
    Example: printworthy making my-vehicle --handover to-print
    """
    job = flow.read(folder)
    with progress_line(quiet=json) as progress:
        done, _ = flow.assess(job, Cache(job.root / ".cache"), progress)
    found = done.making
    if json:
        print(TypeAdapter(Making | None).dump_json(found, indent=2).decode())  # noqa: T201
    elif found is None:
        console().print("No part was assessed, so that there is nothing to make.")
    else:
        console().print(table(found))
        spares = () if found.spares else ("no fleet is stated under [demand], or it is 0: no spares are planned",)
        for line in (*found.refusals, *((found.schedule.words,) if found.schedule else ()), *spares):
            console().print(line, highlight=False, soft_wrap=True)
    if plan is not None:
        plan.parent.mkdir(parents=True, exist_ok=True)
        keep(state.begin(job, done), plan)
        console().print(f"Wrote {plan} and {plan.with_suffix('.html')}", highlight=False, soft_wrap=True)
    if handover is not None:
        for path in making.hand_over(job, done, handover, remember(done, job)[0]):
            console().print(f"Wrote {path}", highlight=False, soft_wrap=True)


def table(found: Making) -> Table:
    """Time, mass and cost of each part."""
    made = Table(box=SIMPLE, title="Making (all data invented)" if found.invented else "Making")
    for heading in ("part", "printer", "time, h", "on a bed", "mass", "cost of one, EUR (5 % to 95 %)"):
        made.add_column(heading, justify="left" if heading in ("part", "printer") else "right")
    for p in found.parts:
        c = p.cost.total
        made.add_row(
            p.part,
            p.printer or "none",
            f"{p.seconds / 3600:.1f}",
            str(p.bed),
            "not known" if p.mass is None else mass_words(p.mass),
            "not known" if c is None else f"{c.value:.0f} ({c.low:.0f} to {c.high:.0f})",
        )
    return made
