"""What is forecast of a part's time and memory against what whole assessments take, each in its own process.

Time is that of the processor in one thread, from the mesh on, so that a busy machine does not count.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from report import machine, section

from printworthy.strength.budget import SPREAD_MEMORY, SPREAD_SECONDS

pytestmark = pytest.mark.bench
ALONE = {name: "1" for name in ("NGS_NUM_THREADS", "OPENBLAS_NUM_THREADS", "NUMBA_NUM_THREADS", "OMP_NUM_THREADS")}
LEVERS = (
    "6 4 2",
    "3.4 1 1",
    "3.4 4 1",
    "3.4 4 2 hollow",
    "2.4 4 2",
    "1.9 1 1",
    "1.9 4 1",
    "1.6 2 2",
    "1.4 1 1",
    "1.4 4 1",
)
PARTS = ("foot-peg", "seat-shell", "mudguard", "battery-tray", "peg-hanger", "headlamp-surround")


def test_forecast_is_as_near_as_it_says() -> None:
    """Time and memory within the spreads that docs/method/strength.md states."""
    child = Path(__file__).with_name("forecast_child.py")
    rows = []
    for words in (*(f"lever {how}" for how in LEVERS), *(f"demo {part}" for part in PARTS)):
        command = [sys.executable, str(child), *words.split()]
        ended = subprocess.run(
            command, capture_output=True, text=True, check=True, cwd=child.parent, env={**os.environ, **ALONE}
        )
        rows.append(json.loads(ended.stdout.splitlines()[-1]))
    section(
        "Forecast",
        [
            machine(),
            "",
            "| part | unknowns | cases | polymers | seconds | said | peak memory GB | said |",
            f"|{'---|' * 8}",
            *(
                f"| {r['part']} | {r['unknowns']} | {r['cases']} | {r['polymers']} | {r['seconds']:.0f} | "
                f"{r['said'][0]:.0f} | {r['peak']:.2f} | {r['said'][1]:.2f} |"
                for r in rows
            ),
        ],
    )
    for key, spread, which in (("seconds", SPREAD_SECONDS, 0), ("peak", SPREAD_MEMORY, 1)):
        ratio = np.array([r[key] / r["said"][which] for r in rows])
        assert (ratio < spread).all()
        assert (ratio > 1 / spread).all()
