"""`printworthy serve DIR`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from printworthy.cli.show import console

NAME = "serve"


def run(
    folder: Annotated[Path, typer.Argument(help="Workspace folder.")],
    port: Annotated[int, typer.Option(help="Port on this machine; 0: any that is free.")] = 8321,
    browser: Annotated[bool, typer.Option("--browser", help="Open the page in the browser.")] = False,
) -> None:
    """Show and work on a workspace in a browser, on this machine only.

    The address that is printed holds the key to the page; stop it with Ctrl-C.
    Example: printworthy serve my-vehicle --browser
    """
    from printworthy import page  # here, because no other verb needs a web server

    page.serve(folder, port, lambda address: _say(folder, address), browser=browser)


def _say(folder: Path, address: str) -> None:
    console().print(f"{folder} is shown at {address}", highlight=False, soft_wrap=True)
    console().print("Stop with Ctrl-C.", highlight=False)
