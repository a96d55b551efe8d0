"""What a stiffness must obey under any rotation, and which constants are refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from printworthy.errors import CardError
from printworthy.strength.elastic import isotropic_mean, layer_frame, matrix, rotated, tensor, transversely_isotropic
from specimens import part_stiffness

PRINT = transversely_isotropic(8000.0, 3000.0, 0.35, 0.40, 1100.0)
NUMBER = st.floats(-1, 1)
VECTOR = st.tuples(NUMBER, NUMBER, NUMBER).filter(lambda v: float(np.linalg.norm(v)) > 1e-3)


def rotation(axis: tuple[float, float, float], angle: float) -> np.ndarray:
    """Rodrigues' formula."""
    k = np.asarray(axis) / np.linalg.norm(axis)
    cross = np.array([[0, -k[2], k[1]], [k[2], 0, -k[0]], [-k[1], k[0], 0]])
    return np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross


@given(VECTOR)
def test_layer_frame_is_a_rotation_onto_the_build_direction(direction: tuple[float, float, float]) -> None:
    a = layer_frame(direction)
    assert a @ a.T == pytest.approx(np.eye(3), abs=1e-12)
    assert float(np.linalg.det(a)) == pytest.approx(1, abs=1e-12)
    assert a[2] * np.linalg.norm(direction) == pytest.approx(np.asarray(direction), abs=1e-12)


def test_no_direction_is_refused() -> None:
    with pytest.raises(ValueError, match="needs a length"):
        layer_frame((0, 0, 0))


@given(VECTOR, st.floats(-4, 4), VECTOR, st.floats(-4, 4))
def test_two_turns_are_one(first: tuple, angle: float, second: tuple, more: float) -> None:
    a, b = rotation(first, angle), rotation(second, more)
    assert rotated(rotated(PRINT, a), b) == pytest.approx(rotated(PRINT, b @ a), abs=1e-8)


@given(VECTOR, st.floats(-4, 4))
def test_turning_keeps_energies_and_the_mean(axis: tuple, angle: float) -> None:
    c = rotated(PRINT, rotation(axis, angle))
    assert c == pytest.approx(c.T, abs=1e-8)
    assert np.linalg.eigvalsh(c)[0] > 0
    assert isotropic_mean(c) == pytest.approx(isotropic_mean(PRINT), abs=1e-8)


@given(VECTOR, st.floats(-4, 4))
def test_axes_in_the_layer_do_not_matter(direction: tuple, angle: float) -> None:
    c = part_stiffness(PRINT, direction)
    assert rotated(c, rotation(direction, angle)) == pytest.approx(c, abs=1e-8)
    assert part_stiffness(PRINT, tuple(-x for x in direction)) == pytest.approx(c, abs=1e-8)


def test_tensor_and_matrix_are_one() -> None:
    assert matrix(tensor(PRINT)) == pytest.approx(PRINT, abs=0)


@given(st.floats(-0.99, 0.99), st.floats(-2, 2), st.floats(100, 1e4), st.floats(100, 1e4))
def test_only_constants_of_positive_energy_pass(nu_in: float, nu: float, e_in: float, e_through: float) -> None:
    """Lempriere 1968 (from memory): with 1 - nu12 > 2 nu13^2 E3 / E1 and |nu12| < 1 the strain energy is positive."""
    room = 1 - nu_in - 2 * nu**2 * e_through / e_in
    assume(abs(room) > 1e-6)
    if room > 0:
        c = transversely_isotropic(e_in, e_through, nu_in, nu, 500.0)
        assert np.linalg.eigvalsh(c)[0] > 0
    else:
        with pytest.raises(CardError, match="negative strain energy"):
            transversely_isotropic(e_in, e_through, nu_in, nu, 500.0)
