"""`printworthy compare A B`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from rich.box import SIMPLE
from rich.markup import escape
from rich.table import Table

from printworthy.cli.show import console
from printworthy.dossier.document import Block, Items, Text
from printworthy.dossier.document import Table as Sheet
from printworthy.errors import TextError

NAME = "compare"


def run(
    a: Annotated[str, typer.Argument(help="Id of a recorded assessment (its first characters will do).")],
    b: Annotated[str, typer.Argument(help="Id of another one.")],
    folder: Annotated[Path, typer.Option("--in", help="Workspace folder.")] = Path(),
    page: Annotated[Path | None, typer.Option(help="Write the comparison here, as an HTML page.")] = None,
    same: Annotated[bool, typer.Option("--all", help="Show also what is alike.")] = False,
) -> None:
    """Show two recorded assessments side by side: figures, reasons, conditions, and the inputs that differ.

    Example: printworthy compare 8a700c 4f11d2 --in my-vehicle --page changes.html
    """
    from printworthy.answers import OUTCOME
    from printworthy.dossier.page import lay_out
    from printworthy.dossier.revisions import compared
    from printworthy.records import store
    from printworthy.workspace.files import write_whole

    with store.opened(folder) as records:
        before, after = records.find(a), records.find(b)
        for entry in (before, after):
            if entry.kind != "assessment":
                do = "`printworthy history PART` lists the assessments of a part"
                raise TextError(f"record {entry.id} is a {entry.kind}, not an assessment", where=str(folder), do=do)
        old, new = (OUTCOME.validate_json(records.content(e.contents["result"])) for e in (before, after))
    document = compared(before, after, old, new)
    for section in document.sections:
        for block in section.blocks:
            show(block, every=same or section.anchor != "figures")
    if page is not None:
        write_whole(page, lay_out(document, "the records").encode())
        console().print(f"Wrote {page}", highlight=False, soft_wrap=True)


def show(block: Block, *, every: bool) -> None:
    """One block of the comparison; of a table all rows, or those that differ."""
    if isinstance(block, Sheet):
        table = Table(box=SIMPLE, title=block.caption)
        for column in block.columns:
            table.add_column(column.title)
        for row in block.rows:
            if every or row.chosen:
                table.add_row(*(escape(cell.text) for cell in row.cells))
        console().print(table)
    elif isinstance(block, Items):
        console().print("\n".join([f"{block.title}:", *(f"  {i}" for i in block.items)]), markup=False)
    elif isinstance(block, Text):
        console().print(block.text, markup=False)
