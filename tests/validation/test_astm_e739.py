"""Straight S-N line and its confidence intervals without run-outs.

ASTM E739-91, Standard practice for statistical analysis of linear or linearized stress-life and strain-life fatigue
data, the numerical example of section 8.3 (plastic strain amplitude against cycles to failure). Data and results from
memory; that the recalled data return the recalled results to every digit is the check of the memory.
"""

from __future__ import annotations

import math

import numpy as np
from compare import Source, compare
from scipy import stats

from printworthy.evidence.regression import censored_line

SOURCE = Source("ASTM E739-91", "section 8.3, nine strain-controlled tests", "from memory")
STRAIN = (0.01636, 0.01609, 0.00675, 0.00682, 0.00179, 0.00160, 0.00165, 0.00053, 0.00054)
CYCLES = (168, 200, 1000, 1180, 4730, 8035, 5254, 28617, 32650)


def test_line_and_intervals() -> None:
    line = censored_line(np.log10(STRAIN), np.log10(CYCLES), np.zeros(9))
    s = line.deviation * math.sqrt(9 / 7)
    t = float(stats.t.ppf(0.975, 7))
    a, b = t * s * math.sqrt(line.leverage[0]), t * s * math.sqrt(line.leverage[2])
    compare(line.intercept, -0.24474, abs=6e-6, source=SOURCE, quantity="A")
    compare(line.slope, -1.45144, abs=6e-6, source=SOURCE, quantity="B")
    compare(line.intercept - a, -0.6435, abs=1e-4, source=SOURCE, quantity="A, lower end of its 95 % interval")
    compare(line.intercept + a, 0.1540, abs=1e-4, source=SOURCE, quantity="A, upper end of its 95 % interval")
    compare(line.slope - b, -1.6054, abs=1e-4, source=SOURCE, quantity="B, lower end of its 95 % interval")
    compare(line.slope + b, -1.2974, abs=1e-4, source=SOURCE, quantity="B, upper end of its 95 % interval")
