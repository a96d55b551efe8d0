"""Hole in a wide plate of a print under tension.

S. G. Lekhnitskii, Anisotropic Plates, Gordon and Breach 1968, chapter 6 (formulas from memory; values computed outside
this package). The plate's y axis is the build direction: in its plane it is orthotropic.
"""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest
from compare import Source, compare
from plates import plate

from specimens import card

SOURCE = Source("Lekhnitskii 1968, hole in an orthotropic plate", "built along y; plate 80 radii wide", "from memory")
CARDS = {
    "fibre-filled 8000/2500/0.38/1000": card(8000.0, 2500.0, 0.36, 0.38, 1000.0),
    "unfilled 2300/1900/0.36/780": card(2300.0, 1900.0, 0.36, 0.36, 780.0),
}
# Edge stress over far stress by angle from the pull, pulled along x and along y.
FILLED_X = {0: -0.5590, 45: 0.4371, 60: 1.3064, 75: 2.9026, 90: 4.2890}
PUBLISHED = {
    "fibre-filled 8000/2500/0.38/1000": (FILLED_X, {0: -1.7889, 90: 2.8386}),
    "unfilled 2300/1900/0.36/780": ({0: -0.9089, 90: 3.1046}, {0: -1.1002, 90: 2.9128}),
}


@pytest.mark.parametrize("material", PUBLISHED)
def test_edge_of_the_hole(material: str) -> None:
    wide = plate(40.0, 40.0).in_material(CARDS[material])
    pulled = wide.solve((0, 1, 0))
    for case, published in enumerate(PUBLISHED[material]):
        for angle, value in published.items():
            turn = radians(90 - angle if case else angle)
            s = wide.at((cos(turn), sin(turn), 0), pulled, case)
            edge = s[0] * sin(turn) ** 2 + s[1] * cos(turn) ** 2 - 2 * s[5] * sin(turn) * cos(turn)
            words = f"{material}, pulled along {'xy'[case]}, edge at {angle} deg [-]"
            compare(edge, value, rel=0.03, source=SOURCE, quantity=words)
    assert np.abs(pulled.imbalance).max() < 1e-6
