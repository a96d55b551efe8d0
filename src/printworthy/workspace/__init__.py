"""The text of a workspace: read, checked with file and line in every message, and written as an example."""

from printworthy.workspace.problems import WorkspaceProblems
from printworthy.workspace.reading import problems, read

__all__ = ["WorkspaceProblems", "problems", "read"]
