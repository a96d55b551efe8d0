"""The open tension sets of real prints by direction, through the same road as a builder's own coupons.

python scripts/write_prints_page.py                    write docs/prints.md; with `-` print it instead
python scripts/write_prints_page.py --coupons FILE     write the coupon table that `printworthy coupons FILE` reads
python scripts/write_prints_page.py --trials TRIALS    make the data file again from the open table of single trials
"""

from __future__ import annotations

import csv
import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from printworthy import evidence, workspace
from printworthy.evidence.limits import joined
from printworthy.evidence.study import Study
from printworthy.evidence.values import rule

ROOT = Path(__file__).parents[1]
DATA = ROOT / "tests" / "validation" / "data" / "printed-tension.csv"
RULES = workspace.read_rules()
DIRECTIONS = {"xy": "in layer", "z": "between layers"}
LEAST = {"xy": rule(RULES, "minimum_cv_in_layer"), "z": rule(RULES, "minimum_cv_between")}
SOURCE = "joshcarter/tensile_test, BSD-3-Clause"
HEAD = """# Real prints, along and across their layers

Open data: {n} coupons of {materials} printed materials, force at break over the stated area of the neck
(joshcarter/tensile_test, commit 0ac91a45, BSD-3-Clause, (c) 2025 Josh Carter; moisture and infill not recorded; the rig
bends and notches upright coupons, so the values across are pessimistic).

Made by `python scripts/write_prints_page.py`; `tests/validation/test_printed_tension.py` holds it against today's code:

1. `tests/validation/data/printed-tension.csv` holds every trial (`--trials FILE` makes it again from the table of
   single trials); the neck area of M07 and of the first runs of M18 is not stated there and follows from force over
   strength;
2. it becomes a table of coupons like any in `evidence/`, each run of a material a batch (`--coupons FILE` writes it);
3. that is read and judged as `printworthy coupons FILE` does it, with the rules of the package.

**B used**: the lower limit that decisions use (90 % of parts with 95 % confidence, lognormal, least scatter {xy:g} %
along and {z:g} % across; where batches differ, the lowest honest answer of docs/method/evidence.md). **B flow**: the
B-basis that the flow of CMH-17 recommends; none where two runs differ, and for five coupons of large scatter no
strength at all. Scatter is that of all coupons together, so it holds the differences between runs. MPa.

"""
COLUMNS = ("material", *2 * ("n {}", "mean", "scatter %", "B used", "B flow"), "mean ratio", "B ratio")
SUMMARY = """
Over the {materials} materials the mean across is {low:.2f} to {high:.2f} of the mean along (half of them below
{middle:.2f}), the limit across {blow:.2f} to {bhigh:.2f} of the limit along (half below {bmiddle:.2f}): scatter takes
more from the weak direction than from the strong one. No one ratio serves as a rule for all.

"""
NEXT = """## One generation of coupon predicts another

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
NOTE = (
    "# Tension of printed coupons by direction, one run a row, forces at break in N. Data of joshcarter/tensile_test,\n"
    "# data/*/summary.txt, commit 0ac91a45c875a55ee473b31e47a2f338d440849e, (c) 2025 Josh Carter, BSD-3-Clause (text "
    "beside).\n# Makers are left out; xy: pulled along the layers, z: across them; area of the neck in mm^2 (20 and 30 "
    "implied for M07, M18).\n"
)


def from_trials(path: Path) -> str:
    """The data file made of the open table of single trials: one run a row, makers left out."""
    found: dict[tuple[str, ...], list[str]] = defaultdict(list)
    with path.open(encoding="utf-8") as table:
        for r in csv.DictReader(table):
            layer, area = r["layer_height_mm"], r["area_mm2_stated"] or r["area_mm2_implied"]
            name = (r["material_id"], r["polymer"], r["colour"], r["run_in_file"], r["build_axis"])
            found[(*name, area, layer, r["note"])].append(f"{float(r['max_force_N']):g}")
    rows = (",".join((*key, " ".join(forces))) for key, forces in found.items())
    return NOTE + "material,polymer,colour,run,axis,area,layer_height,note,forces\n" + "\n".join(rows) + "\n"


def runs() -> dict[tuple[str, str], list[tuple[float, list[float]]]]:
    """(area [mm2], strengths (n,) [MPa]) of each run, by material and axis."""
    found: dict[tuple[str, str], list[tuple[float, list[float]]]] = defaultdict(list)
    for row in _rows():
        area = float(row["area"])
        name = f"{row['material']} {row['polymer']} {row['colour']}"
        found[(name, row["axis"])].append((area, [float(f) / area for f in row["forces"].split()]))
    return found


def _rows() -> list[dict[str, str]]:
    lines = [line for line in DATA.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


def coupons() -> str:
    """The table that `printworthy coupons` reads: one coupon a row, each run a batch."""
    lines = ["set,material,direction,force,unit,area,batch,source,invented"]
    for row in _rows():
        name = f"{row['material']} {row['polymer']} {row['colour']}"
        for force in row["forces"].split():
            lines.append(f"{name} {row['axis']},{name},{DIRECTIONS[row['axis']]},{force},N,{row['area']},{row['run']},"
                         f'"{SOURCE}",no')  # fmt: skip
    return "\n".join(lines) + "\n"


def studied() -> dict[tuple[str, str], Study]:
    """What the package says of every material and direction, by the road a builder's own table takes."""
    with tempfile.TemporaryDirectory() as folder:
        table = Path(folder, "prints.csv")
        table.write_text(coupons(), encoding="utf-8")
        sets, problems = workspace.read_coupons(table, None)
    assert not problems, problems
    return {(s.material, s.direction): s for s in evidence.studies(sets, RULES)}


