"""Statics worked by hand in docs/method/ride.md: a peg in its hanger, a beam on three props."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from compare import Source, compare

sys.path.insert(0, str(Path(__file__).parents[1] / "ride"))

from printworthy.ride.bodies import GROUND, action, bounds, joint, solve

HAND = Source("Planar statics by hand", "docs/method/ride.md, peg in its hanger; beam on three props", "derived")
X, Y, Z = np.eye(3)


def test_peg_in_its_hanger() -> None:
    # moments about the pin: 1104 N x 68 mm = S x 38 mm; pin: S along, 1104 N up
    held = [
        joint("right ear", GROUND, "peg", (0, 18, 0), (X, Z)),
        joint("left ear", GROUND, "peg", (0, -18, 0), (X, Z)),
        joint("stop", GROUND, "peg", (-18, 0, -38), (X, Y)),
    ]
    found = solve(["peg"], held, [action("foot", "peg", (68, 0, 0), (0, 0, -1104))])
    compare(float(found.forces["stop"][0]), 1975.579, rel=1e-6, source=HAND, quantity="heel on the stop [N]")
    compare(float(found.forces["right ear"][0]), -987.789, rel=1e-6, source=HAND, quantity="one ear, along the peg [N]")
    compare(float(found.forces["right ear"][2]), 552.0, rel=1e-6, source=HAND, quantity="one ear, upright [N]")
    # about the upright: 250 N x (68 + 18) mm = half the difference of the ears x 36 mm
    sideways = solve(["peg"], held, [action("foot", "peg", (68, 0, 0), (0, 250, 0))])
    compare(
        float(sideways.forces["right ear"][0] - sideways.forces["left ear"][0]), 2 * 250 * (68 + 18) / 36, rel=1e-6,
        source=HAND, quantity="ears apart for 250 N to the rear, stopped by the heel [N]",
    )  # fmt: skip


def test_three_equal_props_under_a_beam() -> None:
    # springs k at 0, l, 2 l under a load F at l/2: mean F/3, slope term F (l/2) over 2 l: F (1/3 + 1/4, 1/3, 1/3 - 1/4)
    props = [joint(f"prop {i}", GROUND, "beam", (100.0 * i, 0, 0), (Z,), (), 7.0, True) for i in range(3)]
    held = [*props, joint("guide", GROUND, "beam", (100, 0, 0), (X, Y), (X, Z))]
    load = [action("load", "beam", (50, 0, 0), (0, 0, -120))]
    found = solve(["beam"], held, load)
    for i, share in enumerate((7 / 12, 1 / 3, 1 / 12)):
        compare(
            float(found.forces[f"prop {i}"][2]), 120 * share, rel=1e-6, source=HAND,
            quantity=f"prop {i} of three equal ones under a rigid beam [N]",
        )  # fmt: skip
    least, most = bounds(["beam"], held, load, "prop 1", Z)
    # without stiffness: the middle prop bears nothing (ends 90 and 30), or all that leaves the far end free (0, 60, 60)
    compare(least + 1.0, 1.0, rel=1e-6, source=HAND, quantity="least on the middle prop, statics alone, plus 1 [N]")
    compare(most, 60.0, rel=1e-6, source=HAND, quantity="most on the middle prop, statics alone [N]")
