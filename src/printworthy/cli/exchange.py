"""`printworthy export DIR FILE`, `printworthy import FILE DIR`, `printworthy results DIR FILE`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from printworthy.cli.show import console

Archive = Annotated[Path, typer.Argument(help="Archive (.zip) of a workspace.")]


def export(folder: Annotated[Path, typer.Argument(help="Workspace folder.")], archive: Archive) -> None:
    """Pack a workspace with its records into one archive, every file with its hash; dossier and cache are left out.

    Example: printworthy export my-vehicle my-vehicle.zip
    """
    from printworthy.records import archive as packing

    count = packing.export(folder, archive)
    console().print(f"Wrote {archive}: {count} files", highlight=False, soft_wrap=True)


def unpack(archive: Archive, folder: Annotated[Path, typer.Argument(help="New folder for it.")]) -> None:
    """Unpack a workspace into a new folder, all of it or nothing; a file that is not what was exported is refused.

    Example: printworthy import my-vehicle.zip copy-of-my-vehicle
    """
    from printworthy.records import archive as packing

    count = packing.unpack(archive, folder)
    console().print(
        f"Wrote {folder}: {count} files. Next: printworthy verify {folder}", highlight=False, soft_wrap=True
    )


def results(
    folder: Annotated[Path, typer.Argument(help="Workspace folder.")],
    path: Annotated[Path, typer.Argument(help="File to write: .csv or .parquet.")],
) -> None:
    """Write the newest recorded results as a table: a row for each part, material, build direction and load case.

    Example: printworthy results my-vehicle results.csv
    """
    from printworthy.records import rows, store

    with store.opened(folder) as records:
        count = rows.write(records, path)
    console().print(f"Wrote {path}: {count} rows", highlight=False, soft_wrap=True)
