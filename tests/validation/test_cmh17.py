"""Coupon statistics of the Composite Materials Handbook.

CMH-17-1G, Volume 1 (2012), chapter 8: factors, worked sets and the results of its programs STAT17 and ASAP, as carried
in the tests of the open package cmstatr (S. Kloppenborg, J. Open Source Software 5 (2020) 2265,
doi:10.21105/joss.02265; files test-basis.R, test-basis-factors.R, test-basis-factor-hk.R, test-mnr.R, test-adtest.R,
test-cv.R, test-basis-pooled.R, test-equiv.R). Numbers only; the limits of STAT17 come from rounded factors.
"""

from __future__ import annotations

import numpy as np
import pytest
from compare import Source, compare

from printworthy.evidence import basis, between_batch_limit, lower_limit, tolerance_factor
from printworthy.evidence.coupons import spread
from printworthy.evidence.equivalence import acceptance, mean_change, modified_cv
from printworthy.evidence.fits import fits, significance, stephens_level
from printworthy.evidence.outliers import critical_residual, largest_residual

BOOK = "CMH-17-1G Vol. 1 (2012)"
SET = Source(f"{BOOK}, worked set of 18", "STAT17 results in cmstatr test-basis.R and test-adtest.R", "found")
EXACT = Source("Owen 1968, exact tolerance factors", "non-central t, evaluated outside this package", "derived")
PIVOT = Source("Weibull tolerance factors by simulation", "60 000 drawn samples of a pivotal quantity", "derived")
STEPHENS = Source("D'Agostino and Stephens 1986, normality", "Table 4.7, mean and deviation estimated", "from memory")
FACTORS = Source(f"{BOOK}, tolerance factors", "tables of kB and kA", "found")
HK = Source(f"{BOOK}, Hanson-Koopmans factors", "Table 8.5.14", "found")
LEVELS = Source("Lawless 1982, critical values of Anderson-Darling", "p. 455 and 458, cmstatr test-adtest.R", "found")
RANKS = Source(f"{BOOK}, order statistics", "Tables 8.5.12 and 8.5.13", "found")
MNR = Source(f"{BOOK}, maximum normed residual", "Table 8.5.7 and 8.3.11.1.1", "found")
ANOVA = Source(f"{BOOK}, batches", "8.3.11.2.2", "found")
POOLED = Source(f"{BOOK}, environments with one scatter", "8.3.11.1.1, ASAP results", "found")
EQUIVALENT = Source(f"{BOOK}, equivalence", "worked cases in cmstatr test-equiv.R and test-cv.R", "found")

EIGHTEEN = [
    137.4438, 139.5395, 150.89, 141.4474, 141.8203, 151.8821, 143.9245, 132.9732, 136.6419, 138.1723, 148.7668, 143.283,
    143.5429, 141.7023, 137.4732, 152.338, 144.1589, 128.5218,
]  # fmt: skip
BATCHES = [
    [99.0239966, 103.341238, 100.30213, 98.4634133, 92.264728, 103.487693, 113.734763],
    [108.172659, 108.426732, 116.260375, 121.04961, 111.223082, 104.574843, 103.222552],
    [99.3918538, 87.3421658, 102.730741, 96.3694916, 99.5946088, 97.0712407],
]
ENVIRONMENTS = {
    "CTD": [
        118.3774604, 123.6035612, 115.2238092, 112.6379744, 116.5564277, 123.1649896, 128.5589027, 113.1462103,
        121.4248107, 134.3241906, 129.6405117, 117.9818658, 115.4505226, 120.0369467, 117.1631088, 112.9302797,
        117.9114501, 120.1900159, 110.7295966,
    ],
    "RTD": [
        84.9581364, 92.4891822, 96.8212659, 109.030325, 97.8212659, 100.921519, 103.699444, 93.7908212, 107.526709,
        94.5769704, 93.8831373, 98.2296605, 111.34659, 100.817538, 100.382203, 91.5037811, 100.083233, 95.6393615,
        109.304779, 100.078562, 99.1205847,
    ],
    "ETD": [
        83.7436035, 84.3831677, 94.8030433, 94.3931537, 101.702222, 86.5372121, 92.3772684, 89.2084024, 100.686001,
        81.0444192, 91.339807, 93.1441939, 85.8204168, 94.8966273, 95.806852, 86.7842252, 94.4011973, 96.7231171,
        89.9010384, 89.3672306,
    ],
}  # fmt: skip
# n: kB and kA exact (non-central t, evaluated outside this package), and as the handbook rounds them
TOLERANCE = {
    3: (6.1553, 6.157, 10.5527, 10.553), 5: (3.4066, 3.408, 5.7411, 5.741), 6: (3.0063, 3.007, 5.0620, 5.062),
    10: (2.3546, 2.355, 3.9811, 3.981), 18: (1.9738, 1.974, 3.3703, 3.370), 30: (1.7773, 1.778, 3.0639, 3.064),
    55: (1.6258, 1.626, 2.8326, 2.833), 100: (1.5267, 1.527, 2.6840, 2.684),
}  # fmt: skip


