"""Joints against sums done by hand; formulas of Bruhn D1, of clamped hubs and of Lame's ring (from memory)."""

from __future__ import annotations

from math import inf

import pytest

from printworthy.errors import CardError
from printworthy.evidence.creep import Kept
from printworthy.inputs import BoltJoint, ClampJoint, InsertJoint, Joint, MaterialCard, PressFit, Quantity
from printworthy.results import Check
from printworthy.strength.joints import fit_pressure, joint_checks
from specimens import design_values

DESIGN = design_values(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=50.0)
UNKNOWN = Kept(0.0, 1.0, None, 40.0, False, "no creep figures", "none")
KEPT = Kept(0.5, 0.7, 1000.0, 23.0, True, "50 to 70 % is left", "a test")
CARD = MaterialCard("p", "p", "printed polymer", {
    "modulus_in_layer": Quantity(4000.0, "MPa", "a test", "measured"),
    "modulus_through": Quantity(2000.0, "MPa", "a test", "measured"),
    "poisson_in_layer": Quantity(0.4, "", "a test", "measured"),
    "expansion_in_layer": Quantity(60e-6, "1/K", "a test", "measured"),
    "hdt_180": Quantity(100.0, "degC", "a test", "measured"),
    "glass_transition": Quantity(110.0, "degC", "a test", "measured"),
})  # fmt: skip


def checked(joint: Joint, kept: Kept = UNKNOWN, cold: float = 23.0) -> tuple[Check, ...]:
    return joint_checks(joint, DESIGN, 1.5, CARD, kept, cold)


BOLT = BoltJoint("pivot", diameter=8.0, thickness=12.0, edge_distance=16.0, load=1200.0)


def test_bolt_bears_on_the_weaker_compression_and_shears_out_by_the_weaker_shear() -> None:
    bearing, shear_out = checked(BOLT)
    assert (bearing.demand, bearing.capacity) == pytest.approx((1800, 50 * 8 * 12))
    assert (shear_out.demand, shear_out.capacity) == pytest.approx((1800, 2 * 25 * 12 * (16 - 4)))
    assert bearing.utilisation == pytest.approx(0.375)
    assert shear_out.utilisation == pytest.approx(0.25)
    assert bearing.decided
    assert shear_out.decided


def test_a_hole_that_breaks_the_edge_has_no_capacity() -> None:
    open_ = BoltJoint("pivot", diameter=8.0, thickness=12.0, edge_distance=4.0, load=1200.0)
    assert checked(open_)[1].utilisation == inf


@pytest.mark.parametrize(("washer", "pressure"), [(16.0, 53.0516), (8.0, inf), (0.0, inf)])
def test_preload_through_plastic_is_not_decided(washer: float, pressure: float) -> None:
    """8 kN on the ring of 16 and 8 mm: 8000 / (pi / 4 (256 - 64)) = 53.05 MPa."""
    tight = BoltJoint("pivot", 8.0, 12.0, 16.0, 1200.0, preload=8000.0, washer=washer)
    found = checked(tight)[2]
    assert found.demand == pytest.approx(pressure, rel=1e-5)
    assert not found.decided
    assert "sleeve" in found.words


def test_a_sleeve_takes_the_preload() -> None:
    sleeved = BoltJoint("pivot", 8.0, 12.0, 16.0, 1200.0, preload=8000.0, washer=16.0, sleeve=True)
    assert len(checked(sleeved)) == 2


def test_insert_is_decided_only_by_a_pull_test() -> None:
    (guessed,) = checked(InsertJoint("m4", 5.6, 8.0, 400.0))
    assert guessed.capacity == pytest.approx(3518.58, rel=1e-5)  # pi 5.6 8 25
    assert not guessed.decided
    (pulled,) = checked(InsertJoint("m4", 5.6, 8.0, 400.0, pull_out=900.0))
    assert (pulled.demand, pulled.capacity, pulled.decided) == (600.0, 900.0, True)


