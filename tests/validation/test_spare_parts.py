"""Stocks of spare parts against published examples and closed forms.

L. V. Snyder, Z.-J. M. Shen, Fundamentals of Supply Chain Theory, 2nd ed., examples of chapters 4 and 5, read in the
docstrings of LarrySnyder/stockpyl. C. C. Sherbrooke, METRIC, Operations Research 16 (1968): equations from memory,
evaluated elsewhere. Sums over the Poisson distribution: derived and evaluated elsewhere.
"""

from __future__ import annotations

from itertools import islice, product

import numpy as np
import pytest
from compare import Source, compare
from scipy import stats

from printworthy.making import spares
from printworthy.making.kit import Item, allocate

SNYDER = Source("Snyder and Shen, Supply Chain Theory", "newsvendor, loss, (r, Q); stockpyl docstrings", "found")
BASE = Source("Base stock, Poisson demand", "fill rate P(D <= s - 1), shortage E[(D - s)+]", "derived")
LAST = Source("Last order", "fractile of Poisson demand; printing the rest", "derived")
GREEDY = Source("Marginal allocation", "four items, one site; enumeration gives the same stocks", "derived")
METRIC = Source("Sherbrooke 1968, METRIC", "depot and two equal bases", "derived")


def test_newsvendor() -> None:
    stock, cost = spares.newsvendor_normal(50, 8, 0.18, 0.70)
    compare(stock, 56.60395593, rel=1e-9, source=SNYDER, quantity="newsvendor, normal (50, 8): stock")
    compare(cost, 1.99760519, rel=1e-8, source=SNYDER, quantity="newsvendor, normal (50, 8): cost")
    for mean, over, under, best, least in ((50, 0.18, 0.70, 56, 1.79723521), (6, 1, 4, 8, 3.57010695)):
        stock, cost = spares.newsvendor_poisson(mean, over, under)
        compare(stock, best, abs=0.1, source=SNYDER, quantity=f"newsvendor, Poisson {mean}: stock")
        compare(cost, least, rel=1e-8, source=SNYDER, quantity=f"newsvendor, Poisson {mean}: cost")


def test_loss() -> None:
    compare(spares.shortage(15, 18), 0.51760953, rel=1e-7, source=SNYDER, quantity="loss of Poisson 15 at 18")


def test_order_point() -> None:
    r, q, cost = spares.order_point(20, 150, 100, 1.5, 2)
    compare(r, 3, abs=0.1, source=SNYDER, quantity="(r, Q), Poisson: r")
    compare(q, 5, abs=0.1, source=SNYDER, quantity="(r, Q), Poisson: Q")
    compare(cost, 107.92358063, rel=1e-9, source=SNYDER, quantity="(r, Q), Poisson: cost")


TABLE: dict[float, dict[int, tuple[float, float]]] = {  # by mean and stock: fill rate, shortage
    0.5: {0: (0, 0.5), 1: (0.60653, 0.10653), 2: (0.90980, 0.01633), 3: (0.98561, 0.00194), 4: (0.99825, 0.00019),
          5: (0.99983, 0.00002)},
    1: {0: (0, 1), 1: (0.36788, 0.36788), 2: (0.73576, 0.10364), 3: (0.91970, 0.02334), 4: (0.98101, 0.00435),
        5: (0.99634, 0.00069), 6: (0.99941, 0.00009)},
    2: {0: (0, 2), 1: (0.13534, 1.13534), 2: (0.40601, 0.54134), 3: (0.67668, 0.21802), 4: (0.85712, 0.07514),
        5: (0.94735, 0.02249), 6: (0.98344, 0.00592), 8: (0.99890, 0.00029)},
    5: {0: (0, 5), 1: (0.00674, 4.00674), 2: (0.04043, 3.04717), 3: (0.12465, 2.17182), 4: (0.26503, 1.43684),
        5: (0.44049, 0.87734), 6: (0.61596, 0.49330), 8: (0.86663, 0.12211), 10: (0.96817, 0.02219)},
}  # fmt: skip


@pytest.mark.parametrize("mean", TABLE)
def test_base_stock(mean: float) -> None:
    for stock, (fill, short) in TABLE[mean].items():
        name = f"mean {mean:g}, stock {stock}"
        compare(spares.fill_rate(mean, stock), fill, abs=6e-6, source=BASE, quantity=f"{name}: fill rate")
        compare(spares.shortage(mean, stock), short, abs=6e-6, source=BASE, quantity=f"{name}: shortage")