@pytest.mark.parametrize("n", TOLERANCE)
def test_tolerance_factors(n: int) -> None:
    exact_b, book_b, exact_a, book_a = TOLERANCE[n]
    for p, exact, book, name in ((0.90, exact_b, book_b, "kB"), (0.99, exact_a, book_a, "kA")):
        k = tolerance_factor(n, p, 0.95)
        compare(k, exact, abs=1e-4, source=EXACT, quantity=f"{name}, n = {n}")
        compare(k, book, abs=0.002, source=FACTORS, quantity=f"{name}, n = {n}", why="the table is rounded")


def test_limits_of_the_worked_set() -> None:
    why = "published from rounded factors"
    limits = (
        ("normal B", basis.normal_limit(EIGHTEEN, 0.90), 129.287),
        ("normal A", basis.normal_limit(EIGHTEEN, 0.99), 120.336),
        ("lognormal B", basis.lognormal_limit(EIGHTEEN, 0.90), 129.664),
        ("lognormal A", basis.lognormal_limit(EIGHTEEN, 0.99), 121.710),
        ("Weibull B", basis.weibull_limit(EIGHTEEN, 0.90), 125.441),
        ("Weibull A", basis.weibull_limit(EIGHTEEN, 0.99), 109.150),
        ("Hanson-Koopmans B", basis.hanson_koopmans_limit(EIGHTEEN, 0.90), 124.156),
        ("Hanson-Koopmans A (Woodward-Frawley)", basis.hanson_koopmans_limit(EIGHTEEN, 0.99), 99.651),
    )
    for name, computed, published in limits:
        compare(computed, published, rel=5e-4, source=SET, quantity=name, why=why)
    exact = {"normal B": 129.2898, "normal A": 120.3549, "lognormal B": 129.6670, "lognormal A": 121.7265}
    for name, computed, _ in limits[:4]:
        compare(computed, exact[name], rel=1e-6, source=EXACT, quantity=f"{name} of the handbook's set of 18")


def test_fits_of_the_worked_set() -> None:
    x = np.array(EIGHTEEN)
    compare(float(x.mean()), 141.9179, rel=1e-5, source=SET, quantity="mean")
    compare(float(x.std(ddof=1)), 6.39788, rel=1e-5, source=SET, quantity="standard deviation")
    cv = lower_limit(EIGHTEEN, p=0.90, confidence=0.95).cv
    compare(100 * cv, 4.508, abs=6e-4, source=SET, quantity="coefficient of variation [%]", why="3 decimals")
    normal, lognormal, weibull = fits(EIGHTEEN)
    compare(weibull.scale, 24.8106, rel=1e-4, source=SET, quantity="Weibull shape")
    compare(weibull.place, 144.8872, rel=1e-4, source=SET, quantity="Weibull scale")
    for fit, a2, level, loose in ((normal, 0.28497, 0.465, 0.002), (lognormal, 0.277, 0.480, 0.005),
                                  (weibull, 0.51139, 0.179, 0.002)):  # fmt: skip
        compare(fit.statistic, a2, abs=loose, source=SET, quantity=f"Anderson-Darling statistic, {fit.family}")
        compare(fit.significance, level, abs=0.002, source=SET, quantity=f"significance level, {fit.family}")


