"""Write docs/prints.md: the open tension sets of real prints by direction; with `-` print it instead."""

from __future__ import annotations

import csv
import sys
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from printworthy.evidence.limits import joined

ROOT = Path(__file__).parents[1]
DATA = ROOT / "tests" / "validation" / "data" / "printed-tension.csv"
LEAST = {"xy": 0.06, "z": 0.12}  # minimum scatter, rules.toml
HEAD = """# Real prints, along and across their layers

Written by `scripts/write_prints_page.py` from open data: 259 coupons of 22 printed materials, force at break over the
stated area of the neck (joshcarter/tensile_test, BSD-3-Clause, (c) 2025 Josh Carter; moisture and infill not recorded;
the rig bends and notches upright coupons, so the values across are pessimistic).

Runs of a material are batches. B: the lower limit that decisions use (90 % of parts with 95 % confidence, lognormal,
least scatter 6 % along and 12 % across; where batches differ, the lowest honest answer of docs/method/evidence.md).
Scatter is that of all coupons together, so it holds the differences between runs. MPa.

| material | n along | mean | scatter % | B along | n across | mean | scatter % | B across | mean ratio | B ratio |
|---|---|---|---|---|---|---|---|---|---|---|
"""
NEXT = """
B is n/a where the batches that differ leave fewer than three coupons behind the value.

## One generation of coupon predicts another

The validation: coupons with one neck area give a lower limit; coupons of the same polymer with another neck, printed
later, are held against it. About nine in ten should lie above. A set held against its own limit would only be a
consistency check.

| material, axis | first neck mm² | its mean, B | second neck mm² | its mean, lowest | above B |
|---|---|---|---|---|---|
"""
TAIL = """
{held} of {total} coupons lie above the limit that the other generation set. Most of the misses are two whole runs.
Generations differ in machine, layer height and date as well as in neck, so the data cannot say which of these it was.
A limit speaks for the machine, settings and batch it was made with; three batches or more are needed before it speaks
for the next one.
"""


def runs() -> dict[tuple[str, str], list[tuple[float, list[float]]]]:
    """(area [mm2], strengths (n,) [MPa]) of each run, by material and axis."""
    found: dict[tuple[str, str], list[tuple[float, list[float]]]] = defaultdict(list)
    lines = [line for line in DATA.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    for row in csv.DictReader(lines):
        area = float(row["area"])
        name = f"{row['material']} {row['polymer']} {row['colour']}"
        found[(name, row["axis"])].append((area, [float(f) / area for f in row["forces"].split()]))
    return found


def main_rows() -> Iterator[str]:
    """One row a material."""
    every = runs()
    for name in dict.fromkeys(name for name, _ in every):
        cells, means, limits = [], [], []
        for axis in ("xy", "z"):
            batches = [strengths for _, strengths in every[(name, axis)]]
            x = np.concatenate(batches)
            found = joined(batches, 0.90, 0.95, LEAST[axis])
            shown = f"{found.value:.1f}" if found.n >= 3 else "n/a"
            cells += [f"{len(x)}", f"{x.mean():.1f}", f"{100 * x.std(ddof=1) / x.mean():.1f}", shown]
            means.append(float(x.mean()))
            limits.append(found.value if found.n >= 3 else float("nan"))
        ratio = limits[1] / limits[0]
        shown = "n/a" if np.isnan(ratio) else f"{ratio:.2f}"
        yield f"| {name} | {' | '.join(cells)} | {means[1] / means[0]:.2f} | {shown} |"


def generations() -> list[tuple[str, int, int]]:
    """Rows of the prediction table with how many of how many coupons lie above."""
    every = runs()
    pet = ("M29 PET-GF tan", "M30 PET-GF tan")
    rows = []
    for (name, axis), parts in every.items():
        if name == pet[1]:
            continue
        label, all_runs = (name, parts) if name != pet[0] else ("M29/M30 PET-GF tan", parts + every[(pet[1], axis)])
        by_area: dict[float, list[list[float]]] = defaultdict(list)
        for area, strengths in all_runs:
            by_area[area].append(strengths)
        for first in by_area:
            for second in by_area:
                if first != second:
                    rows.append(
                        prediction(f"{label}, {axis}", (first, by_area[first]), (second, by_area[second]), axis)
                    )
    return rows


def prediction(
    label: str, first: tuple[float, list[list[float]]], second: tuple[float, list[list[float]]], axis: str
) -> tuple[str, int, int]:
    """One row: limit of the first generation against the coupons of the second."""
    limit = joined(first[1], 0.90, 0.95, LEAST[axis]).value
    a, b = np.concatenate(first[1]), np.concatenate(second[1])
    above = int((b >= limit).sum())
    row = (f"| {label} | {first[0]:g} | {a.mean():.1f}, {limit:.1f} | {second[0]:g} | {b.mean():.1f}, {b.min():.1f} | "
           f"{above} of {len(b)} |")  # fmt: skip
    return row, above, len(b)


def page() -> str:
    """The whole page."""
    told = generations()
    tail = TAIL.format(held=sum(above for _, above, _ in told), total=sum(n for _, _, n in told))
    return HEAD + "\n".join(main_rows()) + "\n" + NEXT + "\n".join(row for row, _, _ in told) + "\n" + tail


if __name__ == "__main__":
    if sys.argv[1:] == ["-"]:
        sys.stdout.write(page())
    else:
        ROOT.joinpath("docs", "prints.md").write_text(page(), encoding="utf-8")
