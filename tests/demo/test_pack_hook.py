"""The demo's pack hook: not decided, the tool says how many coupons are missing, and with them it may be printed."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from printworthy import flow
from printworthy.results import PartAssessment
from printworthy.workspace.cache import Cache


def assessed(root: Path) -> PartAssessment:
    job = flow.read(root)
    return flow.assess(job, Cache(root / ".cache"), lambda *_: None, ("pack-hook",), workers=1)[0].parts[0]


def test_the_coupons_it_asks_for_settle_the_hook(shipped: Path, tmp_path: Path) -> None:
    root = tmp_path / "carrier"
    shutil.copytree(shipped, root)
    before = assessed(root)
    assert before.verdict.word == "not decided"
    (asked,) = [r.words for r in before.verdict.reasons if r.screen == "next test"]
    found = re.search(r"break (\d+) more coupons 'in layer' .* with the mean and scatter of those at hand", asked)
    assert found is not None
    table = root / "evidence" / "polyamide-12.csv"
    flat = next(line for line in table.read_text().splitlines() if line.startswith("pa12cf-flat"))
    more = [flat.replace(",35.8,", f",{v},") for v in (36.9, 36.2)][: int(found[1])]
    assert len(more) == int(found[1])
    table.write_text(table.read_text().rstrip() + "\n" + "\n".join(more) + "\n")
    assert assessed(root).verdict.word == "print with conditions"
