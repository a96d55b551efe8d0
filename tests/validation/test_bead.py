"""Cross-section of a bead, pitch, voids and mass.

Closed forms of a stadium (two half rounds and a rectangle) and of two overlapping rounds, evaluated outside.
"""

from __future__ import annotations

import pytest
from compare import Source, compare

from printworthy.evidence.bead import (
    bead_area,
    bonded_fraction,
    closing_pitch,
    print_mass,
    rigid_void_fraction,
    strand_length,
    void_fraction,
)

SOURCE = Source("Stadium bead", "closed forms of rounds and rectangles", "derived")
BEADS = {  # width, height [mm]: area [mm2], closing pitch [mm], void at pitch = width, strand of 1.75 mm a mm of path
    (0.42, 0.20): (0.075416, 0.377080, 0.102191, 0.031354),
    (0.48, 0.20): (0.087416, 0.437080, 0.089417, 0.036343),
    (0.50, 0.25): (0.111587, 0.446350, 0.107301, 0.046393),
    (0.60, 0.30): (0.160686, 0.535619, 0.107301, 0.066805),
}
VOIDS = {  # pitch [mm]: mass kept, rigid outlines
    0.500: (0.107301, 0.107301),
    0.475: (0.060317, 0.075771),
    0.450: (0.008112, 0.053529),
    0.446: (-0.000784, 0.050516),
}


@pytest.mark.parametrize("size", BEADS, ids=str)
def test_bead(size: tuple[float, float]) -> None:
    area, pitch, void, strand = BEADS[size]
    name = f"{size[0]} x {size[1]} mm"
    compare(bead_area(*size), area, abs=1e-6, source=SOURCE, quantity=f"area of a bead {name} [mm2]")
    compare(closing_pitch(*size), pitch, abs=1e-6, source=SOURCE, quantity=f"pitch that closes beads {name} [mm]")
    compare(size[0] - closing_pitch(*size), size[0] - pitch, abs=1e-6, source=SOURCE, quantity=f"overlap, {name} [mm]")
    compare(void_fraction(*size, size[0]), void, abs=1e-6, source=SOURCE, quantity=f"voids at pitch = width, {name}")
    length = strand_length(bead_area(*size), 1.75)
    compare(length, strand, abs=1e-6, source=SOURCE, quantity=f"strand of 1.75 mm for 1 mm of bead {name} [mm]")


@pytest.mark.parametrize("pitch", VOIDS)
def test_two_models_of_voids(pitch: float) -> None:
    flowing, rigid = VOIDS[pitch]
    words = f"0.50 x 0.25 mm at pitch {pitch} mm"
    compare(void_fraction(0.5, 0.25, pitch), flowing, abs=1e-6, source=SOURCE, quantity=f"voids, mass kept, {words}")
    compare(rigid_void_fraction(0.5, 0.25, pitch), rigid, abs=1e-6, source=SOURCE, quantity=f"voids, rigid, {words}")


def test_mass_and_strand() -> None:
    compare(1000 * print_mass(20000.0, 1.24), 24.80, rel=1e-9, source=SOURCE, quantity="20 cm3 at 1.24 g/cm3 [g]")
    compare(strand_length(20000.0, 1.75), 8315.03, abs=0.006, source=SOURCE, quantity="1.75 mm strand for 20 cm3 [mm]")


def test_touching_flats_at_pitch_of_the_width() -> None:
    void = void_fraction(0.5, 0.25, 0.5)
    compare(
        bonded_fraction(0.25, 0.5, void), 0.5, rel=1e-9, source=SOURCE, quantity="bonded, (w - h)/w, 0.50 x 0.25 mm"
    )
