"""What heats a part, in words: sun, gaps, joints and shields as stated; two ends that read alike are one."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

from printworthy.dossier.warmth import states
from printworthy.inputs import HeatPath, HeatState, Part
from printworthy.results import HeatResult, PartAssessment, SourceHeat

PATHS = (
    HeatPath("floor", "battery", gap=4.0, shields=1, shield_emissivity=0.1),
    HeatPath("foot", "caliper", contact=(200.0, 900.0)),
    HeatPath("side", "disc", view=0.3, shields=2),
    HeatPath("rib", film=(2.0, 4.0)),
)
STATE = HeatState("noon", PATHS, (6.0, 12.0), 0.9, "assumed", sun=900.0, sun_from=(1.0, 0.0, 0.3), absorptance=0.9)
SOURCES = (
    SourceHeat("battery", "battery", 46.1, 48.0, 51.2, "losses"),
    SourceHeat("caliper", "disc", 128, 128, 128, ""),
)
RESULT = HeatResult(
    "noon", "pc", (0.0, 0.0, 1.0), 40.0, SOURCES, 73.0, 64.0, 49.0, (0.0, 0.0, 0.0), "wall", 1e-9, None, 100, "assumed"
)


def test_what_heats_a_part_is_told() -> None:
    part = cast(PartAssessment, SimpleNamespace(option=SimpleNamespace(heat=(RESULT,))))
    (found,) = states(part, cast(Part, SimpleNamespace(heat=(STATE,))))
    told = {name: cell.text for name, cell in found.pairs}
    assert told["hot state"] == "noon"
    assert told["sun"] == "900 W/m², 90% of it taken up"
    assert told["battery to floor"] == "4 mm of still air, 1 shield between"
    assert told["caliper to foot"] == "joint of 200 to 900 W/(m² K)"
    assert told["disc to side"] == "30% of what the face sees, 2 shields between"
    assert not any("rib" in name for name in told)
    assert told["battery (battery)"] == "peak 46 to 51 °C"
    assert told["caliper (disc)"] == "peak 128 °C"
