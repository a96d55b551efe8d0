"""S-N line through 30 rotating tests of which 8 are run-outs, against another algorithm.

Data: boschresearch/pylife, demos/data/woehler/fatigue-data-fractures.csv (Apache-2.0, (c) Robert Bosch GmbH), from the
optional folder of open data; where it is absent the numbers below, which are its rows, serve all the same. The
reference is computed here by expectation and maximisation (M. Aitkin, Technometrics 23 (1981) 161-163): every run-out
is replaced by its expected life until nothing changes. It shares neither formula nor code with the package.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from compare import Source, compare
from scipy import stats

from printworthy.errors import Place
from printworthy.evidence.fatigue import sn_curve
from printworthy.inputs import FatigueSet

SOURCE = Source(
    "Aitkin 1981, expectation and maximisation", "open S-N data of a metal, 8 of 30 run-outs", "another program"
)
# thousands of cycles at each stress [MPa]; 10000: run-out
TESTS = {
    284.39285: (1369, 10000, 10000, 10000, 10000),
    294.1995: (411, 10000, 10000, 10000, 2295),
    304.00615: (570, 7868, 1745, 10000, 502),
    313.8128: (727, 231, 1826, 1943, 413),
    323.61945: (1842, 2200, 166, 312, 981),
    333.4261: (397, 532, 326, 146, 763),
}


def woehler() -> FatigueSet:
    rows = [(s, 1000.0 * n) for s, lives in TESTS.items() for n in lives]
    stress, cycles = zip(*rows, strict=True)
    off = tuple(n == 1e7 for n in cycles)
    return FatigueSet(
        "steel", "steel", "in layer", -1.0, stress, cycles, off, 23.0, "", "open", False, Place(Path("a"))
    )


def expected_and_maximised(x: np.ndarray, y: np.ndarray, off: np.ndarray) -> tuple[float, float, float]:
    a, b, s = 0.0, 0.0, 1.0
    basis = np.column_stack([np.ones_like(x), x])
    for _ in range(20000):
        mean = a + b * x
        z = (y - mean) / s
        ratio = stats.norm.pdf(z) / stats.norm.sf(z)
        first = np.where(off, mean + s * ratio, y)
        second = np.where(off, s * s * (1 + z * ratio - ratio**2), 0.0)
        (a2, b2), *_ = np.linalg.lstsq(basis, first, rcond=None)
        s2 = float(np.sqrt((((first - a2 - b2 * x) ** 2) + second).mean()))
        change = abs(a2 - a) + abs(b2 - b) + abs(s2 - s)
        a, b, s = float(a2), float(b2), s2
        if change < 1e-12:
            return a, b, s
    raise AssertionError("not settled")


def test_line_with_run_outs() -> None:
    given = woehler()
    x, y, off = np.log10(given.amplitudes), np.log10(given.cycles), np.array(given.run_outs)
    a, b, s = expected_and_maximised(x - 2.49, y, off)
    found = sn_curve(given)
    assert (found.tests, found.failures) == (30, 22)
    compare(found.slope, b, rel=1e-6, source=SOURCE, quantity="slope of log10 cycles over log10 stress")
    compare(found.intercept + 2.49 * found.slope, a, rel=1e-7, source=SOURCE, quantity="log10 cycles at 309 MPa")
    compare(found.deviation / np.sqrt(22 / 20), s, rel=1e-6, source=SOURCE, quantity="scatter of log10 cycles")


def test_the_numbers_above_are_the_open_data() -> None:
    table = Path(__file__).parents[2].parent / "shared/data/coupons/wohler_with_runouts_metal.csv"
    if not table.exists():
        pytest.skip(f"open data not at hand: {table}")
    with table.open(encoding="utf-8") as file:
        rows = [(float(s), float(n), words == "RunOut") for s, n, words in list(csv.reader(file))[1:]]
    given = woehler()
    assert rows == list(zip(given.amplitudes, given.cycles, given.run_outs, strict=True))
