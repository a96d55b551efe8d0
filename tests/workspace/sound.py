"""A sound workspace in a temporary folder, and a way to break it line by line."""

from __future__ import annotations

from pathlib import Path

from printworthy import workspace

PART = "parts/lamp-bracket.toml"


class Sound:
    """The example workspace; `swap` replaces one text in one file and tells in which line that was."""

    def __init__(self, root: Path) -> None:
        self.root = root
        workspace.new(root)

    def swap(self, old: str, new: str, file: str = PART) -> int:
        path = self.root / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        path.write_text(text.replace(old, new), encoding="utf-8")
        return text[: text.index(old)].count("\n") + 1

    def lines(self) -> list[str]:
        """What `problems` says, with file names from the root on."""
        return [str(problem).replace(f"{self.root}/", "") for problem in workspace.problems(self.root)]