def main_rows() -> Iterator[tuple[str, float, float]]:
    """One row a material, with its ratio of means and of limits."""
    every = studied()
    for name in dict.fromkeys(name for name, _ in every):
        cells, pair = [], [every[name, direction] for direction in DIRECTIONS.values()]
        for s in pair:
            assert s.used is not None
            flow = None if s.recommended is None else s.recommended.b
            told = "none" if flow is None else f"{flow:.1f}" if flow > 0 else "not usable"
            cells += [f"{len(s.values)}", f"{s.mean:.1f}", f"{100 * s.cv:.1f}", f"{s.used:.1f}", told]
        along, across = pair
        means, limits = across.mean / along.mean, (across.used or 0.0) / (along.used or 1.0)
        yield f"| {name} | {' | '.join(cells)} | {means:.2f} | {limits:.2f} |", means, limits


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
    told, rows = generations(), list(main_rows())
    means, limits = (np.array([row[k] for row in rows]) for k in (1, 2))
    count = sum(len(s.values) for s in studied().values())
    head = HEAD.format(n=count, materials=len(rows), xy=100 * LEAST["xy"], z=100 * LEAST["z"])
    summary = SUMMARY.format(
        materials=len(rows), low=means.min(), high=means.max(), middle=np.median(means), blow=limits.min(),
        bhigh=limits.max(), bmiddle=np.median(limits),
    )  # fmt: skip
    tail = TAIL.format(held=sum(above for _, above, _ in told), total=sum(n for _, _, n in told))
    names = [
        c.format(a) if a else c for c, a in zip(COLUMNS, ["", "along", *[""] * 4, "across", *[""] * 6], strict=True)
    ]
    head += f"| {' | '.join(names)} |\n{'|---' * len(names)}|\n"
    return head + "\n".join(row for row, *_ in rows) + "\n" + summary + NEXT + "\n".join(
        row for row, _, _ in told) + "\n" + tail  # fmt: skip


def main(words: list[str]) -> None:
    """Write what is asked for."""
    match words:
        case []:
            ROOT.joinpath("docs", "prints.md").write_text(page(), encoding="utf-8")
        case ["-"]:
            sys.stdout.write(page())
        case ["--coupons", file]:
            Path(file).write_text(coupons(), encoding="utf-8")
        case ["--trials", file]:
            DATA.write_text(from_trials(Path(file)), encoding="utf-8")
        case _:
            sys.exit(__doc__)


if __name__ == "__main__":
    main(sys.argv[1:])
