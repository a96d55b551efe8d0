"""`printworthy replan PLAN`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from printworthy import dossier, units
from printworthy.cli.show import console
from printworthy.making import state
from printworthy.workspace.files import write_whole

NAME = "replan"


def run(
    plan: Annotated[Path, typer.Argument(help="State of the plan, as `printworthy making --plan` wrote it.")],
    failed: Annotated[str, typer.Option(help="Task that broke off, as the plan names it.")],
    at: Annotated[str, typer.Option(help="When, from the start of the plan: 30 h.")],
) -> None:
    """Plan again after a failed print: what has begun stays, the print is done again, all else may move.

    The state in PLAN moves on, and the new Gantt is written beside it as a page.
    Example: printworthy replan plan.json --failed "bed 2" --at "30 h"
    """
    before = state.load(plan)
    after = state.failed(before, failed, units.quantity(at, "time"))
    keep(after, plan, before)
    for line in lines(after):
        console().print(line, highlight=False, soft_wrap=True)
    console().print(f"Wrote {plan} and {plan.with_suffix('.html')}", highlight=False, soft_wrap=True)


def keep(found: state.PlanState, path: Path, before: state.PlanState | None = None) -> None:
    """Write the state, whole or not at all, and its page."""
    dossier.write_plan(found, path.with_suffix(".html"), before)
    write_whole(path, state.dump(found).encode())


def lines(found: state.PlanState) -> list[str]:
    """The tasks to come, and when all is done."""
    hours = [(s.task, s.machine, s.start / 3600, s.end / 3600) for s in found.schedule.slots if not s.fixed]
    told = [f"{task}: {machine}, {start:.1f} to {end:.1f} h" for task, machine, start, end in hours]
    return [*told, f"done after {found.schedule.finish / 3600:.1f} h; {found.schedule.words}"]
