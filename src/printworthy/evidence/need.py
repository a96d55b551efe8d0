"""How many coupons settle a question, of which direction, and what they must show."""

from __future__ import annotations

import math
from dataclasses import dataclass

from printworthy.evidence.coupons import SMALLEST, log_deviation, tolerance_factor
from printworthy.evidence.limits import product
from printworthy.evidence.values import rule
from printworthy.inputs import CouponDirection, Rules
from printworthy.results import DesignValue

MOST = 60  # coupons beyond which more of them are no advice
SCATTER = {"in layer": "minimum_cv_in_layer"}  # the others scatter as pulls between layers do
# Steps that tested coupons put in the place of: range of a card, bound without a test, limit of too few.
REPLACED = ("limit", "low end", "bound")


@dataclass(frozen=True, slots=True)
class Need:
    """`n` coupons in all of `direction`, `more` than there are, with a mean of `mean` [MPa] as tested and a scatter of
    `cv` [-]; `n` 0: no number up to 60 with the mean and scatter at hand reaches it."""

    direction: CouponDirection
    n: int
    more: int
    mean: float
    cv: float


def limit_share(n: int, cv: float, rules: Rules) -> float:
    """Lower limit over mean [-] of n lognormal coupons with coefficient of variation `cv` [-]: the knock-down that n
    coupons buy. exp(-k(n) s) / exp(s^2 / 2), s^2 = ln(1 + cv^2)."""
    deviation = log_deviation(cv)
    k = tolerance_factor(n, rule(rules, "tolerance_part"), rule(rules, "tolerance_confidence"))
    return math.exp(-k * deviation - deviation**2 / 2)


def coupons_for(share: float, cv: float, rules: Rules) -> int | None:
    """Fewest coupons (3 to 60) whose lower limit is `share` [-] of their mean or more at scatter `cv` [-]; None: no
    number of them is enough."""
    return next((n for n in range(SMALLEST, MOST + 1) if limit_share(n, cv, rules) >= share), None)


def needed(value: DesignValue, direction: CouponDirection, wanted: float, rules: Rules, *, least: int) -> Need:
    """Coupons that bring a design value to `wanted` [MPa], at least `least` of them.

    With three or more at hand: as many as the mean and scatter so far ask for. With fewer: `least`, and the mean they
    must show at the stated minimum scatter. Knock-downs to service stay as they are.
    """
    minimum = rule(rules, SCATTER.get(direction, "minimum_cv_between"))
    served = product(step for step in value.steps if step.kind not in REPLACED)
    if direction == "45 degrees" and value.n == 0:
        served *= 0.5  # half of such a pull is the shear on the layers, see design
    if value.n >= SMALLEST and any(step.kind == "limit" for step in value.steps):
        cv = max(value.cv, minimum)
        found = coupons_for(wanted / (value.start * served), cv, rules)
        n = 0 if found is None else max(found, least, value.n)
        return Need(direction, n, max(n - value.n, 0), value.start, cv)
    mean = wanted / (served * limit_share(least, minimum, rules))
    return Need(direction, least, max(least - value.n, 0), mean, minimum)
