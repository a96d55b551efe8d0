"""Bounce and pitch of a rigid body on two springs.

S. S. Rao, Mechanical Vibrations, example 5.7 (from memory; its values computed again outside this package), and a small
two-wheeler evaluated the same way.
"""

from __future__ import annotations

import math
import sys
from pathlib import Path

import numpy as np
import pytest
from compare import Source, compare

sys.path.insert(0, str(Path(__file__).parents[1] / "ride"))
from machines import rigid

from printworthy.ride import halfcar

RAO = Source("Rao, Mechanical Vibrations", "example 5.7, automobile in bounce and pitch", "from memory")
SMALL = Source("Two-wheeler in bounce and pitch, closed form", "two degrees of freedom", "derived")


@pytest.mark.parametrize(
    ("source", "mass", "inertia", "ahead", "behind", "rates", "expected"),
    [
        (RAO, 1000.0, 810.0, 1000.0, 1500.0, (18.0, 22.0), (5.8593, 9.4341)),
        (SMALL, 180.0, 22.0, 720.0, 680.0, (15.0, 20.0), (13.82198, 27.87858)),
    ],
)
def test_frequencies(
    source: Source, mass: float, inertia: float, ahead: float, behind: float, rates: tuple[float, float],
    expected: tuple[float, float],
) -> None:  # fmt: skip
    gyration = 1e3 * math.sqrt(inertia / mass)
    model = halfcar.bounce(rigid(mass, ahead + behind, behind, 600.0, rates, gyration), "seated")
    for name, value, wanted in zip(("first", "second"), halfcar.frequencies(model), expected, strict=True):
        compare(float(value), wanted, rel=1e-5, source=source, quantity=f"{name} frequency [rad/s]")


def test_the_motion_has_the_frequency_of_the_model() -> None:
    # an undamped bounce from rest off its balance returns after one period 2 pi / omega
    model = halfcar.bounce(rigid(180.0, 1400.0, 700.0, 600.0, (30.0, 30.0)), "seated")
    omega = math.sqrt(60.0 / 0.18)
    rest = halfcar.at_rest(model)
    start = rest - [20.0, 0.0]
    run = halfcar.run(model, start, [[0.0, 0.0]], halfcar.level(), 2 * math.pi / omega, stop=False)
    compare(
        float(run.positions[0, 0, -1] - rest[0]), -20.0, rel=1e-3, source=SMALL,
        quantity="place after one period of a free bounce of 20 mm [mm]",
    )  # fmt: skip


@pytest.mark.parametrize("ratio", [-2.6461, 0.3061])
def test_the_shapes_of_the_motion(ratio: float) -> None:
    """Example 5.7: set off in the published shape X over theta [m/rad], the car keeps it; half a period later it stands
    mirrored. Pitch is counted nose up here, down there."""
    model = halfcar.bounce(rigid(1000.0, 2500.0, 1500.0, 600.0, (18.0, 22.0), 900.0), "seated")
    rest = halfcar.at_rest(model)
    turned = 0.01
    start = rest + np.array([-1e3 * ratio * turned, turned])
    omega = 5.8593 if ratio < 0 else 9.4341
    run = halfcar.run(model, start, [[0.0, 0.0]], halfcar.level(), math.pi / omega, stop=False)
    heave, pitch = run.positions[0, :, -1] - rest
    name = "bounce" if ratio < 0 else "pitch"
    compare(-heave / pitch / 1e3, ratio, rel=1e-3, source=RAO, quantity=f"shape X over theta, {name} [m/rad]")
    compare(pitch, -turned, rel=1e-3, source=RAO, quantity=f"pitch mirrored after half a period, {name} [rad]")
