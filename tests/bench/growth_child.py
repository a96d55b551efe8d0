"""Run by test_growth: one size of the lever, one case, one direction; prints unknowns, stage seconds, peak memory."""

from __future__ import annotations

import json
import sys
import tempfile
import time
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from bench_lever import CARD_RATIO, card, design, lever

from printworthy.strength import model, prepared, utilisation


def main(element_size: float) -> None:
    """Mesh, prepare, set up and solve, each timed."""
    marks = [time.perf_counter()]
    with tempfile.TemporaryDirectory() as folder:
        solid, faces, part = lever(Path(folder), element_size)
    alone = replace(part, cases=part.cases[:1])
    marks.append(time.perf_counter())
    ready = prepared(solid, faces)
    marks.append(time.perf_counter())
    m = model(ready, alone, card(CARD_RATIO))
    marks.append(time.perf_counter())
    result = utilisation(m, (0.3, 0.5, 0.8), design(), 1.0)
    marks.append(time.perf_counter())
    seconds = [b - a for a, b in pairwise(marks)]
    peak = high_water() / 2**20
    print(json.dumps({"unknowns": m.space.unknowns, "seconds": seconds, "peak": peak, "solver": result.solver}))


def high_water() -> float:
    """Most memory this process has had [kB]: of its own, unlike ru_maxrss, which starts from its parent's."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return float(next(line.split()[1] for line in lines if line.startswith("VmHWM:")))


if __name__ == "__main__":
    main(float(sys.argv[1]))
