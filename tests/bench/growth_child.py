"""Run by test_growth: one size of the lever, one case, one direction; prints unknowns, stage seconds, peak memory."""

from __future__ import annotations

import json
import resource
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
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
    print(json.dumps({"unknowns": m.space.unknowns, "seconds": seconds, "peak": peak, "solver": result.solver}))


if __name__ == "__main__":
    main(float(sys.argv[1]))
