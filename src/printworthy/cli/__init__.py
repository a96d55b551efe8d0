"""The command line: verb first, folder or file second. Errors become one line here and nowhere deeper.

Exit codes: 0 every part prints, or prints with conditions; 1 wrong input; 3 a part is refused or not decided.
"""

from __future__ import annotations

import sys
from importlib.metadata import version
from typing import Annotated

import typer

from printworthy.cli import (
    assess,
    bead,
    check,
    compare,
    coupons,
    creep,
    demo,
    dossier,
    exchange,
    hdt,
    history,
    log,
    making,
    new,
    replan,
    serve,
    shape,
    sign,
    tally,
    vary,
    verify,
)
from printworthy.errors import Cancelled, InputError, PrintworthyError
from printworthy.workspace import WorkspaceProblems

WRONG_INPUT, UNDECIDED, STOPPED = 1, 3, 130

app = typer.Typer(
    name="printworthy",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)


def _tell_version(asked: bool) -> None:
    if asked:
        print(f"printworthy {version('printworthy')}")  # noqa: T201
        raise typer.Exit


@app.callback()
def _before(
    told: Annotated[
        bool, typer.Option("--version", callback=_tell_version, is_eager=True, help="Tell the version.")
    ] = False,
) -> None:
    """Decide, part by part, whether a load-bearing part of a small vehicle may be printed."""


for verb in (
    new,
    check,
    assess,
    serve,
    vary,
    making,
    replan,
    demo,
    shape,
    coupons,
    creep,
    hdt,
    bead,
    log,
    history,
    tally,
    sign,
    verify,
    dossier,
    compare,
):
    app.command(name=verb.NAME)(verb.run)
app.command(name="export")(exchange.export)
app.command(name="import")(exchange.unpack)
app.command(name="results")(exchange.results)


def main() -> None:
    """Run a verb; a refusal is one line on the error stream (several problems: one line each)."""
    try:
        app()
    except WorkspaceProblems as problems:
        for problem in problems.problems:
            print(problem, file=sys.stderr)  # noqa: T201
        sys.exit(WRONG_INPUT)
    except (Cancelled, KeyboardInterrupt):
        print("stopped; parts that were finished are kept", file=sys.stderr)  # noqa: T201
        sys.exit(STOPPED)
    except PrintworthyError as error:
        print(error, file=sys.stderr)  # noqa: T201
        sys.exit(WRONG_INPUT if isinstance(error, InputError) else UNDECIDED)
