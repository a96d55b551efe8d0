"""Rotation of an anisotropic stiffness.

W. L. Bond, The mathematics of the physical properties of crystals, Bell System Technical Journal 22 (1943) 1-72 (from
memory). The numbers were derived outside this package: the sum over four indices against the Bond matrix.
"""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest
from compare import Source, compare

from printworthy.strength.elastic import isotropic, isotropic_mean, rotated, transversely_isotropic

PRINT = transversely_isotropic(8000.0, 3000.0, 0.35, 0.40, 1100.0)
TILT = Source("Bond 1943, rotation of stiffness", "print 8000/3000/0.35/0.40/1100 MPa turned by Ry(30 deg)", "derived")
TURN = Source(
    "Bond 1943, rotation of stiffness, general", "same print turned by Rz(40 deg) Ry(30 deg) Rx(20 deg)", "derived"
)
PLAIN = Source("Bond 1943, invariants", "same print", "derived")

LAYERS = {"11": 10510.133, "22": 10510.133, "33": 3679.245, "12": 4584.207, "13": 2264.151, "23": 2264.151,
          "44": 1100.0, "55": 1100.0, "66": 2962.963}  # fmt: skip
TILTED = {"11": 7815.959, "12": 4004.193, "13": 3250.603, "15": -2048.459, "22": 10510.133, "23": 2844.165,
          "25": -1004.614, "33": 4400.515, "35": -909.402, "44": 1565.741, "46": -806.687, "55": 2086.452,
          "66": 2497.222}  # fmt: skip
TURNED = {"11": 7040.053, "12": 3803.477, "13": 3439.030, "14": -17.961, "15": -2018.218, "16": -99.222,
          "22": 10490.791, "23": 3049.575, "24": -196.577, "25": -1090.664, "26": -140.046, "33": 4809.521,
          "34": -83.408, "35": -1208.671, "36": 27.004, "44": 1731.780, "45": 37.607, "46": -875.001, "55": 2274.147,
          "56": -3.078, "66": 2336.609}  # fmt: skip


def about_x(degrees: float) -> np.ndarray:
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return np.array([[1, 0, 0], [0, c, -s], [0, s, c]])


def about_y(degrees: float) -> np.ndarray:
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]])


def about_z(degrees: float) -> np.ndarray:
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])


GENERAL = about_z(40) @ about_y(30) @ about_x(20)


def entries(c: np.ndarray) -> dict[str, float]:
    return {f"{i + 1}{j + 1}": float(c[i, j]) for i in range(6) for j in range(i, 6)}


def test_stiffness_in_layer_axes() -> None:
    assert {k: v for k, v in entries(PRINT).items() if k in LAYERS} == pytest.approx(LAYERS, abs=5e-4)


@pytest.mark.parametrize(
    ("turn", "expected", "source"),
    [(about_y(30), TILTED, TILT), (GENERAL, TURNED, TURN)],
    ids=["tilt", "general"],
)
def test_turned_stiffness(turn: np.ndarray, expected: dict[str, float], source: Source) -> None:
    computed = entries(rotated(PRINT, turn))
    for name, value in expected.items():
        compare(
            computed[name], value, abs=6e-4, source=source, quantity=f"C{name} [MPa]", why="published to 3 decimals"
        )
    rest = {k: v for k, v in computed.items() if k not in expected}
    assert rest == pytest.approx(dict.fromkeys(rest, 0.0), abs=1e-9)


@pytest.mark.parametrize(("name", "turn"), [("Ry(30)", about_y(30)), ("Rz(40) Ry(30) Rx(20)", GENERAL)])
def test_invariants(name: str, turn: np.ndarray) -> None:
    c = rotated(PRINT, turn)
    compare(c[:3, :3].sum(), 42924.528, abs=6e-4, source=PLAIN, quantity=f"C_iijj after {name} [MPa]")
    both = c[:3, :3].trace() + 2 * c[3:, 3:].trace()
    compare(both, 35025.437, abs=6e-4, source=PLAIN, quantity=f"C_ijij after {name} [MPa]")
    mean = isotropic_mean(c)
    assert mean[:3, :3].sum() == pytest.approx(42924.528, abs=6e-4)
    assert mean[:3, :3].trace() + 2 * mean[3:, 3:].trace() == pytest.approx(35025.437, abs=6e-4)


def test_an_isotropic_stiffness_does_not_turn() -> None:
    plain = isotropic(2000.0, 0.35)
    assert (plain[0, 0], plain[0, 1], plain[3, 3]) == pytest.approx((3209.877, 1728.395, 740.741), abs=5e-4)
    for turn in (about_y(30), GENERAL):
        assert rotated(plain, turn) == pytest.approx(plain, abs=1e-10 * plain[0, 0])
    assert isotropic_mean(plain) == pytest.approx(plain, rel=1e-12, abs=1e-9)


def test_the_mean_is_the_mean_of_many_turns() -> None:
    turns = np.linalg.qr(np.random.default_rng(7351).normal(size=(4000, 3, 3)))[0]
    mean = np.mean([rotated(PRINT, t) for t in turns], axis=0)
    assert mean == pytest.approx(isotropic_mean(PRINT), abs=0.02 * PRINT[0, 0])
