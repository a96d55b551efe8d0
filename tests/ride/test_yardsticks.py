"""Component tests as loads on a part: statics by hand, values of the standard as listed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from machines import carrier

from printworthy.inputs import CylinderSelector, Face, Geometry, Mounting, Part, RideEvent, Vehicle
from printworthy.ride.events import happenings
from printworthy.ride.loads import cases
from printworthy.ride.standards import TESTS
from printworthy.ride.yardsticks import BY_ROLE, yardsticks

SIDES = ("left", "right")
STOP = RideEvent("stop", "braking", "test", {"severity": 0.5}, {"brakes": "front"})
AXLE_TO_YOKE = 520.0  # [mm] lower bearing above the ground; the wheel's radius is 165


def part(
    role: str, ports: dict[str, tuple[float, float, float]], faces: dict[str, tuple[str, ...]], **more: object
) -> Part:
    chosen = {n: Face(n, CylinderSelector(at, (0.0, 0.0, 1.0), 10.0)) for n, at in ports.items()}
    mounting = Mounting((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), faces=faces, **more)  # type: ignore[arg-type]
    return Part("p", "p", Geometry(Path("p.step")), role, "petg", chosen, (), (), mounting=mounting)


def total(case: object, kinds: tuple[str, ...] = ("force", "bearing")) -> np.ndarray:
    return sum((np.array(x.vector) for x in case.loads if x.kind in kinds), np.zeros(3))  # type: ignore[attr-defined]


def test_a_peg_bears_the_pedal_tests() -> None:
    found = {c.name: c for c in yardsticks(part("peg", {"t": (0, 0, 0)}, {"tread": ("t",)}), carrier())}
    assert total(found["pedal, static"]) == pytest.approx([0, 0, -1500])
    hung = found["pedal, dynamic"]
    assert total(hung) == pytest.approx([0, 0, -80 * 9.80665])  # 80 kg
    assert hung.duty is not None
    assert hung.duty.cycles[0].count == 100_000
    assert found["pedal, static"].duty is None
    assert all(x.kind != "gravity" for c in found.values() for x in c.loads)


def test_a_bar_clamp_bears_the_moment_of_its_end() -> None:
    # check by hand: 600 N down along the steering axis at a grip 240 mm outside the riser; both risers together take
    # the force, and the moment about the line of travel is 600 x 300 mm about the middle of the bar
    m = carrier()
    left = {c.name: c for c in yardsticks(_clamp("left"), m)}["bar and stem, bent sideways"]
    right = {c.name: c for c in yardsticks(_clamp("right"), m)}["bar and stem, bent sideways"]
    tilt = np.radians(m.rake)
    down = -600 * np.array([-np.sin(tilt), 0, np.cos(tilt)])
    assert total(left) + total(right) == pytest.approx(down, abs=1e-3)
    forces = total(left), total(right)
    moments = [total(c, ("moment", "bearing moment")) for c in (left, right)]
    about = np.cross((0, 60, 0), forces[0]) + np.cross((0, -60, 0), forces[1]) + moments[0] + moments[1]
    lever = np.array([760.0 - 780.0, 300.0, 900.0 - 850.0])
    assert about == pytest.approx(np.cross(lever, down), rel=1e-6, abs=1.0)


def test_a_bar_clamp_bears_the_twist_about_the_steerer() -> None:
    # by hand: 40 N m about the steering axis, by both risers together: their moments, and their forces 120 mm apart
    m = carrier()
    each = [{c.name: c for c in yardsticks(_clamp(side), m)}["stem on the steerer, twisted"] for side in SIDES]
    forces = [total(c) for c in each]
    moments = [total(c, ("moment", "bearing moment")) for c in each]
    about = np.cross((0, 60, 0), forces[0]) + np.cross((0, -60, 0), forces[1]) + moments[0] + moments[1]
    tilt = np.radians(m.rake)
    assert sum(forces) == pytest.approx([0, 0, 0], abs=1e-6)
    assert about == pytest.approx(40e3 * np.array([-np.sin(tilt), 0, np.cos(tilt)]), rel=1e-6, abs=1e-3)


def test_a_swing_arm_bears_its_share_of_the_frame_test() -> None:
    # by hand: the beam on two axles; 1000 N stand 70 mm behind the seat, the rear axle takes (p - x) / p of them
    m = carrier()
    assert m.joints.seat is not None
    arm = part("swing arm", {"a": (0, 0, 165)}, {"axle": ("a",)}, on="swing arm")
    found = {c.name: c for c in yardsticks(arm, m)}
    case = found["frame, vertical fatigue"]
    share = 1 - (m.joints.seat[0] - 70) / m.wheelbase
    assert np.linalg.norm(total(case)) == pytest.approx(1000 * share, rel=1e-6)
    assert case.duty is not None
    assert case.duty.cycles[0].count == 50_000
    # along the wheelbase: axles of one height, so that the rear one takes the whole force and nothing upright
    assert total(found["frame, horizontal fatigue"]) == pytest.approx([-450, 0, 0], abs=1e-6)
    mountain = found["frame, horizontal fatigue, mountain"]
    assert total(mountain) == pytest.approx([-1200, 0, 0], abs=1e-6)
    assert mountain.duty is not None
    assert (mountain.duty.cycles[0].range, mountain.duty.cycles[0].mean) == pytest.approx((1.5, 0.25))  # 600 back


def test_a_head_bears_the_horizontal_fatigue_of_a_frame() -> None:
    # by hand: the fork cut free, moments about the upper bearing; lengths along the axis from where the axle stands
    m = carrier()
    gusset = part("steering-head gusset", {"s": (0, 0, 0)}, {"saddle": ("s",)})
    found = {c.name: c for c in yardsticks(gusset, m)}
    tilt = np.radians(m.rake)
    ahead, up = np.array([np.cos(tilt), 0, np.sin(tilt)]), np.array([-np.sin(tilt), 0, np.cos(tilt)])
    low, high = ((h - 165.0 + m.offset * np.sin(tilt)) / np.cos(tilt) for h in (520.0, 720.0))
    across = 450 * (high * np.cos(tilt) - m.offset * np.sin(tilt)) / (high - low)
    by_hand = across * ahead - 450 * np.sin(tilt) * up
    assert total(found["frame, horizontal fatigue"]) == pytest.approx(by_hand, rel=1e-6)
    assert "cargo bicycle's frame, vertical fatigue" in found


def test_the_stem_alone_is_bent_sideways() -> None:
    # by hand: 600 N at 300 mm beside the middle of the bar, taken by both risers, 120 mm apart
    m = carrier()
    each = [{c.name: c for c in yardsticks(_clamp(side), m)} for side in SIDES]
    tilt = np.radians(m.rake)
    down = np.array([np.sin(tilt), 0, -np.cos(tilt)])
    for name, force, arm in (("stem, bent sideways", 600, 300.0), ("stem, bent sideways, racing", 1000, 230.0)):
        forces = [total(found[name]) for found in each]
        moments = [total(found[name], ("moment", "bearing moment")) for found in each]
        about = np.cross((0, 60, 0), forces[0]) + np.cross((0, -60, 0), forces[1]) + moments[0] + moments[1]
        assert sum(forces) == pytest.approx(force * down, abs=1e-3)
        assert about == pytest.approx(np.cross((0, arm, 0), force * down), rel=1e-6, abs=1.0)
    assert total(each[0]["stem, bent forward, second stage"]) == pytest.approx(
        total(each[0]["stem, bent forward"]) * 2000 / 1600
    )


def test_a_wheel_turns_under_its_bending_moment() -> None:
    # by hand: S m F R with the front load of the standing rider, masses times their distances over the wheelbase
    m = carrier()
    wheel = part("wheel", {"r": (0, 0, 0)}, {"rim": ("r",)}, on="front wheel")
    found = {c.name: c for c in yardsticks(wheel, m)}
    load = (40 * 560 + 40 * 400 + 75 * 480 + 7 * 1150) * 9.80665 / 1150
    size = 0.7 * 0.7 * load * 165
    turns = [total(found[f"wheel, rotating bending, {turn} deg"], ("moment",)) for turn in (0, 45, 90, 135)]
    assert turns[0] == pytest.approx([size, 0, 0])
    assert turns[2] == pytest.approx([0, 0, size])
    assert turns[1] == pytest.approx(np.sqrt(0.5) * (turns[0] + turns[2]))
    assert turns[3] == pytest.approx(np.sqrt(0.5) * (turns[2] - turns[0]))
    assert all(c.duty is not None and c.duty.cycles[0].count == 100_000 for c in found.values())


def test_a_foot_lever_bears_the_back_pedal_force() -> None:
    lever = part("foot lever", {"g": (0, 0, 0)}, {"grip": ("g",)}, pull=(0.0, 0.0, -1.0))
    (case,) = yardsticks(lever, carrier())
    assert total(case) == pytest.approx([0, 0, -1500])
    assert yardsticks(part("foot lever", {"g": (0, 0, 0)}, {"grip": ("g",)}), carrier()) == ()


def _clamp(side: str) -> Part:
    y = 60.0 if side == "left" else -60.0
    return part("bar clamp", {"b": (780.0, y, 850.0)}, {"bar": ("b",)}, side=side)


def test_a_yoke_bears_the_bending_of_the_fork() -> None:
    # both legs: the moment of the axle force about the lower yoke is taken by the pair of yokes, 200 mm of head apart
    m = carrier()
    yoke = part("yoke", {"l": (0, 80, 0), "r": (0, -80, 0)}, {"left leg": ("l",), "right leg": ("r",)}, on="fork")
    found = {c.name: c for c in yardsticks(yoke, m)}
    bent = total(found["fork, bent, static"])
    tilt = np.radians(m.rake)
    heights = [(h - 165.0) / np.cos(tilt) for h in (520.0, 720.0)]  # along the axis above the axle, but for the offset
    along = [h + m.offset * np.tan(tilt) for h in heights]
    by_hand = 1000 * along[1] / (along[1] - along[0])  # moments about the upper yoke
    assert bent[0] == pytest.approx(by_hand, rel=1e-6)  # x of a part on the fork is square to the axis
    tired = found["fork, bending fatigue, both ways"]
    assert total(tired) == pytest.approx(0.45 * bent)
    assert tired.duty is not None
    assert (tired.duty.cycles[0].range, tired.duty.cycles[0].mean) == (2.0, 0.0)


def test_every_test_has_a_role_and_unstated_geometry_leaves_it_out() -> None:
    assert {name for names in BY_ROLE.values() for name in names} == {t.name for t in TESTS}
    assert len({t.name for t in TESTS}) == len(TESTS)
    m = carrier()
    bare = replace(m, joints=replace(m.joints, grips=None))
    names = {c.name for c in yardsticks(_clamp("left"), bare)}
    ends = {"bar and stem, bent sideways", "bar fatigue, out of phase", "bar fatigue, in phase", "bar end pulled"}
    assert names == set(BY_ROLE["bar clamp"]) - ends
    assert yardsticks(part("seat shell", {}, {}), m) == ()


def test_a_fall_onto_the_right_side_pushes_the_other_way() -> None:
    fall = RideEvent("fall", "tip-over", "test", {"stiffness": 5.0}, {"lands_on": "peg"})
    vehicle = Vehicle("v", "v", 0.0, 20.0, machine=carrier(), events=(fall,))
    pushed = []
    for side in ("left", "right"):
        peg = part("peg", {"t": (0, 0, 0)}, {"tread": ("t",)}, side=side)
        (case,) = cases(peg, vehicle, carrier(), lambda e: happenings(carrier(), e), (fall,))
        pushed.append(total(case))
    assert pushed[0][1] < 0 < pushed[0][2]  # the ground under the left peg pushes up and to the right
    assert pushed[1] == pytest.approx(pushed[0] * [1, -1, 1])


def test_a_fork_is_pulled_out_of_its_yokes_and_pressed_into_them() -> None:
    """Along the steering axis: a pull of the axle draws the legs down and out; the tests of pull and of press are apart
    in sign, and go as 2300 and 2800 N."""
    m = carrier()
    leg = part("fork leg", {"a": (0, 80, 165)}, {"axle": ("a",)}, on="fork", side="left")
    found = {c.name: c for c in yardsticks(leg, m)}
    pulled, pressed = (total(found[f"suspension fork, {how}"]) for how in ("pulled", "pressed"))
    assert pulled[2] == pytest.approx(-1150.0)  # z of a part on the fork is up along the axis; one of two legs
    assert pressed == pytest.approx(-2800 / 2300 * pulled)
    assert total(found["fork without welds, pulled"]) == pytest.approx(5000 / 2300 * pulled)


def test_a_caliper_bracket_bears_the_brake_torque() -> None:
    # by hand: 50 N m over the 90 mm of the disc's radius
    m = carrier()
    bracket = part("caliper bracket", {"c": (0, 50, 250)}, {"caliper": ("c",)}, on="fork", side="left")
    ahead, back = (total(c) for c in yardsticks(bracket, m))
    assert np.linalg.norm(ahead) == pytest.approx(50e3 / 90)
    assert back == pytest.approx(-ahead)
    # braking: the disc, turning forward, drags the pads that lie ahead of the axle down
    braked = cases(
        bracket, Vehicle("v", "v", 0.0, 20.0, machine=m, events=(STOP,)), m, lambda e: happenings(m, e), (STOP,)
    )
    assert float(ahead @ total(braked[0])) > 0.99 * np.linalg.norm(ahead) * np.linalg.norm(total(braked[0]))


def test_the_end_of_a_bar_is_pulled_out_of_both_risers() -> None:
    m = carrier()
    each = [total({c.name: c for c in yardsticks(_clamp(side), m)}["bar end pulled"]) for side in SIDES]
    assert sum(each) == pytest.approx([0, 300, 0], abs=1e-6)
