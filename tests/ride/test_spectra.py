"""From logs, statistics and computed courses to cycles: closed forms, and what is asked rather than guessed."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from machines import carrier, event

from printworthy.errors import InputError
from printworthy.evidence.damage import spectrum
from printworthy.inputs import Duty, Full, Log, RideSpan, Shaking
from printworthy.ride.spectra import Spectrum, classes, rayleigh, settled, weibull
from printworthy.ride.transient import computed_courses
from printworthy.workspace.logs import turning_points

G = 9806.65


ACTS = Full(3 * G)


def logged(turning: tuple[float, ...], full: Full | str = ACTS, per: str = "h", **more: object) -> Duty:
    log = Log(Path("a.csv"), "up", full, "none", turning=turning, seconds=36.0)
    return Duty(per, (), "test", log=replace(log, **more))  # type: ignore[arg-type]


def test_a_log_becomes_shares_of_the_load_at_which_the_case_acts_in_full() -> None:
    # two swings between 1 g and 2.5 g in 36 s: 100 times an hour, ranges 0.5 and, with the way from rest, 2.5 / 3
    found = settled(logged((G, 2.5 * G, G, 2.5 * G, G)))
    assert found is not None
    assert found.passes == pytest.approx(100)
    rows = spectrum(found)
    assert rows[np.isclose(rows[:, 0], 0.5), 2].sum() == pytest.approx(100)
    assert rows[np.isclose(rows[:, 0], 2.5 / 3), 2].sum() == pytest.approx(100)
    assert rows[:, 2].sum() == pytest.approx(200)


def test_a_log_stands_for_the_ride_it_covers() -> None:
    found = settled(logged((0.0, G, 0.0), per="km", covers=RideSpan(0.25, "km")))
    assert found is not None
    assert found.passes == pytest.approx(4.0)
    with pytest.raises(InputError, match=r"covers 2 h, and the duty counts by km"):
        settled(logged((0.0, G, 0.0), per="km", covers=RideSpan(2.0, "h")))


def test_the_number_of_an_event_says_where_its_load_acts_in_full() -> None:
    rough = event("rough road", sprung=2 * G, unsprung=4 * G)
    found = settled(logged((0.0, G, 0.0), full="sprung"), rough)
    assert found is not None
    assert max(found.history) == pytest.approx(0.5)
    with pytest.raises(InputError, match=r'"force" is no number of the event.*sprung, unsprung'):
        settled(logged((0.0, G, 0.0), full="force"), rough)


def test_forces_are_not_divided_by_an_acceleration() -> None:
    rough, pull = event("rough road", sprung=2 * G, unsprung=4 * G), event("lever pull", force=220.0)
    with pytest.raises(InputError, match=r"holds forces, and full is given in accelerations"):
        settled(logged((0.0, 100.0, 0.0), full="sprung", quantity="force"), rough)
    with pytest.raises(InputError, match=r"holds accelerations, and full is given in forces"):
        settled(logged((0.0, G, 0.0), full=Full(220.0, "force")))
    found = settled(logged((0.0, 110.0, 0.0), full="force", quantity="force"), pull)
    assert found is not None
    assert max(found.history) == pytest.approx(0.5)


def test_turning_points_keep_ends_and_turns() -> None:
    assert turning_points(np.array([0, 1, 2, 2, 1, 1, 3, 3.0])).tolist() == [0, 2, 1, 3]
    assert turning_points(np.array([5.0, 5.0])).tolist() == [5.0]


@pytest.mark.parametrize("power", [3, 6, 10])
def test_classes_keep_the_moments_of_the_rayleigh_distribution(power: int) -> None:
    # closed form: the mean of a^m is (sqrt(2) rms)^m Gamma(1 + m/2), the damage sum of narrow-band shaking
    amplitudes, counts = classes(Spectrum(2.0, 5.0, rayleigh), 3600.0)
    assert counts.sum() == pytest.approx(18000, rel=1e-3)
    closed = (math.sqrt(2) * 2.0) ** power * math.gamma(1 + power / 2)
    assert (counts * amplitudes**power).sum() / 18000 == pytest.approx(closed, rel=2e-3)


def test_the_weibull_model_meets_rms_and_crest() -> None:
    above = weibull(5.0, 200.0)
    amplitudes, counts = classes(Spectrum(1.0, 5.0, above), 3600.0)
    assert (counts * amplitudes**2).sum() / counts.sum() == pytest.approx(2.0, rel=1e-2)
    assert float(above(np.array(5.0))) == pytest.approx(1 / 200, rel=1e-9)
    # a Gaussian record has a largest value of sqrt(2 ln N): that crest factor gives Rayleigh back
    same = weibull(math.sqrt(2 * math.log(200.0)), 200.0)
    assert float(same(np.array(2.0))) == pytest.approx(math.exp(-2), rel=1e-6)


def test_a_crest_that_stands_out_is_refused() -> None:
    with pytest.raises(InputError, match=r"crest factor of 23 in 125 cycles.*Rayleigh and peaks"):
        weibull(23.0, 125.0)


def test_single_blows_come_once_in_each_record() -> None:
    shaking = Shaking("Rayleigh and peaks", Full(3 * G), "none", 1.0, rms=(0.2 * G, 0.4 * G), crossings=(4.0, 6.0),
                      crest=(5.0, 20.0), over=20.0)  # fmt: skip
    found = settled(Duty("h", (), "test", shaking=shaking))
    assert found is not None
    rows = spectrum(found)
    largest = int(np.argmax(rows[:, 0]))
    assert rows[largest, 0] == pytest.approx(2 * 20 * 0.4 / 3)
    assert rows[largest, 2] == pytest.approx(180)


def test_statistics_have_two_ends() -> None:
    shaking = Shaking("Rayleigh", Full(3 * G), "to add", 0.5, rms=(0.2 * G, 0.4 * G), crossings=(4.0, 6.0))
    found = settled(Duty("h", (), "test", shaking=shaking))
    assert found is not None
    hard, mild = spectrum(found), spectrum(found, gentle=True)
    assert hard[:, 2].sum() == pytest.approx(6 * 1800, rel=1e-3)
    assert mild[:, 2].sum() == pytest.approx(4 * 1800, rel=1e-3)
    assert hard[:, 0].max() / mild[:, 0].max() == pytest.approx(2.0, rel=0.02)
    assert hard[:, 1] == pytest.approx(1 / 3)  # the weight acts all the while
    per_km = settled(Duty("km", (), "test", shaking=replace(shaking, speed=5000.0)))
    assert per_km is not None
    assert spectrum(per_km)[:, 2].sum() == pytest.approx(6 * 0.5 * 200, rel=1e-3)  # 200 s for a kilometre


def test_a_bump_rings_on_in_the_counted_course() -> None:
    courses = computed_courses(carrier(), event("bump", height=40.0, length=500.0, speed=3333.0))
    front = courses["front wheel"]
    assert np.max(front) == pytest.approx(1.0)
    duty = settled(Duty("h", (), "test", (), 6.0, computed=True), None, front)
    assert duty is not None
    rows = spectrum(duty)
    assert 1.0 <= rows[:, 0].max() < 1.1  # from nothing, or from a pull of the damper, to its largest
    assert rows[:, 2].sum() > 6  # and smaller ones after it
    with pytest.raises(InputError, match="no course of the load is computed"):
        settled(Duty("h", (), "test", (), 6.0, computed=True))
    assert computed_courses(carrier(), event("braking")) == {}
