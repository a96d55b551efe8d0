"""How many spares: expected shortages, the newsvendor, base stock, order points, a last order against printing.

Demand is Poisson (or compound Poisson, where several pieces are asked for at once) unless said otherwise. Costs in any
one currency, rates and times in one unit of time.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import gammainc, ndtri, pdtr, pdtrik

from printworthy.errors import InputError

MOST = 100_000  # pieces beyond which a stock is a mistake in the inputs


def shortage(mean: float, stock: int) -> float:
    """Expected pieces short E[(D - s)+] of Poisson demand of `mean`: m P(D >= s) - s P(D >= s + 1).

    Source: Sherbrooke 1968, from memory; the sum itself written out.
    """
    return mean * at_least(stock, mean) - stock * at_least(stock + 1, mean)


def at_least(count: int, mean: float) -> float:
    """Chance that Poisson demand reaches `count`."""
    return 1.0 if count <= 0 else float(gammainc(count, mean))


def quantile(share: float, mean: float) -> int:
    """Least s with P(D <= s) >= `share` of Poisson demand; `mean` > 0."""
    near = math.ceil(pdtrik(share, mean))
    return near - 1 if near > 0 and pdtr(near - 1, mean) >= share else near


def fill_rate(mean: float, stock: int) -> float:
    """Share of demands met at once by a base stock: P(D <= s - 1), D over the lead time (demands see its long-run
    distribution: Poisson arrivals)."""
    return float(pdtr(stock - 1, mean)) if stock > 0 else 0.0


def base_stock(mean: float, service: float) -> int:
    """Least base stock with a fill rate of `service` [-]; mean demand over the lead time. Raises InputError."""
    if not 0 <= service < 1:
        raise InputError(f"service level {service:g}", do="State it from 0 up to, but not, 1")
    return 0 if mean == 0 or service == 0 else quantile(service, mean) + 1


def newsvendor_poisson(mean: float, over: float, under: float) -> tuple[int, float]:
    """Stock for one period and its expected cost: `over` for each piece left, `under` for each short.

    Least s with P(D <= s) >= under / (under + over). Source: Snyder, Shen, Fundamentals of Supply Chain Theory, ch. 4.
    """
    stock = quantile(under / (under + over), mean)
    short = shortage(mean, stock)
    return stock, over * (stock - mean + short) + under * short


def newsvendor_normal(mean: float, deviation: float, over: float, under: float) -> tuple[float, float]:
    """As `newsvendor_poisson` for normal demand: s = mean + z deviation, cost (over + under) phi(z) deviation."""
    z = float(ndtri(under / (under + over)))
    return mean + z * deviation, (over + under) * math.exp(-z * z / 2) / math.sqrt(2 * math.pi) * deviation


def order_point(holding: float, penalty: float, order: float, rate: float, lead: float) -> tuple[int, int, float]:
    """Order point r, order quantity Q and cost by time of least cost: order Q when the position falls to r.

    Cost (order * rate + sum of g(y), y = r + 1 .. r + Q) / Q with g(y) = holding E[(y - D)+] + penalty E[(D - y)+], D
    Poisson over the lead time: Q grows while the next best y costs less than the mean so far (Federgruen, Zheng 1992,
    from memory; exact as g is convex).
    """
    mean = rate * lead

    def g(y: int) -> float:
        short = shortage(mean, y) if y >= 0 else mean - y
        return holding * (y - mean + short) + penalty * short

    best = quantile(penalty / (penalty + holding), mean) if mean > 0 else 0
    low, high, total = best, best, order * rate + g(best)
    for count in range(1, MOST):
        left, right = g(low - 1), g(high + 1)
        if min(left, right) >= total / count:
            return low - 1, count, total / count
        total += min(left, right)
        low, high = (low - 1, high) if left < right else (low, high + 1)
    raise InputError(f"order quantities beyond {MOST} pieces", do="Check the cost of an order and of holding")


def compound(mean: float, sizes: Sequence[float], most: int) -> np.ndarray:
    """Chances (most + 1,) of total demand 0, 1, ..: Poisson(`mean`) times of ordering, each of 1, 2, .. pieces with
    chances `sizes`. Recursion of Panjer 1981, from memory: p_n = mean / n * sum k f_k p_(n-k)."""
    f = np.asarray(sizes, dtype=float)
    if len(f) == 0 or (f < 0).any() or abs(f.sum() - 1) > 1e-9:
        raise InputError("chances of order sizes that do not add up to 1", do="State one for each size from 1 on")
    p = np.zeros(most + 1)
    p[0] = math.exp(-mean)
    weighted = np.arange(1, len(f) + 1) * f
    for n in range(1, most + 1):
        reach = min(n, len(f))
        p[n] = mean / n * float(weighted[:reach] @ p[n - 1 :: -1][:reach])
    return p


@dataclass(frozen=True, slots=True)
class LastOrder:
    """A last order for the years left: pieces, expected cost (discounted), and of it the pieces still printed."""

    pieces: int
    cost: float
    printed: float


def last_order(
    rate: float, years: float, piece: float, instead: float, *, interest: float = 0.0, holding: float = 0.0,
    scrap: float = 0.0, fixed: float = 0.0, least: int = 0,
) -> LastOrder:  # fmt: skip
    """Pieces to buy once (each at `piece`, `fixed` for tooling, at least `least`) when later ones cost `instead` each.

    Demand is Poisson at `rate` [1/year] for `years`. The k-th demand comes at a gamma-distributed time, so that its
    printing costs instead * E[exp(-i T_k); T_k <= H] = instead (rate / (rate + i))^k P(Gamma(k, rate + i) <= H); one
    bought for it is held until then (`holding` of its price a year) and scrapped at H for `scrap` if it is not asked
    for. Pieces are bought while the next costs less than printing it; nothing is, where printing all is cheaper.
    Own derivation; without interest and holding the newsvendor with fractile (instead - piece) / (instead + scrap).
    """
    if not rate * years > 0:
        return LastOrder(0, 0.0, 0.0)
    most = quantile(1 - 1e-9, rate * years) + 2
    k = np.arange(1, most + 1)
    paid = (rate / (rate + interest)) ** k * gammainc(k, (rate + interest) * years)
    asked = gammainc(k, rate * years)
    if interest > 0:
        held = (1 - paid - math.exp(-interest * years) * (1 - asked)) / interest
    else:  # E[min(T_k, H)]
        held = k / rate * gammainc(k + 1, rate * years) + years * (1 - asked)
    buying = piece * (1 + holding * held) + scrap * math.exp(-interest * years) * (1 - asked)
    total = fixed + np.cumsum(buying) + instead * (paid.sum() - np.cumsum(paid))
    allowed = np.flatnonzero(k >= least)
    if least > most or not len(allowed):
        extra = least - most
        total_least = total[-1] + extra * (piece * (1 + holding * years) + scrap * math.exp(-interest * years))
        choice, cost = least, float(total_least)
    else:
        i = int(allowed[np.argmin(total[allowed])])
        choice, cost = i + 1, float(total[i])
    nothing = float(instead * paid.sum())
    if nothing <= cost:
        return LastOrder(0, nothing, rate * years)
    return LastOrder(choice, cost, shortage(rate * years, choice))


@dataclass(frozen=True, slots=True)
class Depot:
    """Two-echelon result: pieces missing at the depot, its delay [time], each base's pipeline and expected shortage."""

    missing: float
    delay: float
    pipeline: float
    short: float


def two_echelon(
    demand: float, repaired: float, repair: float, ship: float, depot_time: float, bases: int, depot: int, base: int
) -> Depot:
    """A depot and equal bases with one-for-one replenishment (METRIC).

    demand by base and time, share `repaired` at the base in `repair`, the rest sent for in `ship` plus the depot's
    delay. Source: Sherbrooke, Operations Research 16 (1968) 122-141, from memory: Poisson pipelines throughout.
    """
    sent = bases * demand * (1 - repaired)
    missing = shortage(sent * depot_time, depot)
    delay = missing / sent
    pipeline = demand * (repaired * repair + (1 - repaired) * (ship + delay))
    return Depot(missing, delay, pipeline, shortage(pipeline, base))
