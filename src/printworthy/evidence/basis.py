"""Lower limits of one set of coupons by the distributions of CMH-17, beside the one the decisions use (`coupons`).

Each holds for a share `p` of all parts with 95 % confidence: p = 0.90 is the B-basis, 0.99 the A-basis.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

import numpy as np
from scipy import optimize
from scipy.special import bdtrc, betainc, betaln, nctdtrit, ndtr, ndtri, xlog1py, xlogy

from printworthy.errors import CardError
from printworthy.evidence.coupons import tolerance_factor
from printworthy.evidence.fits import weibull

CONFIDENCE = 0.95
NODES, WEIGHTS = np.polynomial.legendre.leggauss(300)  # the integrands are smooth: twelve digits and more


def normal_limit(values: Sequence[float], p: float) -> float:
    """mean - k s [MPa] of strengths (n,), k exact; may be negative, which says that n is too small."""
    x = np.asarray(values, dtype=float)
    return float(x.mean()) - tolerance_factor(len(x), p, CONFIDENCE) * float(x.std(ddof=1))


def lognormal_limit(values: Sequence[float], p: float) -> float:
    """exp(mean(ln x) - k s(ln x)) [MPa] of strengths (n,)."""
    return math.exp(normal_limit(np.log(np.asarray(values, dtype=float)).tolist(), p))


def weibull_factor(n: int, p: float) -> float:
    """V [-] of the Weibull limit q exp(-V / (shape sqrt(n))): MIL-HDBK-17-1F 8.3.4.3 (memory, confirmed by its set).

    V_B = 3.803 + exp(1.79 - 0.516 ln n + 5.1 / (n - 1)), V_A = 6.649 + exp(2.55 - 0.526 ln n + 4.76 / n): within 4 %
    of simulation for n >= 10, above it for fewer (V_B by a quarter at five), which makes the limit a low one. CardError
    for another p than 0.90 and 0.99.
    """
    if p == 0.90:
        return 3.803 + math.exp(1.79 - 0.516 * math.log(n) + 5.1 / (n - 1))
    if p == 0.99:
        return 6.649 + math.exp(2.55 - 0.526 * math.log(n) + 4.76 / n)
    raise CardError(f"no Weibull factor for p = {p:g}", do="Ask for 0.90 or 0.99")


def weibull_limit(values: Sequence[float], p: float) -> float:
    """Weibull limit [MPa] of strengths (n,), n >= 3, not all equal: scale (-ln p)^(1/shape) exp(-V/(shape sqrt(n)))."""
    shape, scale = weibull(values)
    n = len(values)
    return scale * (-math.log(p)) ** (1 / shape) * math.exp(-weibull_factor(n, p) / (shape * math.sqrt(n)))


@cache
def hanson_koopmans_factor(n: int, order: int, p: float) -> float:
    """z [-] of the limit x_(r) (x_(1) / x_(r))^z, r = `order`, for any distribution of ln x with a log-concave F.

    The concave bound gives F(limit) <= U_r V^z, with U_r ~ Beta(r, n - r + 1) and V = U_1 / U_r ~ Beta(1, r - 1) apart
    from it; z makes that at most 1 - p with 95 % confidence. D. L. Hanson and L. H. Koopmans, Ann. Math. Statist. 35
    (1964) 1561; M. G. Vangel, Technometrics 36 (1994) 262. CMH-17-1G Tables 8.5.14 and 8.5.15 list it.
    """

    u = (1 - p) + p * (NODES + 1) / 2
    density = _ordered(u, order, n) * WEIGHTS * p / 2
    sure = float(betainc(order, n - order + 1, 1 - p))

    def promise(z: float) -> float:
        within = ((1 - p) / u) ** (1 / z)
        return sure + float((density * (1 - (1 - within) ** (order - 1))).sum())

    return float(optimize.brentq(lambda z: promise(z) - CONFIDENCE, 1e-3, 200.0, xtol=1e-10))


def _ordered(u: np.ndarray, rank: int | np.ndarray, n: int) -> np.ndarray:
    """Density at u of the ordered value number `rank` of n uniform ones: Beta(rank, n - rank + 1)."""
    return np.asarray(np.exp(xlogy(rank - 1, u) + xlog1py(n - rank, -u) - betaln(rank, n - rank + 1)))


def _normal_scores(n: int) -> np.ndarray:
    """Expected ordered values (n,) of n standard normal values."""
    x = 9 * NODES
    rank = np.arange(1, n + 1)[:, None]
    density = _ordered(ndtr(x), rank, n) * np.exp(-x * x / 2) / math.sqrt(2 * math.pi)
    return np.asarray((x * density) @ (9 * WEIGHTS))


@cache
def best_order(n: int, p: float) -> int:
    """Order r of the Hanson-Koopmans limit that comes nearest to the normal quantile on average (Vangel 1994)."""
    scores, aim = _normal_scores(n), float(ndtri(1 - p))

    def miss(r: int) -> float:
        z = hanson_koopmans_factor(n, r, p)
        return abs(float(z * scores[0] + (1 - z) * scores[r - 1]) - aim)

    return min(range(2, n + 1), key=miss)


def hanson_koopmans_limit(values: Sequence[float], p: float) -> float:
    """Distribution-free limit [MPa] of strengths (n,): optimum order for p = 0.90 (n <= 28), Woodward-Frawley (first
    and last) for p = 0.99 (n < 299), as CMH-17-1G 8.3.4.5.

    CardError for a set so large that an order statistic serves (`order_statistic`), or fewer than two.
    """
    x = np.sort(np.asarray(values, dtype=float))
    n, most = len(x), 28 if p < 0.95 else 298
    if not 2 <= n <= most:
        raise CardError(f"{n} values are not 2 to {most}", do="Use an order statistic for a large set")
    r = best_order(n, p) if p < 0.95 else n
    return float(x[r - 1] * (x[0] / x[r - 1]) ** hanson_koopmans_factor(n, r, p))


def order_statistic(n: int, p: float) -> int | None:
    """Rank (1 = smallest) of the value that bounds the share `p` from below with 95 % confidence; None for too few.

    Largest r with 1 - Binomial(n, 1 - p).cdf(r - 1) >= 0.95; CMH-17-1G Tables 8.5.12 and 8.5.13.
    """
    rank = 0
    while bdtrc(rank, n, 1 - p) >= CONFIDENCE:
        rank += 1
    return rank or None


def pooled_limits(samples: Sequence[Sequence[float]], p: float) -> tuple[float, ...]:
    """Limits (k,) of samples (k, n_i) that share one scatter, such as environments of one polymer, CMH-17-1G 8.3.5.4.

    mean_i - k_i s with s^2 the pooled variance of N - k degrees of freedom and k_i = t'(0.95; N - k, z_p sqrt(n_i)) /
    sqrt(n_i), exact. CardError where no sample holds two values.
    """
    groups = [np.asarray(s, dtype=float) for s in samples]
    freedom = sum(len(g) for g in groups) - len(groups)
    if freedom < 1:
        raise CardError("samples have no scatter to pool", do="One sample of two values or more is needed")
    deviation = math.sqrt(sum(float(((g - g.mean()) ** 2).sum()) for g in groups) / freedom)
    limits = []
    for g in groups:
        root = math.sqrt(len(g))
        k = float(nctdtrit(freedom, ndtri(p) * root, CONFIDENCE)) / root
        limits.append(float(g.mean()) - k * deviation)
    return tuple(limits)
