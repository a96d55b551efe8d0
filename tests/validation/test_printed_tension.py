"""Real prints pulled along and across their layers.

joshcarter/tensile_test, data/*/summary.txt, data/data.csv, commit 0ac91a45 (BSD-3-Clause, (c) 2025 Josh Carter): forces
in tests/validation/data, averages as the author published them. One coupon generation predicts another; a set held
against its own limit would only be a consistency check and is not made.
"""

from __future__ import annotations

import runpy
from pathlib import Path

import numpy as np
from compare import Source, compare

SOURCE = Source("Open tension data of real prints (BSD-3-Clause)", "published averages, data/data.csv", "found")
PROMISE = Source("Lower limit of one coupon generation", "held by the coupons of another neck area", "found")
PAGE = runpy.run_path(str(Path(__file__).parents[2] / "scripts" / "write_prints_page.py"))
AVERAGES = {
    "M01 ABS-GF black": (48.67, 11.93), "M02 ASA-CF black": (49.56, 6.20), "M05 PETG metallic": (45.96, 25.12),
    "M07 PETG-CF black": (49.75, 34.07), "M09 PETG blue": (54.27, 21.19), "M11 PETG light grey": (45.58, 23.09),
    "M14 PA6-CF20 (annealed) black": (69.83, 9.58), "M24 PLA sparkle purple": (56.13, 23.39),
    "M26 PETG orange": (45.73, 15.12), "M30 PET-GF tan": (70.57, 18.41), "M33 PLA-CF tan": (52.83, 25.02),
}  # fmt: skip


def test_averages() -> None:
    runs = PAGE["runs"]()
    for name, published in AVERAGES.items():
        for axis, value in zip(("xy", "z"), published, strict=True):
            mean = float(np.mean(np.concatenate([strengths for _, strengths in runs[(name, axis)]])))
            compare(mean, value, abs=0.02, source=SOURCE, quantity=f"mean, {name}, {axis} [MPa]", why="2 decimals")


def test_one_generation_predicts_another() -> None:
    told = PAGE["generations"]()
    share = sum(above for _, above, _ in told) / sum(n for _, _, n in told)
    why = "other machine and settings as well as another neck: five coupons of one batch cannot promise 90 %"
    compare(share, 0.90, rel=0.11, source=PROMISE, quantity="share of coupons above the limit", why=why)


def test_the_page_is_that_of_the_data() -> None:
    written = (Path(__file__).parents[2] / "docs" / "prints.md").read_text(encoding="utf-8")
    assert written == PAGE["page"](), "docs/prints.md is stale: run scripts/write_prints_page.py"