def test_last_order() -> None:
    found = spares.last_order(rate=8, years=5, piece=25, instead=115)
    compare(found.pieces, 45, abs=0.1, source=LAST, quantity="mean 40, 90 under, 25 over: pieces")
    for sure, pieces, chance in ((0.95, 51, 0.961260), (0.99, 55, 0.990321)):
        found_for = spares.base_stock(40, sure) - 1
        compare(found_for, pieces, abs=0.1, source=LAST, quantity=f"mean 40, {100 * sure:g} % sure: pieces")
        met = spares.fill_rate(40, pieces + 1)
        compare(met, chance, abs=6e-7, source=LAST, quantity=f"mean 40, {pieces} pieces: chance that none lacks")
    falling = sum(12 * 0.8**year for year in range(6))
    compare(spares.base_stock(falling, 0.95) - 1, 55, abs=0.1, source=LAST,
            quantity="demand falling from 12 by a fifth a year for six years, 95 % sure: pieces")  # fmt: skip
    met = spares.fill_rate(falling, 56)
    compare(met, 0.950223, abs=6e-7, source=LAST, quantity="the same: chance that none lacks")
    compare(spares.shortage(40, 0), 40, abs=1e-9, source=LAST, quantity="printed where none is bought")
    # Discounting: a fixed sum for every demand of a Poisson stream is worth rate * (1 - exp(-i H)) / i of it.
    paid = spares.last_order(rate=8, years=5, piece=1e6, instead=1.0, interest=0.07)
    worth = 8 * (1 - np.exp(-0.35)) / 0.07
    compare(paid.cost, worth, rel=1e-7, source=LAST, quantity="8 a year printed for 5 years at 7 % interest, 1 each")


def test_allocation() -> None:
    items = [Item("A", 2.0, 100), Item("B", 1.0, 400), Item("C", 0.5, 1500), Item("D", 4.0, 60)]
    published = [
        ("D", 60, 6.51832), ("D", 120, 5.60989), ("D", 180, 4.84800), ("D", 240, 4.28147), ("A", 340, 3.41680),
        ("D", 400, 3.04564), ("A", 500, 2.45165), ("D", 560, 2.23678), ("A", 660, 1.91345), ("D", 720, 1.80278),
        ("B", 1120, 1.17066), ("A", 1220, 1.02778), ("D", 1280, 0.97665), ("B", 1680, 0.71241),
    ]  # fmt: skip
    for step, (name, cost, stock) in enumerate(islice(allocate(items), 14), 1):
        want, total, short = published[step - 1]
        assert (name, cost) == (want, total)
        found = sum(spares.shortage(i.mean, stock[i.name]) for i in items)
        compare(found, short, abs=6e-6, source=GREEDY, quantity=f"shortage after step {step}, cost {total}")
    best = min(
        sum(spares.shortage(i.mean, n) for i, n in zip(items, counts, strict=True))
        for counts in product(range(8), range(4), range(2), range(10))
        if sum(i.mass * n for i, n in zip(items, counts, strict=True)) <= 720
    )
    compare(best, 1.80278, abs=6e-6, source=GREEDY, quantity="least shortage of all stocks up to 720")


@pytest.mark.parametrize(
    ("depot", "missing", "delay", "pipeline", "short"),
    [
        (0, 4.0, 25.0, 2.24, (1.34646, 0.69138, 0.30339)),
        (2, 2.109894, 13.18684, 1.294947, (0.56886, 0.19747, 0.05575)),
        (4, 0.781467, 4.88417, 0.630734, (0.16293, 0.03081, 0.00455)),
        (6, 0.195435, 1.22147, 0.337717, (0.05111, 0.00544, 0.00044)),
    ],
)
def test_two_echelons(depot: int, missing: float, delay: float, pipeline: float, short: tuple[float, ...]) -> None:
    for base, want in enumerate(short, 1):
        found = spares.two_echelon(0.1, 0.2, 4, 2, 25, 2, depot, base)
        name = f"depot {depot}"
        compare(found.short, want, abs=6e-6, source=METRIC, quantity=f"{name}, base {base}: shortage of a base")
    compare(found.missing, missing, abs=1e-6, source=METRIC, quantity=f"{name}: missing at the depot")
    compare(found.delay, delay, abs=1e-5, source=METRIC, quantity=f"{name}: delay [days]")
    compare(found.pipeline, pipeline, abs=1e-6, source=METRIC, quantity=f"{name}: pipeline of a base")


def test_compound() -> None:
    # With geometric order sizes the total is the Polya-Aeppli law; its mean and variance are mean E[X], mean E[X^2].
    source = Source("Compound Poisson demand", "orders of 1, 2, 3 pieces with chances 0.5, 0.3, 0.2", "derived")
    p = spares.compound(3.0, (0.5, 0.3, 0.2), 80)
    n = np.arange(81)
    mean = float(n @ p)
    compare(mean, 5.1, rel=1e-9, source=source, quantity="mean of 3 orders")
    compare(float((n - mean) ** 2 @ p), 10.5, rel=1e-9, source=source, quantity="variance of 3 orders")
    np.testing.assert_allclose(spares.compound(3.0, (1.0,), 20), stats.poisson.pmf(np.arange(21), 3.0), rtol=1e-12)
