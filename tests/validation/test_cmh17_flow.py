"""The recommended basis against the handbook's own choices.

CMH-17-1G, Volume 1 (2012), 8.3.11: five environments of one laminate, three batches each. 8.3.11.1.1 says which may be
pooled (k-sample Anderson-Darling as statistic over k - 1); 8.3.11.2.1 finds no distribution for the warm-wet set and
takes the nonparametric basis; 8.3.11.2.2 takes the analysis of variance for the second warm-wet set. Data and results
as carried in the tests of the open package cmstatr (test-adk.R, test-levene.R, test-basis.R and its validation page).
"""

from __future__ import annotations

import pytest
from compare import Source, compare
from test_cmh17 import BATCHES, ENVIRONMENTS

from printworthy.evidence.batches import k_sample
from printworthy.evidence.fits import fits
from printworthy.evidence.recommend import levene, recommended

BOOK = "CMH-17-1G Vol. 1 (2012), the flow"
POOL = Source(f"{BOOK}, may batches be pooled", "8.3.11.1.1, ASAP results", "found")
FREE = Source(f"{BOOK}, no distribution", "8.3.11.2.1, STAT17 results", "found")
ACROSS = Source(f"{BOOK}, batches apart", "8.3.11.2.2, STAT17 results", "found")
WARM_WET = [
    [106.357525, 105.898733, 88.4640082, 103.901744, 80.2058219, 109.199597, 61.0139431],
    [99.3207107, 115.86177, 82.6133082, 85.3690411, 115.801622, 44.3217741, 117.328077, 88.6782903],
    [107.676986, 108.960241, 116.12264, 80.2334815, 106.14557, 104.667866, 104.234953],
]
SIZES = {"CTD": (6, 6, 7), "ETD": (7, 6, 7)}


def parted(name: str) -> list[list[float]]:
    """The batches of an environment."""
    values, parts = iter(ENVIRONMENTS[name]), SIZES[name]
    return [[next(values) for _ in range(n)] for n in parts]


@pytest.mark.parametrize(("name", "batches", "statistic", "apart"), [
    ("ETW", WARM_WET, 0.793, False), ("ETW2", BATCHES, 3.024, True),
])  # fmt: skip
def test_may_batches_be_pooled(name: str, batches: list[list[float]], statistic: float, apart: bool) -> None:
    found = k_sample(batches, midranks=True)
    compare(
        found.statistic / 2,
        statistic,
        abs=6e-4,
        source=POOL,
        quantity=f"statistic over k - 1, {name}",
        why="3 decimals",
    )
    assert found.differ is apart


def test_equal_variances() -> None:
    for name, batches, f, differ in (("ETW2", BATCHES, 0.123, False), ("CTD", parted("CTD"), 3.850, True),
                                     ("ETD", parted("ETD"), 0.723, False)):  # fmt: skip
        found = levene(batches)
        assert found is not None
        compare(found.statistic, f, abs=0.005, source=ACROSS, quantity=f"Levene's F, {name}", why="3 decimals")
        assert found.differ is differ  # F(0.95; 2, 16) = 3.63


def test_no_distribution_is_left() -> None:
    levels = {f.family: f.significance for f in fits([x for b in WARM_WET for x in b])}
    for family, level in (("normal", 0.006051), ("lognormal", 0.000307), ("Weibull", 0.0219)):
        compare(levels[family], level, rel=2e-3, source=FREE, quantity=f"significance, {family}")  # type: ignore[index]
    found = recommended(WARM_WET)
    assert found is not None
    assert found.b is not None
    assert found.a is not None
    assert found.method.startswith("no distribution, Hanson-Koopmans")
    compare(found.b, 37.9, abs=0.05, source=FREE, quantity="B-basis, nonparametric", why="1 decimal")
    compare(found.a, 13.0, abs=0.05, source=FREE, quantity="A-basis, nonparametric", why="1 decimal")


def test_batches_that_differ() -> None:
    found = recommended(BATCHES)
    assert found is not None
    assert found.b is not None
    assert found.a is not None
    assert found.method == "analysis of variance"
    compare(found.b, 63.2, abs=0.05, source=ACROSS, quantity="recommended B-basis", why="1 decimal")
    compare(found.a, 34.6, abs=0.05, source=ACROSS, quantity="recommended A-basis", why="1 decimal")
    assert any("fewer than 5" in c for c in found.cautions)
