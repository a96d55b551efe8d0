"""The text of a workspace: read, checked with file and line in every message, and written as an example.

read(root)        a whole workspace, or WorkspaceProblems with everything that is wrong
problems(root)    everything that is wrong, by file and line
remarks(job)      what is not wrong and yet worth a second look
new(root)         write a small example
read_creep        one creep test
read_coupons      one table of coupons; against_cards: what no such material shows
cards, rules      material cards and the rule that come with the package
cache             results kept by the hash of what they depend on
"""

from printworthy.workspace.coupons import read_coupons
from printworthy.workspace.creep_tests import read_creep
from printworthy.workspace.known_range import against_cards
from printworthy.workspace.problems import WorkspaceProblems
from printworthy.workspace.reading import problems, read
from printworthy.workspace.remarks import remarks
from printworthy.workspace.rules import read_rules
from printworthy.workspace.starter import new

__all__ = [
    "WorkspaceProblems",
    "against_cards",
    "new",
    "problems",
    "read",
    "read_coupons",
    "read_creep",
    "read_rules",
    "remarks",
]
