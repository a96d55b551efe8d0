"""Free bodies balance, or say what is left over."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.errors import LoadError
from printworthy.ride.bodies import GROUND, action, joint, solve

X, Y, Z = np.eye(3)
THREE = st.tuples(*[st.floats(-1000, 1000)] * 3)


@given(THREE, THREE, THREE)
def test_two_clamps_hold_any_wrench_and_balance_it(point: tuple, force: tuple, moment: tuple) -> None:
    held = [joint(n, GROUND, "bar", (0, y, 0), np.eye(3), np.eye(3)) for n, y in (("a", -60), ("b", 60))]
    found = solve(["bar"], held, [action("hand", "bar", point, force, moment)])
    total = found.forces["a"] + found.forces["b"] + force
    turning = (
        found.moments["a"] + found.moments["b"] + np.cross((0, -60, 0), found.forces["a"])
        + np.cross((0, 60, 0), found.forces["b"]) + np.cross(point, force) + moment
    )  # fmt: skip
    size = 1 + float(np.abs([force, moment]).max())
    assert np.abs(total).max() < 1e-8 * size
    assert np.abs(turning).max() < 1e-5 * size


def test_a_joint_that_only_pushes_lets_go() -> None:
    props = [joint(n, GROUND, "beam", (x, 0, 0), (Z,), (), 1.0, True) for n, x in (("a", 0), ("b", 100), ("c", 200))]
    held = [*props, joint("guide", GROUND, "beam", (0, 0, 0), (X, Y), (X, Z))]
    found = solve(["beam"], held, [action("load", "beam", (5, 0, 0), (0, 0, -90))])
    assert found.forces["c"] == pytest.approx([0, 0, 0])  # three equal springs would pull here
    assert found.forces["a"][2] == pytest.approx(90 * 0.95)


def test_what_nothing_holds_is_named() -> None:
    held = [joint("pin", GROUND, "lever", (0, 0, 0), np.eye(3), (X, Y))]
    with pytest.raises(LoadError, match=r"do not balance: .* left over on the lever"):
        solve(["lever"], held, [action("hand", "lever", (100, 0, 0), (0, -200, 0))])
