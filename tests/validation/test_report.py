"""The report on disk has a row for every comparison, and the comparison refuses what it should."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from compare import ROWS, Row, Source, compare, line, names

REPORT = Path(__file__).parents[2] / "docs" / "validation.md"
SOURCE = Source("Nobody 1900", "page 1", "derived")


def test_a_comparison_needs_one_tolerance() -> None:
    with pytest.raises(ValueError, match="state one tolerance"):
        compare(1.0, 1.0, source=SOURCE, quantity="a")
    with pytest.raises(ValueError, match="state one tolerance"):
        compare(1.0, 1.0, source=SOURCE, quantity="a", rel=0.01, abs=0.01)


def test_a_wide_tolerance_needs_a_reason() -> None:
    with pytest.raises(ValueError, match="needs a reason"):
        compare(1.0, 1.0, source=SOURCE, quantity="a", rel=0.2)


def test_a_relative_tolerance_of_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="must be positive"):
        compare(0.0, 0.0, source=SOURCE, quantity="a", rel=0.01)


def test_a_difference_beyond_the_tolerance_fails() -> None:
    with pytest.raises(AssertionError, match=r"computed 1\.02, published 1"):
        compare(1.02, 1.0, source=SOURCE, quantity="a", rel=0.01)
    with pytest.raises(AssertionError):
        compare(float("nan"), 1.0, source=SOURCE, quantity="a", rel=0.01)
    assert (SOURCE, "a") not in ROWS


def test_a_row_shows_no_digits_below_its_tolerance() -> None:
    noisy = [Row(SOURCE, "a", 3.0, 3.0123 + noise, 0.03, True, "") for noise in (0.0, 1e-6)]
    assert line(noisy[0]) == line(noisy[1]) == "| a | 3 | 3.012 | +0.4 % | 1 % |  |\n"


def test_the_report_has_the_rows_that_were_compared(whole: bool) -> None:
    if os.environ.get("VALIDATION_REPORT"):
        pytest.skip("the report is being written")
    written = names(REPORT.read_text(encoding="utf-8"))
    compared = {(source.entry, quantity) for source, quantity in ROWS}
    assert compared - written == set(), "docs/validation.md is stale: run make validate"
    if not whole:
        pytest.skip("only a part of tests/validation was run: rows that no test makes any more cannot be told")
    assert written == compared, "docs/validation.md is stale: run make validate"
    assert len(written) >= 12
