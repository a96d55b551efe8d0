"""k-sample Anderson-Darling: smoothness of paper from four laboratories.

F. W. Scholz and M. A. Stephens, K-sample Anderson-Darling tests, J. Amer. Statist. Assoc. 82 (1987) 918, example;
values also in cmstatr test-adk.R. The second program is scipy.
"""

from __future__ import annotations

from compare import Source, compare
from scipy import stats

from printworthy.evidence.batches import k_sample

SOURCE = Source("Scholz and Stephens 1987, smoothness of paper", "example", "found")
OTHER = Source("scipy, anderson_ksamp", "same data", "another program")
LABS = [
    [38.7, 41.5, 43.8, 44.5, 45.5, 46.0, 47.7, 58.0],
    [39.2, 39.3, 39.7, 41.4, 41.8, 42.9, 43.3, 45.8],
    [34.0, 35.0, 39.0, 40.0, 43.0, 43.0, 44.0, 45.0],
    [34.0, 34.8, 34.8, 35.4, 37.2, 37.8, 41.2, 42.8],
]


def test_statistics() -> None:
    ranks, mid = k_sample(LABS), k_sample(LABS, midranks=True)
    compare(ranks.statistic, 8.3559, abs=6e-5, source=SOURCE, quantity="A2kN")
    compare(mid.statistic, 8.3926, abs=6e-5, source=SOURCE, quantity="A2akN")
    compare(ranks.deviation, 1.2038, abs=6e-5, source=SOURCE, quantity="standard deviation")
    compare(ranks.standard, 4.4493, abs=6e-5, source=SOURCE, quantity="standardised A2kN")
    compare(mid.standard, 4.4798, abs=6e-5, source=SOURCE, quantity="standardised A2akN")
    compare(mid.significance, 0.0022, abs=6e-5, source=SOURCE, quantity="significance of A2akN")
    compare(ranks.significance, 0.0023, abs=6e-5, source=SOURCE, quantity="significance of A2kN")
    assert ranks.differ


def test_another_program_agrees() -> None:
    for variant, midranks in (("midrank", True), ("right", False)):
        chance = stats.PermutationMethod(n_resamples=9, rng=7)  # only the statistic is compared
        other = stats.anderson_ksamp(LABS, variant=variant, method=chance)
        computed = k_sample(LABS, midranks=midranks).standard
        compare(computed, float(other.statistic), rel=1e-9, source=OTHER, quantity=f"standardised statistic, {variant}")


def test_another_program_agrees_on_the_significance() -> None:
    # three laboratories, so that the level lies well inside the table
    for variant, midranks in (("midrank", True), ("right", False)):
        other = stats.anderson_ksamp(LABS[:3], variant=variant)
        computed = k_sample(LABS[:3], midranks=midranks).significance
        compare(computed, float(other.pvalue), rel=1e-9, source=OTHER, quantity=f"significance, {variant}")


def test_critical_value_at_the_level_of_the_handbook() -> None:
    # Scholz and Stephens 1987, Table 1 (from memory) at m = 3: 1.960 + 1.149/sqrt(3) - 0.391/3
    assert abs(k_sample(LABS).critical - 2.4930) < 1e-4
