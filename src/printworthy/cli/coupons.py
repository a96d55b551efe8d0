"""`printworthy coupons FILE`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from printworthy import dossier, evidence, workspace
from printworthy.cli.show import console, coupon_lines

NAME = "coupons"


def run(
    file: Annotated[Path, typer.Argument(help="Table of coupons, as in evidence/ of a workspace.")],
    page: Annotated[Path | None, typer.Option(help="Write plots and figures as an HTML page to this file.")] = None,
) -> None:
    """Statistics of coupons: scatter, outliers, batches, distributions, A- and B-basis, how many more are worth it.

    Example: printworthy coupons my-vehicle/evidence/petg.csv --page petg.html
    """
    sets, problems = workspace.read_coupons(file, None)
    for problem in problems:
        print(problem, file=sys.stderr)  # noqa: T201
    if problems:
        raise typer.Exit(1)
    found = evidence.studies(sets, workspace.read_rules())
    for line in coupon_lines(found):
        console().print(line, highlight=False, soft_wrap=True)
    if page is not None:
        dossier.write_coupons(found, sets, page)
        console().print(f"Page: {page}", highlight=False, soft_wrap=True)
