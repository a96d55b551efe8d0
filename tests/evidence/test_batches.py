"""Batches against CMH-17-1G 8.3.11.2.2 (worked set and limits in the tests of cmstatr, test-basis.R)."""

from __future__ import annotations

import pytest

from printworthy.errors import CardError
from printworthy.evidence import between_batch_limit
from printworthy.evidence.coupons import batches_differ, spread

BATCHES = [
    [99.0239966, 103.341238, 100.30213, 98.4634133, 92.264728, 103.487693, 113.734763],
    [108.172659, 108.426732, 116.260375, 121.04961, 111.223082, 104.574843, 103.222552],
    [99.3918538, 87.3421658, 102.730741, 96.3694916, 99.5946088, 97.0712407],
]


def test_mean_squares() -> None:
    s = spread(BATCHES)
    assert (s.between, s.within, s.size) == pytest.approx((304.427, 37.6924, 6.65), rel=1e-5)


@pytest.mark.parametrize(("p", "published"), [(0.90, 63.2), (0.99, 34.6)])
def test_published_limits(p: float, published: float) -> None:
    assert between_batch_limit(BATCHES, p=p, confidence=0.95) == pytest.approx(published, abs=0.05)


def test_these_batches_differ_and_the_first_does_not_differ_from_its_halves() -> None:
    assert batches_differ(BATCHES)
    assert not batches_differ([BATCHES[0][::2], BATCHES[0][1::2]])


def test_single_coupons_cannot_be_told_apart() -> None:
    assert not batches_differ([[10.0], [50.0], [90.0]])
    with pytest.raises(CardError, match="cannot be compared"):
        spread([[10.0], [50.0], [90.0]])


def test_least_scatter_lowers_the_limit() -> None:
    free = between_batch_limit(BATCHES, p=0.90, confidence=0.95)
    assert between_batch_limit(BATCHES, p=0.90, confidence=0.95, minimum_deviation=12.0) < free - 5
