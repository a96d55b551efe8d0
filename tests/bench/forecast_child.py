"""Run by test_forecast: one part assessed whole; prints what was forecast and what it took, as JSON.

forecast_child.py lever SIZE CASES POLYMERS      the lever with elements of SIZE [mm]; a further word: with infill
forecast_child.py demo PART                      a part of the demo as it is shipped
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from bench_lever import lever
from growth_child import high_water

from printworthy import demo, flow, strength
from printworthy.inputs import Fill, Job, Part
from printworthy.results import PartAssessment
from printworthy.workspace.cache import Cache

OTHERS = ("petg", "pla", "asa")


def of_lever(root: Path, size: float, cases: int, polymers: int, hollow: bool) -> tuple[Job, Part]:
    """The lever in the example's job, in polymers of the cards that are shipped."""
    demo.build(root)
    _, _, made = lever(root, 8.0)
    part = replace(
        made, element_size=size, cases=made.cases[:cases], material=OTHERS[0], alternatives=OTHERS[1:polymers], near=(),
        fill=Fill(1.6, 0.25) if hollow else None,
    )  # fmt: skip
    return flow.read(root), part


def of_demo(root: Path, name: str) -> tuple[Job, Part]:
    """A part of the demo."""
    demo.build(root)
    job = flow.read(root)
    return job, next(p for p in job.parts if p.name == name)


def main(kind: str, *how: str) -> None:
    """Assess one part; time is that of the processor, from the mesh on."""
    meshed: list[float] = []

    def tell(_: str, stage: str, __: float) -> None:
        if stage.startswith(strength.NEEDS):
            meshed.append(time.process_time())

    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "job"
        if kind == "demo":
            job, part = of_demo(root, how[0])
        else:
            job, part = of_lever(root, float(how[0]), int(how[1]), int(how[2]), hollow=len(how) > 3)
        done, _ = flow.assess_part(job, part, "", Cache(root / ".cache"), tell)
    took = time.process_time() - meshed[0]
    assert isinstance(done, PartAssessment)
    cards = len(flow.polymers(job, part))
    wanted = strength.need(done.mesh.unknowns, len(part.cases), cards, hollow=part.fill is not None)
    row = {
        "part": part.name, "unknowns": done.mesh.unknowns, "cases": len(part.cases), "polymers": cards,
        "seconds": took, "peak": high_water() / 2**20, "said": [wanted.seconds, wanted.memory],
    }  # fmt: skip
    print(json.dumps(row))


if __name__ == "__main__":
    main(*sys.argv[1:])
