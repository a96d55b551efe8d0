"""Lower limits against CMH-17-1G Vol. 1 (2012) factors and worked sets, as given in the tests of the open statistics
package cmstatr (test-basis-factors.R, test-basis.R), and against the NIST/SEMATECH e-Handbook 7.2.6.3."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.errors import CardError
from printworthy.evidence import lower_limit, tolerance_factor

# n, kB exact, kB in CMH-17-1G, kA exact, kA in CMH-17-1G
FACTORS = [
    (3, 6.1553, 6.157, 10.5527, 10.553),
    (5, 3.4066, 3.408, 5.7411, 5.741),
    (6, 3.0063, 3.007, 5.0620, 5.062),
    (10, 2.3546, 2.355, 3.9811, 3.981),
    (18, 1.9738, 1.974, 3.3703, 3.370),
    (30, 1.7773, 1.778, 3.0639, 3.064),
    (55, 1.6258, 1.626, 2.8326, 2.833),
    (100, 1.5267, 1.527, 2.6840, 2.684),
]


@pytest.mark.parametrize(("n", "exact_b", "book_b", "exact_a", "book_a"), FACTORS)
def test_factors_of_the_handbook(n: int, exact_b: float, book_b: float, exact_a: float, book_a: float) -> None:
    b, a = tolerance_factor(n, 0.90, 0.95), tolerance_factor(n, 0.99, 0.95)
    assert b == pytest.approx(exact_b, abs=1e-4)
    assert a == pytest.approx(exact_a, abs=1e-4)
    assert b == pytest.approx(book_b, abs=0.002)  # the table is rounded
    assert a == pytest.approx(book_a, abs=0.002)


def test_factor_is_exact_not_natrellas_approximation() -> None:
    # NIST/SEMATECH 7.2.6.3: n = 43, p = 0.90, confidence 0.99: approximation 1.8752, exact 1.8740.
    assert tolerance_factor(43, 0.90, 0.99) == pytest.approx(1.8740, abs=1e-4)


def test_factor_against_simulation() -> None:
    """The promise itself: in 95 % of samples the limit lies below the value that 90 % of parts exceed."""
    rng = np.random.default_rng(70613)
    x = rng.normal(size=(200_000, 5))
    held = (x.mean(axis=1) - tolerance_factor(5, 0.90, 0.95) * x.std(axis=1, ddof=1)) <= -1.2815516
    assert held.mean() == pytest.approx(0.95, abs=0.002)  # four standard errors of 200 000 draws


@pytest.mark.parametrize(("n", "p", "confidence"), [(1, 0.9, 0.95), (5, 1.0, 0.95), (5, 0.9, 0.0)])
def test_factor_refuses(n: int, p: float, confidence: float) -> None:
    with pytest.raises(CardError, match="no tolerance factor"):
        tolerance_factor(n, p, confidence)


# STAT17 / CMH-17 worked set, n = 18 (cmstatr test-basis.R). The published limits come from the rounded factors.
STAT17 = [
    137.4438, 139.5395, 150.89, 141.4474, 141.8203, 151.8821, 143.9245, 132.9732, 136.6419,
    138.1723, 148.7668, 143.283, 143.5429, 141.7023, 137.4732, 152.338, 144.1589, 128.5218,
]  # fmt: skip


def test_worked_set_is_the_open_file() -> None:
    path = Path(__file__).parents[3] / "shared/data/coupons/strength_sample_n18.csv"
    if not path.exists():
        pytest.skip(f"open data not here: {path}")
    with path.open(encoding="utf-8") as file:
        assert [float(row["strength"]) for row in csv.DictReader(file)] == STAT17


@pytest.mark.parametrize(
    ("distribution", "p", "published", "exact"),
    [
        ("normal", 0.90, 129.287, 129.2898),
        ("normal", 0.99, 120.336, 120.3549),
        ("lognormal", 0.90, 129.664, 129.6670),
        ("lognormal", 0.99, 121.710, 121.7265),
    ],
)
def test_worked_set(distribution: str, p: float, published: float, exact: float) -> None:
    limit = lower_limit(STAT17, p=p, confidence=0.95, distribution=distribution)  # type: ignore[arg-type]
    assert limit.value == pytest.approx(published, rel=5e-4)
    assert limit.value == pytest.approx(exact, rel=1e-6)
    assert limit.mean == pytest.approx(141.9179, rel=1e-5)
    assert limit.cv == pytest.approx(0.04508, rel=1e-4)
    assert (limit.n, limit.usable) == (18, True)


# Five glass-filled ABS coupons each way, N over mm2 (joshcarter/tensile_test, BSD); limits by hand from the factors.
FLAT = [f / 25 for f in (1143.20, 1202.85, 1263.80, 1207.58, 1266.75)]
UPRIGHT = [f / 50 for f in (775.59, 472.80, 672.45, 462.52, 599.72)]


@pytest.mark.parametrize(
    ("values", "distribution", "p", "expected"),
    [
        (FLAT, "normal", 0.90, 41.7251),
        (FLAT, "normal", 0.99, 36.9636),
        (FLAT, "lognormal", 0.90, 42.1205),
        (FLAT, "lognormal", 0.99, 38.1655),
        (UPRIGHT, "normal", 0.90, 2.8484),
        (UPRIGHT, "normal", 0.99, -3.3765),
        (UPRIGHT, "lognormal", 0.90, 5.4594),
        (UPRIGHT, "lognormal", 0.99, 3.2389),
    ],
)
def test_raw_prints(values: list[float], distribution: str, p: float, expected: float) -> None:
    limit = lower_limit(values, p=p, confidence=0.95, distribution=distribution)  # type: ignore[arg-type]
    assert limit.value == pytest.approx(expected, abs=1e-4)
    assert limit.usable == (expected > 0)


def test_a_negative_limit_says_that_five_are_too_few() -> None:
    limit = lower_limit(UPRIGHT, p=0.99, confidence=0.95, distribution="normal")
    assert "not usable with n = 5" in limit.words


def test_least_scatter_acts_on_the_log_scale() -> None:
    # Lognormal with coefficient of variation c: standard deviation of the logarithm is sqrt(ln(1 + c^2)).
    same = [50.0, 50.0, 50.0]
    limit = lower_limit(same, p=0.90, confidence=0.95, minimum_cv=0.12)
    assert limit.value == pytest.approx(50 * math.exp(-6.1553 * math.sqrt(math.log(1.0144))), rel=1e-5)
    assert "raised to the stated minimum" in limit.words
    assert lower_limit(same, p=0.90, confidence=0.95).value == pytest.approx(50.0, rel=1e-12)


@pytest.mark.parametrize("values", [[], [50.0], [50.0, 51.0]])
def test_fewer_than_three_give_no_limit(values: list[float]) -> None:
    with pytest.raises(CardError, match="give no lower limit"):
        lower_limit(values, p=0.90, confidence=0.95)


@pytest.mark.parametrize("bad", [0.0, -3.0, math.nan, math.inf])
def test_a_strength_must_be_a_positive_number(bad: float) -> None:
    with pytest.raises(CardError, match="not a positive number"):
        lower_limit([50.0, 51.0, bad], p=0.90, confidence=0.95)


@given(st.lists(st.floats(1, 200), min_size=3, max_size=12), st.floats(0.1, 10))
def test_limit_scales_with_the_unit(values: list[float], scale: float) -> None:
    one = lower_limit(values, p=0.90, confidence=0.95, minimum_cv=0.06)
    other = lower_limit([scale * v for v in values], p=0.90, confidence=0.95, minimum_cv=0.06)
    assert other.value == pytest.approx(scale * one.value, rel=1e-9)
    assert 0 < one.value < max(values)


@given(st.integers(3, 40), st.floats(0.5, 0.98), st.floats(0.5, 0.98))
def test_more_coupons_more_parts_and_more_confidence_move_the_factor(n: int, p: float, confidence: float) -> None:
    k = tolerance_factor(n, p, confidence)
    assert tolerance_factor(n, p + 0.01, confidence) > k
    assert tolerance_factor(n, p, confidence + 0.01) > k
    if confidence > 0.9:
        assert tolerance_factor(n + 1, p, confidence) < k
