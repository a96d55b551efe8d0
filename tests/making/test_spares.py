"""Stocks: invariants, enumeration, and what cannot be meant."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy import stats

from printworthy.errors import InputError
from printworthy.making import kit, spares


def test_the_order_point_is_the_best_of_all() -> None:
    def cost(r: int, q: int) -> float:
        levels = [20 * (y - 3 + spares.shortage(3, y)) + 150 * spares.shortage(3, y) for y in range(r + 1, r + q + 1)]
        return (100 * 1.5 + sum(levels)) / q

    every = min(cost(r, q) for r in range(-1, 12) for q in range(1, 15))
    assert spares.order_point(20, 150, 100, 1.5, 2)[2] == pytest.approx(every, rel=1e-12)


def test_a_last_order_is_the_best_of_all_by_chance() -> None:
    # Demand streams drawn by lot, costed day by day: the closed form's optimum costs what they cost.
    rng = np.random.default_rng(11)
    rate, years, interest, holding = 6.0, 4.0, 0.08, 0.1
    found = spares.last_order(rate, years, 30.0, 90.0, interest=interest, holding=holding, scrap=5.0)
    totals = []
    for _ in range(4000):
        times = np.cumsum(rng.exponential(1 / rate, 80))
        cost = 0.0
        for k, t in enumerate(times):
            here = min(t, years)
            if k < found.pieces:
                cost += 30.0 + 30 * holding * (1 - np.exp(-interest * here)) / interest
                cost += 5.0 * np.exp(-interest * years) * (t > years)
            elif t <= years:
                cost += 90.0 * np.exp(-interest * t)
        totals.append(cost)
    assert found.cost == pytest.approx(np.mean(totals), abs=4 * np.std(totals) / np.sqrt(4000))


def test_a_last_order_is_not_placed_where_printing_is_cheaper() -> None:
    assert spares.last_order(5, 3, 10, 12, fixed=1000).pieces == 0
    assert spares.last_order(5, 3, 10, 200, fixed=1000).pieces > 10
    assert spares.last_order(5, 3, 10, 200, least=500).pieces in (0, 500)
    assert spares.last_order(0, 3, 10, 200) == spares.LastOrder(0, 0.0, 0.0)


def test_kits_grow_surer_and_a_printer_pays_where_parts_are_many_and_light_to_print() -> None:
    items = [kit.Item(f"part {k}", 0.6, 0.8, 0.35) for k in range(20)] + [kit.Item("bolt", 1.0, 0.05)]
    parts = kit.kits_of_parts(items)
    printer = kit.kits_with_printer(items, 12.0, 0.98)
    for points in (parts, printer):
        assert all(a.mass <= b.mass and a.availability <= b.availability for a, b in pairwise(points))
    assert parts[0].availability == pytest.approx(np.exp(-13.0))
    assert max(p.availability for p in printer) <= 0.98
    at = kit.heaviest_within
    light, heavy = at(parts, 19.0), at(printer, 19.0)
    assert light is not None
    assert heavy is not None
    assert heavy.availability > light.availability
    assert at(printer, 5.0) is None


def test_filament_is_pooled() -> None:
    one = [kit.Item("a", 4.0, 1.0, 0.5)]
    masses = np.linspace(0, 10, 401)
    sure = kit.enough_filament(one, masses)
    assert sure[200] == pytest.approx(stats.poisson.cdf(10, 4.0), rel=1e-9)  # 5 kg print ten
    assert kit.enough_filament([kit.Item("bolt", 1.0, 0.1)], masses).tolist() == [1.0] * 401


def test_what_cannot_be_meant_is_refused() -> None:
    with pytest.raises(InputError, match="service level"):
        spares.base_stock(3, 1.0)
    with pytest.raises(InputError, match="add up to 1"):
        spares.compound(1, (0.5, 0.4), 5)
    assert spares.base_stock(0, 0.95) == 0
    assert list(kit.allocate([kit.Item("never asked for", 0.0, 1.0)])) == []
