"""The error that carries everything wrong in a workspace at once."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from printworthy.errors import InputError, Place, TextError


class WorkspaceProblems(TextError):
    """Everything wrong in a workspace; `problems` holds one error each, by file and line."""

    def __init__(self, root: Path, problems: Sequence[InputError]) -> None:
        self.problems: tuple[InputError, ...] = in_order(problems)
        count = f"{len(self.problems)} problems" if len(self.problems) > 1 else "1 problem"
        super().__init__(f"{count}; the first: {self.problems[0]}", where=Place(root))


def in_order(problems: Sequence[InputError]) -> tuple[InputError, ...]:
    """Problems by file and line, as they stand, without repetition."""

    def key(problem: InputError) -> tuple[str, int]:
        where = problem.where
        return (str(where.file), where.line) if isinstance(where, Place) else (where, 0)

    distinct = {str(problem): problem for problem in problems}
    return tuple(sorted(distinct.values(), key=key))
