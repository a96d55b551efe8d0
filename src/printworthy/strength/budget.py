"""What memory and time a part will need, said before it is computed."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from printworthy.errors import NotComputed

# Rounded from least squares of logarithms through assessments of tests/bench/test_forecast.py, in one thread.
FIXED = 4.0  # [s] for each material: options, finer meshes
SECONDS, SECONDS_POWER, CASES_POWER = 40.0, 1.1, 0.4  # [s] at AT unknowns and one case: the search
HOLLOW = 1.4  # infill: the solid print beside it, and more on the finer meshes
BEADS, BEADS_MEMORY = 3.0, 1.9  # raster to choose: 1.7 and 3.0 times the time on a peg, 170 fields in place of 80
EMPTY, GIGABYTES, GIGABYTES_POWER, CASE = 0.7, 0.55, 0.85, 0.2  # [GB]; CASE: what each further case adds
AT = 100_000
SPREAD_SECONDS, SPREAD_MEMORY = 2.0, 1.5  # measured lies between forecast / spread and forecast * spread
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


def need(unknowns: int, cases: int, cards: int, *, hollow: bool = False, beads: bool = False) -> Need:
    """What a part takes once it is meshed, with `cards` materials, on a machine like the one measured on.

    Own fit of own measurements, 8,000 to 250,000 unknowns, 1 to 4 cases; beyond, the powers are carried on. `beads`:
    a raster is to be chosen with the build direction.
    """
    size = unknowns / AT
    seconds = FIXED * cards + SECONDS * size**SECONDS_POWER * cases**CASES_POWER
    memory = GIGABYTES * size**GIGABYTES_POWER * (1 + CASE * (cases - 1)) * (BEADS_MEMORY if beads else 1.0)
    return Need(unknowns, cases, EMPTY + memory, seconds * (HOLLOW if hollow else 1.0) * (BEADS if beads else 1.0))


def machine_memory() -> float:
    """Memory [GB] of this machine, or what its system allows this process; no limit where it does not say."""
    held = [float(text) for limit in GROUP_LIMITS if (text := _stated(Path(limit))).isdigit()]
    if hasattr(os, "sysconf"):
        held.append(float(os.sysconf("SC_PHYS_PAGES")) * os.sysconf("SC_PAGE_SIZE"))
    return min(held, default=float("inf")) / 1e9


def _stated(limit: Path) -> str:
    return limit.read_text(encoding="ascii").strip() if limit.is_file() else ""
