"""Adding up damage of cycles of many sizes.

A. Palmgren 1924, M. A. Miner 1945: sum n/N = 1 at failure. Closed forms on the history of ASTM E1049 Fig. 6 at 4 MPa a
unit, amplitude = 60 N^-0.12 MPa, tensile strength 45 MPa.
"""

from __future__ import annotations

import numpy as np
import pytest
from compare import Source, compare

from printworthy.evidence.coupons import tolerance_factor
from printworthy.evidence.damage import equivalent_range, miner, rainflow_cycles
from printworthy.evidence.fatigue import basquin_life, goodman, walker

SOURCE = Source("Palmgren 1924 and Miner 1945", "damage sums, closed forms", "derived")
FIGURE_6 = (-2, 1, -3, 5, -1, 3, -4, 4, -2)


def test_three_sizes() -> None:
    damage = miner([1000, 20000, 100000], [1e4, 1e5, 1e6])
    compare(damage, 0.4, rel=1e-12, source=SOURCE, quantity="damage of 1e3, 2e4, 1e5 cycles at N = 1e4, 1e5, 1e6")
    compare(1 / damage, 2.5, rel=1e-12, source=SOURCE, quantity="repeats to failure")


@pytest.mark.parametrize(
    ("name", "rule", "expected", "passes"),
    [
        ("no mean stress", lambda a, m: a, 3.92473e-5, 25479.5),
        ("Goodman", lambda a, m: goodman(a, m, 45.0), 5.99468e-5, 16681.5),
        ("Smith, Watson and Topper", walker, 6.59073e-5, 15172.8),
    ],
)
def test_a_counted_history(name: str, rule: object, expected: float, passes: float) -> None:
    size, mean, count = np.array([(c.range, c.mean, c.count) for c in rainflow_cycles(FIGURE_6)]).T
    amplitude = rule(4 * size / 2, 4 * mean)  # type: ignore[operator]
    found = miner(count, basquin_life(amplitude, 60.0, -0.12))
    compare(found, expected, rel=1e-5, source=SOURCE, quantity=f"damage of one pass, {name}")
    compare(1 / found, passes, rel=1e-5, source=SOURCE, quantity=f"passes to failure, {name}")


def test_one_range_for_all() -> None:
    size, count = np.array([(c.range, c.count) for c in rainflow_cycles(FIGURE_6)]).T
    one = equivalent_range(size, count, -0.12)
    compare(one, 7.5185, rel=1e-5, source=SOURCE, quantity="equivalent range of E1049 Fig. 6, slope 1/0.12")


def test_the_lever_of_stress_on_life() -> None:
    ratio = float(basquin_life(10.0, 60.0, -0.12) / basquin_life(20.0, 60.0, -0.12))
    compare(ratio, 322.54, rel=1e-5, source=SOURCE, quantity="life at half the stress over life, b = -0.12")
    tenth = float(basquin_life(10.0 / 1.31826, 60.0, -0.12) / basquin_life(10.0, 60.0, -0.12))
    compare(tenth, 10.0, rel=1e-4, source=SOURCE, quantity="life at 1/1.31826 of the stress over life, b = -0.12")


def test_lower_life_of_ten() -> None:
    factor = 10 ** (-0.20 * tolerance_factor(10, 0.90, 0.95))
    compare(factor, 0.3381, rel=2e-4, source=SOURCE, quantity="lower life factor, n = 10, log10 scatter 0.20")
