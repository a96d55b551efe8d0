"""Hole in a wide plate built flat, of an orthotropic print, its beads along the pull or across it.

S. G. Lekhnitskii, Anisotropic Plates, Gordon and Breach 1968, chapter 6 (formulas from memory; values computed outside
this package). The card states nine constants, the part its raster.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin

import pytest
from compare import Source, compare
from plates import plate

from printworthy.inputs import NINE, MaterialCard, Quantity, Raster
from printworthy.strength import Prepared, model
from specimens import Specimen

SOURCE = Source(
    "Lekhnitskii 1968, hole in a plate, beads along and across the pull",
    "nine constants and a stated raster; plate 80 radii wide",
    "from memory",
)
LAWS = {
    "fibre-filled 8000/2500/0.38/1000": (8000.0, 2500.0, 2500.0, 0.38, 0.38, 0.4, 893.0, 1000.0, 1000.0),
    "glass/epoxy 38600/8270/0.26/4140": (38600.0, 8270.0, 8270.0, 0.26, 0.26, 0.4, 2953.6, 4140.0, 4140.0),
}
# Edge stress over far stress by angle from the pull, beads along the pull and across it.
PUBLISHED = {
    "fibre-filled 8000/2500/0.38/1000": (
        {0: -0.5590, 45: 0.4371, 60: 1.3064, 75: 2.9026, 90: 4.2890}, {0: -1.7889, 90: 2.8386},
    ),
    "glass/epoxy 38600/8270/0.26/4140": ({0: -0.4629, 90: 4.6228}, {0: -2.1604, 90: 2.6769}),
}  # fmt: skip


def card(law: str) -> MaterialCard:
    values = dict(zip(NINE, LAWS[law], strict=True)) | {"density": 1.0}
    return MaterialCard(
        law, law, "printed polymer", {n: Quantity(v, "", "test", "invented") for n, v in values.items()}
    )


@pytest.mark.parametrize("law", PUBLISHED)
@pytest.mark.parametrize("angle", [0, 90])
def test_edge_of_the_hole(law: str, angle: int) -> None:
    wide = plate(40.0, 40.0)
    m = wide.model
    at = Specimen(model(Prepared(m.space, m.sampler), replace(m.part, raster=Raster(float(angle))), card(law)))
    pulled = at.solve((0, 0, 1))
    for place, value in PUBLISHED[law][angle // 90].items():
        turn = radians(place)
        s = at.at((cos(turn), sin(turn), 0), pulled)
        edge = s[0] * sin(turn) ** 2 + s[1] * cos(turn) ** 2 - 2 * s[5] * sin(turn) * cos(turn)
        words = f"{law}, beads {'across' if angle else 'along'} the pull, edge at {place} deg [-]"
        compare(edge, value, rel=0.03, source=SOURCE, quantity=words)
