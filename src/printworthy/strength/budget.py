"""What memory and time a part will need, said before it is computed."""

from __future__ import annotations

import os
from dataclasses import dataclass

from printworthy.errors import NotComputed

# Measured on one core of a two-core server, an invented lever under four cases, all directions with the exact checks:
#   unknowns    7,773  14,562  37,659  82,437  112,374
#   seconds         9       9      31     108      202
#   GB           0.45    0.48    0.78    1.54     1.97   of which 0.26 before anything is done
# Powers through the last four. How time goes with cases and cards was not measured: the fields, and with them all work,
# are taken as proportional to the cases, and a further card as a tenth of the first.
UNKNOWNS, CASES = 37_659, 4
SECONDS, SECONDS_POWER, FEWEST_SECONDS = 31.0, 1.6, 5.0
EMPTY, GIGABYTES, GIGABYTES_POWER = 0.26, 0.5, 1.08
CARD = 0.1
NEEDS = "needs about "  # begins the line that says so


@dataclass(frozen=True, slots=True)
class Need:
    """Memory [GB] and time [s] that a part is expected to take; rough, within a factor of about three."""

    memory: float
    seconds: float

    @property
    def words(self) -> str:
        """Both in words, for the one who waits."""
        long = f"{self.seconds / 60:.0f} min" if self.seconds >= 120 else f"{self.seconds:.0f} s"
        return f"{NEEDS}{long} and {self.memory:.1f} GB"


def need(unknowns: int, cases: int, cards: int) -> Need:
    """What the search over all directions takes, with `cards` materials. Own fit of own measurements (see above), 8,000
    to 110,000 unknowns; beyond, the powers are carried on. Meshing and finer meshes of the peak come on top.

    Raises NotComputed where it is more memory than this machine has.
    """
    size = unknowns / UNKNOWNS
    seconds = SECONDS * size**SECONDS_POWER * cases / CASES * (1 + CARD * (cards - 1))
    memory = EMPTY + GIGABYTES * size**GIGABYTES_POWER * max(1.0, cases / CASES)
    wanted = Need(memory, max(FEWEST_SECONDS, seconds))
    there = os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE") / 1e9
    if memory > there:
        raise NotComputed(
            f"{unknowns} unknowns and {cases} cases need about {memory:.0f} GB, this machine has {there:.0f} GB",
            do="State a larger element_size",
        )
    return wanted
