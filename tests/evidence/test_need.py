"""How many coupons: what is asked for is what, once broken, the limits give (k of CMH-17-1G, see test_tolerance)."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy import stats

from printworthy.evidence import design_values
from printworthy.evidence.need import coupons_for, limit_share, needed
from printworthy.inputs import CouponSet, MaterialCard, Rules

Make = Callable[..., MaterialCard]
Coupons = Callable[..., CouponSet]
BASE = {"modulus_in_layer": 2500, "hdt_180": 80, "strength_in_layer": (50, 40, 60), "strength_through": (20, 10, 30)}


def lot(mean: float, cv: float, n: int) -> list[float]:
    """n lognormal-looking strengths with exactly that mean of logs and deviation of logs."""
    z = stats.norm.ppf((np.arange(n) + 0.5) / n)
    z = (z - z.mean()) / z.std(ddof=1)
    s = math.sqrt(math.log1p(cv * cv))
    return [float(v) for v in np.exp(math.log(mean) - s * s / 2 + s * z)]


def test_the_share_uses_the_factor_of_the_handbook(rules: Rules) -> None:
    # kB(5) = 3.4066 and s^2 = ln(1.0144) at 12 %
    s = math.sqrt(math.log(1.0144))
    assert limit_share(5, 0.12, rules) == pytest.approx(math.exp(-3.4066 * s - s * s / 2), rel=1e-5)
    shares = [limit_share(n, 0.12, rules) for n in range(3, 30)]
    assert shares == sorted(shares)


def test_fewest_coupons_are_the_fewest(rules: Rules) -> None:
    n = coupons_for(0.70, 0.12, rules)
    assert n is not None
    assert limit_share(n, 0.12, rules) >= 0.70 > limit_share(n - 1, 0.12, rules)
    assert coupons_for(0.99, 0.12, rules) is None


def test_coupons_as_asked_for_settle_it_and_a_little_weaker_ones_do_not(
    card: Make, coupons: Coupons, rules: Rules
) -> None:
    c = card(**BASE)
    before = design_values(c, [], rules, low=0, high=50).between
    need = needed(before, "between layers", 12.0, rules, least=5)
    assert (need.n, need.more, need.cv) == (5, 5, 0.12)
    for scale, holds in ((1.001, True), (0.99, False)):
        set_ = coupons("between layers", *lot(scale * need.mean, need.cv, need.n))
        after = design_values(c, [set_], rules, low=0, high=50).between
        assert (after.value >= 12.0) is holds


def test_more_of_the_same_settle_it(card: Make, coupons: Coupons, rules: Rules) -> None:
    c = card(**BASE)
    now = design_values(c, [coupons("between layers", *lot(20, 0.12, 5))], rules, low=0, high=23).between
    need = needed(now, "between layers", 14.0, rules, least=5)
    assert need.n > 5
    assert need.more == need.n - 5
    for n, holds in ((need.n, True), (need.n - 1, False)):
        after = design_values(c, [coupons("between layers", *lot(20, 0.12, n))], rules, low=0, high=23).between
        assert (after.value >= 14.0) is holds


def test_a_mean_that_is_too_low_is_not_mended_by_numbers(card: Make, coupons: Coupons, rules: Rules) -> None:
    now = design_values(card(**BASE), [coupons("between layers", *lot(20, 0.12, 5))], rules, low=0, high=23).between
    assert needed(now, "between layers", 19.5, rules, least=5).n == 0


def test_shear_without_a_test_is_asked_from_45_degree_pulls(card: Make, coupons: Coupons, rules: Rules) -> None:
    c = card(**BASE)
    before = design_values(c, [], rules, low=0, high=23).shear_between
    need = needed(before, "45 degrees", 8.0, rules, least=5)
    pulls = coupons("45 degrees", *lot(1.001 * need.mean, need.cv, 5))
    assert design_values(c, [pulls], rules, low=0, high=23).shear_between.value == pytest.approx(8.0, rel=0.002)
