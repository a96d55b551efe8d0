"""What events do: statics by hand (m g b / p), the landing in closed form F = m g (1 + sqrt(1 + 2 h k / (m g))) of a
rigid body on two equal springs, and courses that hold their own peaks."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from machines import carrier, event, rigid

from printworthy.errors import InputError
from printworthy.ride import happened
from printworthy.ride.kinds import problems

G = 9.80665  # [m/s2]


def test_standing_still_is_statics() -> None:
    """180 kg on the common centre: sums of the stated masses by hand; the seat and pegs bear the rider."""
    found = happened(carrier(), event("standing", {"posture": "seated"}, multiple=1.0))
    mass = 7 + 14 + 40 + 40 + 75
    ahead = (7 * 1150 + 40 * 560 + 40 * 400 + 75 * 420) / mass
    assert found.peaks["front wheel, ground"] == pytest.approx(mass * G * ahead / 1150, rel=1e-6)
    assert found.peaks["rear wheel, ground"] == pytest.approx(mass * G * (1 - ahead / 1150), rel=1e-6)
    assert 0.5 * 75 * G < found.peaks["seat"] < 75 * G
    assert found.course is None


def test_a_landing_on_springs_alone_is_the_closed_form_and_its_course_holds_the_peak() -> None:
    """180 kg, 0.15 m, two springs of 30 N/mm: 7671.93 N together (closed form), half of it each."""
    machine = rigid(180.0, 1400.0, 700.0, 500.0, (30.0, 30.0))
    found = happened(machine, event("landing", {"posture": "standing"}, height=150.0))
    half = 180 * G * (1 + math.sqrt(1 + 2 * 0.15 * 60000 / (180 * G))) / 2
    assert half == pytest.approx(7671.928 / 2, rel=1e-6)
    assert found.peaks["front wheel, ground"] == pytest.approx(half, rel=1e-3)
    assert found.course is not None
    assert max(found.course.forces["front tyre"]) == pytest.approx(found.peaks["front wheel, ground"], rel=1e-5)
    assert found.course.time[0] == 0.0
    assert list(found.course.time) == sorted(found.course.time)


def test_a_factor_counts_everywhere_and_a_push_lands_where_it_says() -> None:
    once = event("landing", {"posture": "standing"}, height=60.0)
    one, two = (happened(carrier(), replace(once, factor=f)) for f in (1.0, 1.3))
    assert two.peaks["one peg"] == pytest.approx(1.3 * one.peaks["one peg"])
    assert two.course is not None
    assert one.course is not None
    assert max(two.course.forces["rider"]) == pytest.approx(1.3 * max(one.course.forces["rider"]), rel=1e-5)
    kicked = happened(carrier(), event("kick", down=0.8, rearward=0.6))
    assert kicked.peaks == {"on one peg": pytest.approx(75 * G)}  # 0.8 and 0.6 of the weight, square to each other
    pulled = happened(carrier(), event("bar pull", force=200.0))
    assert pulled.peaks == {"on one grip": 200.0}


def test_what_joints_do_not_say_is_left_out() -> None:
    bare = carrier()
    bare = replace(bare, joints=replace(bare.joints, risers=None))
    found = happened(bare, event("standing", {"posture": "seated"}, multiple=1.0))
    assert set(found.peaks) == {"front wheel, ground", "rear wheel, ground"}


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (event("braking", deceleration=3.5 * 9806.65), "deceleration 3.5 g lies outside .* \\(0.01 g to 3 g\\)"),
        (event("tip-over", {"lands_on": "peg"}, stiffness=5e4), "50000 N/mm lies outside .* \\(1 N/mm to 2000 N/mm\\)"),
        (event("lifting", share=2.0), "share 2 lies outside"),
    ],
)
def test_a_range_is_told_in_the_units_people_write(wrong: object, words: str) -> None:
    (line,) = problems(wrong, carrier())  # type: ignore[arg-type]
    with pytest.raises(InputError, match=words):
        raise line


def test_the_end_of_a_range_is_within_it() -> None:
    assert list(problems(event("rough road", sprung=3 * 9806.65, unsprung=60 * 9806.65 * (1 + 1e-12)), carrier())) == []
