"""The text of a workspace: read, checked with file and line in every message, and written as an example.

read(root)        a whole workspace, or WorkspaceProblems with everything that is wrong
problems(root)    everything that is wrong, by file and line
new(root)         write a small example
cards, rules      material cards and the rule that come with the package
cache             results kept by the hash of what they depend on
"""

from printworthy.workspace.starter import new
from printworthy.workspace.problems import WorkspaceProblems
from printworthy.workspace.reading import problems, read

__all__ = ["WorkspaceProblems", "new", "problems", "read"]
