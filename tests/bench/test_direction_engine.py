"""The direction engine against one solution per direction, in one run: ratios, not times, are the result.

Compared, each for the same part, card and four load cases, extrapolated from a few directions to all of them:
(a) scikit-fem assembly with CG preconditioned by pyamg, and SciPy's direct solver;
(b) NGSolve assembled and factored again for every direction;
(c) NGSolve, one factor for all, conjugate gradients per direction: the strongest we know without reduction.
Writes docs/benchmarks.md. The part is an invented lever made by the CAD kernel.
"""

from __future__ import annotations

import os
import time
from pathlib import Path

import numpy as np
import pytest
from bench_lever import design, lever, model_of
from peers import Skfem, ngsolve_factored, ngsolve_preconditioned
from report import machine, section

from printworthy.strength import Settings, direction_map

pytestmark = pytest.mark.bench
DIRECTIONS, SAMPLED = 1000, 5


class Stopwatch:
    """Seconds by stage, from the engine's own progress calls."""

    def __init__(self) -> None:
        self.stages: dict[str, float] = {}
        self.at, self.stage = time.perf_counter(), ""

    def __call__(self, stage: str, share: float) -> None:
        now = time.perf_counter()
        if self.stage:
            self.stages[self.stage] = self.stages.get(self.stage, 0.0) + now - self.at
        self.at, self.stage = now, stage


def timed(task, *args):  # type: ignore[no-untyped-def]
    """(result, seconds)."""
    start = time.perf_counter()
    result = task(*args)
    return result, time.perf_counter() - start


ELEMENT_SIZE = float(os.environ.get("BENCH_ELEMENT_SIZE", "1.9"))  # [mm], about 120,000 unknowns


@pytest.mark.parametrize("ratio", [1.5, 3.0])
def test_engine_against_one_solution_per_direction(ratio: float, tmp_path: Path) -> None:
    """First targets: 100 times (a), 25 times (b), 8 times (c), at an error of at most 1 %."""
    solid, faces, part = lever(tmp_path, element_size=ELEMENT_SIZE)
    model, set_up = timed(model_of, solid, faces, part, ratio)
    watch = Stopwatch()
    found, seconds = timed(direction_map, model, design(), Settings(directions=DIRECTIONS), watch)
    watch("", 1.0)
    stages = {"points, assembly and factor": set_up, **watch.stages}
    total = set_up + seconds
    unchecked = total - watch.stages["exact checks"]
    query = min(timed(found.at, np.array([[0.3, 0.2, 1.0 + i]]))[1] for i in range(20))

    sample = np.random.default_rng(7).normal(size=(SAMPLED, 3))
    other = Skfem(model)
    rows = []
    for name, directions, task in (
        ("(c) NGSolve, one factor, conjugate gradients", sample, ngsolve_preconditioned),
        ("(b) NGSolve, factored again", sample, ngsolve_factored),
    ):
        peaks, took = timed(task, model, directions)
        mapped = found.at(directions)[0].max(axis=(1, 2))
        assert np.allclose(mapped, peaks, rtol=2 * max(found.error, 0.005)), name
        rows.append((name, len(directions), took / len(directions)))
    for name, directions, one in (
        ("(a) scikit-fem, conjugate gradients with pyamg", sample, other.multigrid),
        ("(a) scikit-fem, SciPy direct", sample[:1], other.direct),
    ):
        rows.append((name, len(directions), timed(lambda d, f=one: [f(n) for n in d], directions)[1] / len(directions)))
    rows = [(*row, row[2] * DIRECTIONS / total, row[2] * DIRECTIONS / unchecked) for row in rows]
    write(ratio, model, found, total, unchecked, query, stages, rows)
    assert found.error <= 0.01
    assert rows[0][3] >= 8
    assert rows[1][3] >= 25
    assert min(rows[2][3], rows[3][3]) >= 100


def write(ratio, model, found, total, unchecked, query, stages, rows) -> None:  # type: ignore[no-untyped-def]
    """One section of docs/benchmarks.md."""
    lines = [
        machine(),
        "",
        f"{model.space.unknowns} unknowns, {len(model.part.cases)} cases, {DIRECTIONS} directions; {found.basis.size} "
        f"fields, {len(found.hot.points)} hot points, largest error of {len(found.checks)} exact checks "
        f"{100 * found.error:.2f} %.",
        "",
        f"Engine: {total:.1f} s with the exact checks, {unchecked:.1f} s without; a further direction, all cases: "
        f"{1e3 * query:.2f} ms.",
        "",
        "| stage | seconds | share |",
        "|---|---|---|",
        *(f"| {name} | {s:.1f} | {100 * s / total:.0f} % |" for name, s in stages.items()),
        "",
        "| compared | directions run | seconds each | engine is faster by, with checks | without |",
        "|---|---|---|---|---|",
        *(f"| {n} | {c} | {e:.2f} | {a:.0f} | {b:.0f} |" for n, c, e, a, b in rows),
    ]
    section(f"All directions, ratio of moduli {ratio:g}", lines)
