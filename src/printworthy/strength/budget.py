"""What memory and time a part will need, said before it is computed."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

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
GROUP_LIMITS = ("/sys/fs/cgroup/memory.max", "/sys/fs/cgroup/memory/memory.limit_in_bytes")


@dataclass(frozen=True, slots=True)
class Need:
    """Memory [GB] and time [s] that a part of so many unknowns and cases is expected to take."""

    unknowns: int
    cases: int
    memory: float
    seconds: float

    @property
    def words(self) -> str:
        """Both in words, for the one who waits."""
        long = f"{self.seconds / 60:.0f} min" if self.seconds >= 120 else f"{self.seconds:.0f} s"
        return f"{NEEDS}{long} and {self.memory:.1f} GB"

    def check(self, there: float) -> None:
        """Raises NotComputed where it is more than the memory that is `there` [GB]."""
        if self.memory > there:
            raise NotComputed(
                f"{self.unknowns} unknowns and {self.cases} cases need about {self.memory:.1f} GB, this machine has "
                f"{there:.1f} GB",
                do="State a larger element_size",
            )


def need(unknowns: int, cases: int, cards: int) -> Need:
    """What a part takes once it is meshed, with `cards` materials. Own fit of own measurements (see above), 8,000 to
    110,000 unknowns; beyond, the powers are carried on."""
    size = unknowns / UNKNOWNS
    seconds = SECONDS * size**SECONDS_POWER * cases / CASES * (1 + CARD * (cards - 1))
    memory = EMPTY + GIGABYTES * size**GIGABYTES_POWER * max(1.0, cases / CASES)
    return Need(unknowns, cases, memory, max(FEWEST_SECONDS, seconds))


def machine_memory() -> float:
    """Memory [GB] of this machine, or what its system allows this process; no limit where it does not say."""
    held = [float(text) for limit in GROUP_LIMITS if (text := _stated(Path(limit))).isdigit()]
    if hasattr(os, "sysconf"):
        held.append(float(os.sysconf("SC_PHYS_PAGES")) * os.sysconf("SC_PAGE_SIZE"))
    return min(held, default=float("inf")) / 1e9


def _stated(limit: Path) -> str:
    return limit.read_text(encoding="ascii").strip() if limit.is_file() else ""
