"""Time and memory of one case and direction, from ten thousand to over a million unknowns, each size in a process."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from report import machine, section

pytestmark = pytest.mark.bench
ELEMENT_SIZES = (6.0, 3.4, 2.0, 1.33, 1.0, 0.84)  # [mm], about 10,000 to 1,600,000 unknowns
STAGES = ("meshing", "points and faces", "assembly and factor", "solution")


def test_growth_up_to_a_million_unknowns() -> None:
    """Bounds: a million unknowns under 12 GB and 6 minutes; time grows by a power below 1.5."""
    child = Path(__file__).with_name("growth_child.py")
    rows = []
    for size in ELEMENT_SIZES:
        command = [sys.executable, str(child), str(size)]
        ended = subprocess.run(command, capture_output=True, text=True, check=True, cwd=child.parent)
        rows.append(json.loads(ended.stdout.splitlines()[-1]))
    unknowns = np.array([r["unknowns"] for r in rows])
    seconds = np.array([r["seconds"] for r in rows])
    work = seconds[:, 1:].sum(axis=1)
    power = float(np.polyfit(np.log(unknowns), np.log(work), 1)[0])
    section(
        "Growth",
        [
            machine(),
            f"One case, one direction; everything after meshing grows as unknowns to the power {power:.2f}.",
            "",
            f"| unknowns | {' | '.join(f'{s} s' for s in STAGES)} | peak memory GB | solver |",
            f"|{'---|' * (len(STAGES) + 3)}",
            *(f"| {r['unknowns']} | {_listed(r['seconds'])} | {r['peak']:.2f} | {r['solver']} |" for r in rows),
        ],
    )
    assert unknowns[-1] > 900_000
    assert rows[-1]["peak"] < 12
    assert sum(rows[-1]["seconds"]) < 360
    assert power < 1.5


def _listed(seconds: list[float]) -> str:
    return " | ".join(f"{s:.1f}" for s in seconds)