def test_significance_at_critical_values() -> None:
    """Lawless 1982, p. 458 (normal) and 455 (Weibull), as carried in cmstatr test-adtest.R: levels of the corrected
    statistic. The formula of the handbook is a fit of them."""
    normal = {0.15: 0.576, 0.10: 0.656, 0.05: 0.787, 0.025: 0.918, 0.01: 1.092}
    weibull = {0.25: 0.474, 0.10: 0.637, 0.05: 0.757, 0.025: 0.877, 0.01: 1.038}
    many = 10**9  # the statistic itself is the corrected one
    for family, table in (("normal", normal), ("Weibull", weibull)):
        for level, critical in table.items():
            found = significance(family, critical, many)  # type: ignore[arg-type]
            compare(found, level, rel=0.06, source=LEVELS, quantity=f"{family}: level of {critical}",
                    why="the formula is a fit of the tables")  # fmt: skip


def test_levels_of_a_second_correction() -> None:
    many = 10**9  # the statistic itself is the corrected one
    for level, critical in {0.10: 0.631, 0.05: 0.752, 0.025: 0.873, 0.01: 1.035}.items():
        found = stephens_level(critical, many)
        compare(found, level, rel=0.02, source=STEPHENS, quantity=f"level of {critical}", why="curves fitted to tables")


def test_weibull_factors() -> None:
    why = "the handbook's formula is an approximation"
    for p, name, table in (
        (0.90, "V_B", {10: 6.79, 18: 5.61, 30: 5.06}),
        (0.99, "V_A", {10: 12.75, 18: 10.35, 30: 9.24}),
    ):
        for n, simulated in table.items():
            found = basis.weibull_factor(n, p)
            compare(found, simulated, rel=0.04, source=PIVOT, quantity=f"{name}, n = {n}", why=why)
    for p, name, told in ((0.90, "V_B", 5.6225), (0.99, "V_A", 10.2967)):
        compare(basis.weibull_factor(18, p), told, abs=6e-5, source=SET, quantity=f"Weibull factor {name}, n = 18")


@pytest.mark.parametrize(
    ("n", "order", "k"),
    [(3, 3, 7.859), (5, 4, 4.101), (6, 5, 3.064), (10, 6, 2.137), (15, 8, 1.540), (18, 9, 1.354), (20, 10, 1.253),
     (28, 12, 1.010)],
)  # fmt: skip
def test_hanson_koopmans_factors(n: int, order: int, k: float) -> None:
    computed = basis.hanson_koopmans_factor(n, order, 0.90)
    compare(computed, k, abs=6e-4, source=HK, quantity=f"k, n = {n}, order {order}", why="3 decimals")
    # at 20 and 28 two neighbouring orders come equally near (to 0.02 %) and the table has the other one
    assert basis.best_order(n, 0.90) == (order if n not in (20, 28) else order - 1)


def test_order_statistics() -> None:
    for p, rank, n in ((0.99, 1, 299), (0.99, 2, 473), (0.99, 3, 628), (0.90, 1, 29), (0.90, 3, 61)):
        smallest = next(m for m in range(2, 700) if (basis.order_statistic(m, p) or 0) >= rank)
        compare(smallest, n, abs=0.1, source=RANKS, quantity=f"fewest values for rank {rank}, p = {p:g}")


def test_largest_residuals() -> None:
    table = {3: 1.154, 4: 1.481, 5: 1.715, 6: 1.887, 7: 2.020, 8: 2.127, 10: 2.290, 15: 2.548, 18: 2.652, 20: 2.708,
             30: 2.908, 50: 3.128, 100: 3.384}  # fmt: skip
    for n, critical in table.items():
        compare(critical_residual(n), critical, abs=0.001, source=MNR, quantity=f"critical value, n = {n}")
    calm = [99.3207107, 115.86177, 82.6133082, 85.3690411, 115.801622, 44.3217741, 117.328077, 88.6782903]
    odd = [107.676986, 108.960241, 116.12264, 80.2334815, 106.14557, 104.667866, 104.234953]
    for name, values, statistic, outlier in (("batch of 8", calm, 2.008, False), ("batch of 7", odd, 2.119, True)):
        found = largest_residual(values)
        assert found is not None
        compare(found.statistic, statistic, abs=0.001, source=MNR, quantity=f"residual, {name}")
        assert found.outlier is outlier


