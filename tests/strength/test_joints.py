"""Joints against sums done by hand; the formulas are those of Bruhn D1 and of clamped hubs (from memory)."""

from __future__ import annotations

from math import inf

import pytest

from printworthy.inputs import BoltJoint, ClampJoint, InsertJoint
from printworthy.strength.joints import joint_checks
from specimens import design_values

DESIGN = design_values(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=50.0)
BOLT = BoltJoint("pivot", diameter=8.0, thickness=12.0, edge_distance=16.0, load=1200.0)


def test_bolt_bears_on_the_weaker_compression_and_shears_out_by_the_weaker_shear() -> None:
    bearing, shear_out = joint_checks(BOLT, DESIGN, 1.5)
    assert (bearing.demand, bearing.capacity) == pytest.approx((1800, 50 * 8 * 12))
    assert (shear_out.demand, shear_out.capacity) == pytest.approx((1800, 2 * 25 * 12 * (16 - 4)))
    assert bearing.utilisation == pytest.approx(0.375)
    assert shear_out.utilisation == pytest.approx(0.25)
    assert bearing.decided
    assert shear_out.decided


def test_a_hole_that_breaks_the_edge_has_no_capacity() -> None:
    open_ = BoltJoint("pivot", diameter=8.0, thickness=12.0, edge_distance=4.0, load=1200.0)
    assert joint_checks(open_, DESIGN, 1.5)[1].utilisation == inf


@pytest.mark.parametrize(("washer", "pressure"), [(16.0, 53.0516), (8.0, inf), (0.0, inf)])
def test_preload_through_plastic_is_not_decided(washer: float, pressure: float) -> None:
    """8 kN on the ring of 16 and 8 mm: 8000 / (pi / 4 (256 - 64)) = 53.05 MPa."""
    tight = BoltJoint("pivot", 8.0, 12.0, 16.0, 1200.0, preload=8000.0, washer=washer)
    found = joint_checks(tight, DESIGN, 1.5)[2]
    assert found.demand == pytest.approx(pressure, rel=1e-5)
    assert not found.decided
    assert "sleeve" in found.words


def test_a_sleeve_takes_the_preload() -> None:
    sleeved = BoltJoint("pivot", 8.0, 12.0, 16.0, 1200.0, preload=8000.0, washer=16.0, sleeve=True)
    assert len(joint_checks(sleeved, DESIGN, 1.5)) == 2


def test_insert_is_decided_only_by_a_pull_test() -> None:
    (guessed,) = joint_checks(InsertJoint("m4", 5.6, 8.0, 400.0), DESIGN, 1.5)
    assert guessed.capacity == pytest.approx(3518.58, rel=1e-5)  # pi 5.6 8 25
    assert not guessed.decided
    (pulled,) = joint_checks(InsertJoint("m4", 5.6, 8.0, 400.0, pull_out=900.0), DESIGN, 1.5)
    assert (pulled.demand, pulled.capacity, pulled.decided) == (600.0, 900.0, True)


def test_clamp_slips_at_friction_times_force_times_bore() -> None:
    (slip,) = joint_checks(ClampJoint("stem", 25.4, 30.0, 2, 4000.0, 0.2, 20e3), DESIGN, 1.5)
    assert slip.capacity == pytest.approx(0.2 * 2 * 4000 * 25.4)
    assert slip.demand == pytest.approx(30e3)
    assert not slip.decided
