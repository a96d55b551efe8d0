"""Write docs/cli.md from the verbs themselves; with `-` print it instead."""

from __future__ import annotations

import inspect
import sys
from pathlib import Path

from printworthy.cli import app

HEAD = """# Command line

Written by `scripts/write_cli_page.py` from the verbs themselves.

Exit codes: 0 every part prints, or prints with conditions; 1 wrong input; 3 a part is refused or not decided; 130
stopped.
"""


def page() -> str:
    """The whole page."""
    sections = [HEAD]
    for command in app.registered_commands:
        assert command.callback is not None
        lines = [f"\n## printworthy {command.name}\n", inspect.getdoc(command.callback) or "", ""]
        hints = inspect.get_annotations(command.callback, eval_str=True)
        for name, parameter in inspect.signature(command.callback).parameters.items():
            info = hints[name].__metadata__[0]
            option = type(info).__name__ == "OptionInfo"
            shown = f"--{name.replace('_', '-')}" if option else name.upper()
            empty = parameter.default is inspect.Parameter.empty
            default = "" if empty or parameter.default in (None, False) else f" (default: {parameter.default})"
            lines.append(f"- `{shown}`: {info.help}{default}")
        sections.append("\n".join(lines) + "\n")
    return "".join(sections)


if __name__ == "__main__":
    if sys.argv[1:] == ["-"]:
        sys.stdout.write(page())
    else:
        Path(__file__).parents[1].joinpath("docs", "cli.md").write_text(page())