def test_batches() -> None:
    s = spread(BATCHES)
    compare(s.between, 304.427, rel=1e-5, source=ANOVA, quantity="mean square between batches")
    compare(s.within, 37.6924, rel=1e-5, source=ANOVA, quantity="mean square within batches")
    compare(s.size, 6.65, rel=1e-5, source=ANOVA, quantity="effective batch size")
    for p, published, exact, name in ((0.90, 63.2, 63.2028, "B"), (0.99, 34.6, 34.5776, "A")):
        limit = between_batch_limit(BATCHES, p=p, confidence=0.95)
        compare(limit, published, abs=0.05, source=ANOVA, quantity=f"{name}-basis", why="1 decimal")
        compare(limit, exact, rel=2e-6, source=EXACT, quantity=f"{name}-basis across the handbook's three batches")


def test_environments_that_share_a_scatter() -> None:
    limits = basis.pooled_limits(list(ENVIRONMENTS.values()), 0.90)
    for name, computed, published in zip(ENVIRONMENTS, limits, (108.7, 88.52, 80.68), strict=True):
        why = "published from an approximate factor"
        compare(computed, published, rel=1e-3, source=POOLED, quantity=f"B-basis, {name}", why=why)


def test_equivalence() -> None:
    sample = [145.055, 148.329, 142.667, 141.795, 144.139, 135.923, 136.177, 133.523, 134.350]
    for modified, lowest, mean in ((False, 123.725, 137.197), (True, 117.024, 135.630)):
        found = acceptance(141.310, 6.415, sample, modified=modified)
        name = "modified scatter" if modified else "scatter as measured"
        compare(found.lowest_allowed, lowest, rel=1e-4, source=EQUIVALENT, quantity=f"lowest allowed, {name}")
        compare(found.mean_allowed, mean, rel=1e-4, source=EQUIVALENT, quantity=f"mean allowed, {name}")
        if not modified:
            compare(found.lowest, 133.523, rel=1e-6, source=EQUIVALENT, quantity="lowest of the sample")
            compare(found.mean, 140.218, rel=5e-6, source=EQUIVALENT, quantity="mean of the sample")
        assert found.accepted
    raised = acceptance(100.0, 5.5, [100.0] * 6, 0.01, modified=True)  # n = 6 alone sets the limits
    for limit, published, name in (
        (raised.lowest_allowed, 78.88367, "lowest"),
        (raised.mean_allowed, 92.95069, "mean"),
    ):
        quantity = f"{name} allowed, mean 100, deviation 5.5, n = 6, 1 %, modified scatter"
        compare(limit, published, rel=1e-4, source=EQUIVALENT, quantity=quantity)
    why = "inputs given to three digits"
    for modified, t, low, high, changed in ((False, -3.565, 9.115, 9.365, True), (True, -1.165, 8.857, 9.623, False)):
        change = mean_change((28, 9.24, 0.162), (9, 9.02, 0.15785), modified=modified)
        name = "modified scatter" if modified else "scatter as measured"
        compare(change.critical, 2.0301, abs=6e-5, source=EQUIVALENT, quantity=f"critical t, 35 degrees, {name}")
        compare(change.statistic, t, abs=0.005, source=EQUIVALENT, quantity=f"t of a changed mean, {name}", why=why)
        compare(change.low, low, abs=0.001, source=EQUIVALENT, quantity=f"low end of the band, {name}", why=why)
        compare(change.high, high, abs=0.001, source=EQUIVALENT, quantity=f"high end of the band, {name}", why=why)
        assert change.changed is changed


def test_modified_scatter() -> None:
    for cv, raised in ((0.01, 0.06), (0.0454, 0.0627), (0.09, 0.09)):
        compare(modified_cv(cv), raised, rel=1e-6, source=EQUIVALENT, quantity=f"modified cv of {100 * cv:g} %")
