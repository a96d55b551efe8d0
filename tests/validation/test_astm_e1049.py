"""Counting cycles in a course of load.

ASTM E1049-85, Standard practices for cycle counting in fatigue analysis: the history of Fig. 6 and its counts, as in
the tests of the public library iamlikeme/rainflow (found there); the same history repeated (5.4.5) from memory.
"""

from __future__ import annotations

from collections import Counter

from compare import Source, compare

from printworthy.evidence.damage import rainflow_cycles

SOURCE = Source("ASTM E1049-85", "Fig. 6, counts by range and mean", "found")
REPEATED = Source("ASTM E1049-85, repeating history", "5.4.5 on the history of Fig. 6", "from memory")
PUBLIC = Source("Rainflow, a course of 23 values", "tests of the public library iamlikeme/rainflow", "found")
FIGURE_6 = (-2, 1, -3, 5, -1, 3, -4, 4, -2)
LONG = (-1.5, 1, -3, 10, -1, 3, -8, 4, -2, 6, -1, -4, -8, 2, 1, -5, 0, 2.5, -4, 1, 0, 2, -0.5)  # also in that library


def counts(course: tuple[float, ...], *, repeats: bool = False) -> Counter[float]:
    found: Counter[float] = Counter()
    for c in rainflow_cycles(course, repeats=repeats):
        found[c.range] += c.count
    return found


def test_figure_6() -> None:
    found = counts(FIGURE_6)
    assert set(found) == {3, 4, 6, 8, 9}
    for size, count in {3: 0.5, 4: 1.5, 6: 0.5, 8: 1.0, 9: 0.5}.items():
        compare(found[size], count, abs=1e-12, source=SOURCE, quantity=f"cycles of range {size}")
    means = {(c.range, c.mean): c.count for c in rainflow_cycles(FIGURE_6)}
    published = {
        (3, -0.5): 0.5,
        (4, -1.0): 0.5,
        (4, 1.0): 1.0,
        (8, 1.0): 0.5,
        (9, 0.5): 0.5,
        (8, 0.0): 0.5,
        (6, 1.0): 0.5,
    }
    assert set(means) == set(published)
    for (size, mean), count in published.items():
        compare(means[size, mean], count, abs=1e-12, source=SOURCE, quantity=f"cycles of range {size} about {mean:g}")


def test_figure_6_again_and_again() -> None:
    found = counts(FIGURE_6, repeats=True)
    assert set(found) == {9, 7, 4, 3}
    means = {c.range: c.mean for c in rainflow_cycles(FIGURE_6, repeats=True)}
    for size, mean in {9: 0.5, 7: 0.5, 4: 1.0, 3: -0.5}.items():
        compare(found[size], 1.0, abs=1e-12, source=REPEATED, quantity=f"cycles of range {size}")
        compare(means[size], mean, abs=1e-12, source=REPEATED, quantity=f"mean of the cycle of range {size}")


def test_a_longer_course() -> None:
    expected = {1: 1, 2.5: 1, 4: 1.5, 6: 1.5, 6.5: 0.5, 7: 1, 10.5: 0.5, 13: 0.5, 14: 1, 18: 0.5}
    found = counts(LONG)
    assert set(found) == set(expected)
    for size, count in expected.items():
        compare(found[size], count, abs=1e-12, source=PUBLIC, quantity=f"cycles of range {size:g}")