@pytest.mark.parametrize(("kept", "capacity", "decided"), [(UNKNOWN, 1.0, False), (KEPT, 0.5, True)])
def test_clamp_slips_at_friction_times_force_times_bore(kept: Kept, capacity: float, decided: bool) -> None:
    (slip,) = checked(ClampJoint("stem", 25.4, 30.0, 2, 4000.0, 0.2, 13e3), kept)
    assert slip.capacity == pytest.approx(capacity * 0.2 * 2 * 4000 * 25.4)
    assert slip.demand == pytest.approx(19.5e3)
    assert slip.decided is decided
    assert "4000 N of each bolt at start" in slip.words


def test_between_the_ends_of_creep_a_clamp_is_not_decided_and_beyond_them_it_fails() -> None:
    torque = 0.2 * 2 * 4000 * 25.4 / 1.5
    (between,) = checked(ClampJoint("stem", 25.4, 30.0, 2, 4000.0, 0.2, 0.6 * torque), KEPT)
    assert not between.decided
    assert "only at the high end" in between.words
    for kept in (KEPT, UNKNOWN):
        (never,) = checked(ClampJoint("stem", 25.4, 30.0, 2, 4000.0, 0.2, 1.1 * torque), kept)
        assert never.utilisation > 1
        assert never.decided
        assert not never.of_strength


def test_preload_is_told_at_start_and_later() -> None:
    loose = BoltJoint("pivot", 8.0, 12.0, 16.0, 1200.0, preload=2000.0, washer=16.0)
    left = checked(loose, KEPT)[3]
    assert "2000 N at start, 1000 to 1400 N later" in left.words
    assert not left.decided  # nobody said how much is needed
    needs = BoltJoint("pivot", 8.0, 12.0, 16.0, 1200.0, preload=2000.0, washer=16.0, least_preload=900.0)
    assert checked(needs, KEPT)[3].utilisation == pytest.approx(0.9)
    assert checked(needs, KEPT)[3].decided
    assert not checked(needs)[3].decided


def test_a_ring_pressed_in() -> None:
    # By hand: D = 40, d = 20: (1600 + 400) / (1600 - 400) = 1.6667; p = 4000 0.05 / (20 (1.6667 + 0.4)) = 4.8387 MPa
    assert fit_pressure(4000, 0.4, 0.05, 20, 40) == pytest.approx(4.8387, rel=1e-4)
    fit = PressFit("bearing", 20.0, 40.0, 10.0, 0.05, 0.15, push=60.0, torque=500.0)
    hoop, push, turn = checked(fit, KEPT)
    assert (hoop.demand, hoop.capacity) == pytest.approx((4.8387 * 1.6667, 30.0), rel=1e-3)
    # old: half of the pressure of the softer direction, 2.4194 / 2; area pi 20 10 mm2; lever 10 mm
    assert push.capacity == pytest.approx(0.15 * 1.2097 * 628.32, rel=1e-3)
    assert turn.capacity == pytest.approx(0.15 * 1.2097 * 6283.2, rel=1e-3)
    assert push.decided


def test_heat_takes_interference() -> None:
    hot = Kept(1.0, 1.0, 1000.0, 73.0, True, "all is left", "a test")
    loose = 20 * 48e-6 * 50  # bore times difference of expansion times warming: 0.048 of 0.05 mm
    fit = PressFit("bearing", 20.0, 40.0, 10.0, 0.05, 0.15, push=1.0)
    push = checked(fit, hot)[1]
    assert push.capacity < 0.15 * 628.32 * fit_pressure(2000, 0.4, 0.05 - loose, 20, 40)  # and softer than at 23 degC
    assert push.capacity > 0


def test_cold_tightens_the_ring() -> None:
    fit = PressFit("bearing", 20.0, 40.0, 10.0, 0.05, 0.15, push=1.0)
    warm, cold = checked(fit, KEPT)[0], checked(fit, KEPT, cold=-27.0)[0]
    # By hand: 50 K times (60 - 12) 1e-6 times 20 mm = 0.048 mm more than 0.05 mm
    assert cold.demand / warm.demand == pytest.approx(0.098 / 0.05)


def test_a_ring_without_a_wall_is_refused() -> None:
    with pytest.raises(CardError, match="above the bore"):
        fit_pressure(4000, 0.4, 0.05, 20, 20)
