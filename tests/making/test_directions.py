"""Sets of build directions, and how round faces stand in them."""

from __future__ import annotations

import numpy as np
import pytest
from bodies import LAYER, block, bracket, rod
from scipy.spatial import cKDTree

from printworthy.errors import InputError
from printworthy.inputs import CylinderSelector, Face, PlaneSelector
from printworthy.making import hemisphere, lay_figures, resting, round_faces, skin


@pytest.mark.parametrize("count", [1, 7, 1000])
def test_directions_are_unit_vectors_upwards(count: int) -> None:
    up = hemisphere(count)
    assert up.shape == (count, 3)
    np.testing.assert_allclose(np.linalg.norm(up, axis=1), 1, rtol=1e-12)
    assert (up[:, 2] > 0).all()


def test_both_hemispheres_are_closed_under_turning_over() -> None:
    both = hemisphere(1000, both=True)
    distance, match = cKDTree(both).query(-both)
    assert (distance == 0).all()
    assert sorted(match) == list(range(2000))


def test_the_spread_is_even() -> None:
    # Mean of n n^T over the sphere is I/3, and of z^4 is 1/5 (closed forms). 2 pi/N steradian each: the best packing
    # known (hexagonal) keeps neighbours sqrt(2/sqrt(3) 2 pi/N) apart; none is much closer than that, none far.
    up = hemisphere(1000)
    np.testing.assert_allclose(up.T @ up / 1000, np.eye(3) / 3, atol=1e-3)
    assert np.mean(up[:, 2] ** 4) == pytest.approx(1 / 5, abs=1e-5)
    ideal = np.sqrt(2 / np.sqrt(3) * 2 * np.pi / 1000)
    nearest = cKDTree(hemisphere(1000, both=True)).query(up, k=2)[0][:, 1]
    assert nearest.max() < 1.1 * ideal
    inner = up[:, 2] > 0.1  # the two halves meet at the equator without knowing of each other
    assert nearest[inner].min() > 0.7 * ideal


def test_no_directions_are_refused() -> None:
    with pytest.raises(InputError, match="one or more"):
        hemisphere(0)


def test_a_block_rests_on_its_six_faces_largest_first() -> None:
    up = resting(skin(block(30, 20, 10)))
    np.testing.assert_allclose(np.abs(up), [[0, 0, 1]] * 2 + [[0, 1, 0]] * 2 + [[1, 0, 0]] * 2, atol=1e-12)
    np.testing.assert_allclose(up[::2] + up[1::2], 0, atol=1e-12)
    assert len(resting(skin(block(30, 20, 10)), most=2)) == 2


def test_a_bracket_also_rests_on_the_edges_of_its_arms() -> None:
    # Hull of the C with a base of 22 and an arm of 40: its slope joins (22, 0) and (40, 35).
    up = resting(skin(bracket(22, 40, 20)))
    slope = -np.array([35.0, 0, -18]) / np.hypot(35, 18)
    assert np.abs(up @ slope - 1).min() < 1e-9
    f = lay_figures(bracket(22, 40, 20), up, overhang_angle=45, layer_height=LAYER, bed=(200.0, 200.0, 200.0))
    assert (f.contact_area > 1).all()


def test_a_hole_and_a_shaft_and_how_they_stand() -> None:
    shaft = rod(6, 50, 90)
    middle = shaft.corners.mean(axis=1)
    wall = np.flatnonzero(np.hypot(middle[:, 0], middle[:, 1]) > 5.9)
    faces = {
        "seat": Face("seat", CylinderSelector((0, 0, 0), (0, 0, 2), 6.0)),
        "end": Face("end", PlaneSelector((0, 0, 0), (0, 0, -1))),
    }
    facets = {"seat": wall, "end": np.arange(3)}
    (seat,) = round_faces(shaft, faces, facets)
    assert (seat.name, seat.hole, seat.axis) == ("seat", False, (0, 0, 1))
    inward = type(shaft)(shaft.corners[:, ::-1])
    assert round_faces(inward, faces, facets)[0].hole
    directions = np.array([[0, 0, 1], [0, 0, -1], [1, 0, 0], [1, 0, 1]])
    f = lay_figures(
        shaft, directions, overhang_angle=45, layer_height=LAYER, bed=(200.0, 200.0, 200.0), round_faces=(seat,)
    )
    np.testing.assert_allclose(f.round_angle[:, 0], [0, 0, 90, 45], atol=1e-12)
    assert f.at(3).round_angle == {"seat": pytest.approx(45)}
