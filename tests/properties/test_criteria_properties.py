"""What every criterion must obey whatever the stress: zero, scale, axes in the layer, pressure that closes layers."""

from __future__ import annotations

from math import cos, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.strength.criteria import MODES, Strengths, by_mode, largest_principal, von_mises
from printworthy.strength.elastic import strain_rotation

COMPONENT = st.floats(-200, 200, allow_nan=False)
STRESS = st.lists(COMPONENT, min_size=6, max_size=6).map(np.array)
STRENGTHS = Strengths(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=70.0)
ROWS = ((0, 5, 4), (5, 1, 3), (4, 3, 2))


def turned(stress: np.ndarray, a: np.ndarray) -> np.ndarray:
    """Stress (6,) in axes whose rows are `a`: the tensor rule, written out with the full tensor."""
    t = a @ stress[np.array(ROWS)] @ a.T
    return np.array([t[0, 0], t[1, 1], t[2, 2], t[1, 2], t[0, 2], t[0, 1]])


def test_no_stress_uses_nothing() -> None:
    assert by_mode(np.zeros(6), STRENGTHS) == pytest.approx(np.zeros(len(MODES)), abs=0)


def test_a_stress_whose_cube_is_too_small_for_a_number_is_still_one() -> None:
    assert largest_principal(np.array([0, 0, 0, 0, 0, 1e-150])) == pytest.approx(1e-150, rel=1)


@given(STRESS)
def test_no_mode_is_negative(stress: np.ndarray) -> None:
    assert (by_mode(stress, STRENGTHS) >= 0).all()


@given(STRESS, st.floats(0, 50))
def test_every_mode_grows_with_the_load(stress: np.ndarray, times: float) -> None:
    assert by_mode(times * stress, STRENGTHS) == pytest.approx(times * by_mode(stress, STRENGTHS), rel=1e-9, abs=1e-6)


@given(STRESS, st.floats(0.1, 10))
def test_twice_the_strengths_use_half(stress: np.ndarray, times: float) -> None:
    stronger = Strengths(*(times * getattr(STRENGTHS, n) for n in ("X", "Z", "S", "S12", "Xc", "Zc")))
    assert times * by_mode(stress, stronger) == pytest.approx(by_mode(stress, STRENGTHS), rel=1e-9, abs=1e-9)


@given(STRESS, st.floats(-4, 4))
def test_axes_in_the_layer_do_not_matter(stress: np.ndarray, angle: float) -> None:
    c, s = cos(angle), sin(angle)
    other = turned(stress, np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]))
    assert by_mode(other, STRENGTHS) == pytest.approx(by_mode(stress, STRENGTHS), rel=1e-6, abs=1e-6)


@given(STRESS)
def test_upside_down_is_the_same_print(stress: np.ndarray) -> None:
    other = turned(stress, np.diag([1.0, -1.0, -1.0]))
    assert by_mode(other, STRENGTHS) == pytest.approx(by_mode(stress, STRENGTHS), rel=1e-9, abs=1e-9)


@given(STRESS)
def test_largest_principal_is_the_largest_eigenvalue(stress: np.ndarray) -> None:
    eigenvalues = np.linalg.eigvalsh(stress[np.array(ROWS)])
    assert float(largest_principal(stress)) == pytest.approx(float(eigenvalues[-1]), rel=1e-5, abs=1e-4)
    spread = (eigenvalues[0] - eigenvalues[1]) ** 2 + (eigenvalues[1] - eigenvalues[2]) ** 2
    equivalent = float(np.sqrt(0.5 * (spread + (eigenvalues[2] - eigenvalues[0]) ** 2)))
    assert float(von_mises(stress)) == pytest.approx(equivalent, rel=1e-6, abs=1e-6)


@given(st.floats(0.1, 100), st.floats(-50, 50), st.floats(-50, 50))
def test_closing_pressure_gives_no_relief(pressure: float, t13: float, t23: float) -> None:
    pressed, free = np.array([0, 0, -pressure, t23, t13, 0]), np.array([0, 0, 0, t23, t13, 0])
    slip = MODES.index("between layers, tension with shear")
    assert by_mode(pressed, STRENGTHS)[slip] == by_mode(free, STRENGTHS)[slip]
    assert by_mode(free, STRENGTHS)[slip] == pytest.approx(float(np.hypot(t13, t23)) / 25.0, rel=1e-12)


PURE = {
    "between layers, tension with shear": (np.array([0, 0, 30.0, 0, 0, 0]), np.array([0, 0, 0, 0, 25.0, 0])),
    "between layers, compression": (np.array([0, 0, -70.0, 0, 0, 0]),),
    "in the layer, tension": (np.array([60.0, 0, 0, 0, 0, 0]), np.array([0, 60.0, 0, 0, 0, 0])),
    "in the layer, compression": (np.array([-80.0, 0, 0, 0, 0, 0]),),
    "in the layer, shear": (np.array([0, 0, 0, 0, 0, 40.0]),),
}


@pytest.mark.parametrize("mode", PURE)
def test_pure_stress_at_the_strength_is_failure_in_its_mode(mode: str) -> None:
    for stress in PURE[mode]:
        used = by_mode(stress, STRENGTHS)
        assert used[MODES.index(mode)] == pytest.approx(1, rel=1e-12)
        assert used.max() == pytest.approx(1, rel=1e-9)


@given(STRESS, st.floats(-4, 4), st.floats(-4, 4))
def test_strain_rotation_keeps_the_work(stress: np.ndarray, first: float, second: float) -> None:
    """Turning strain by the package's matrix and stress by the tensor rule leaves stress times strain as it was."""
    a = np.array([[cos(first), sin(first), 0], [-sin(first), cos(first), 0], [0, 0, 1]])
    b = np.array([[1, 0, 0], [0, cos(second), sin(second)], [0, -sin(second), cos(second)]])
    strain = 1e-3 * stress[::-1]
    turn = b @ a
    assert turned(stress, turn) @ (strain_rotation(turn) @ strain) == pytest.approx(stress @ strain, rel=1e-9, abs=1e-8)
