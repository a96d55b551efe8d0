"""S-N lines, survival and damage: known parameters come back, the limit keeps its promise, more is worse.

Published values are in tests/validation (ASTM E739, Schmee and Hahn, ASTM E1049, Dowling, Palmgren and Miner).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.errors import CardError, Place
from printworthy.evidence.damage import miner, rainflow_cycles, spectrum
from printworthy.evidence.fatigue import as_tested, goodman, sn_curve, survival_life, walker
from printworthy.evidence.life import Chance, spent
from printworthy.evidence.regression import censored_line
from printworthy.inputs import Cycle, Duty, FatigueSet

HERE = Place(Path("evidence/tired.csv"), 2)
A, B, S = 14.0, -8.0, 0.25  # log10 N = A + B log10 amplitude + S normal
LEVELS = np.log10([9.0, 12.0, 16.0])
AMPLITUDE = st.floats(0.5, 30.0)


def made(seed: int, each: int, end: float = np.inf) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Lives drawn from the line above, taken off at `end` cycles."""
    rng = np.random.default_rng(seed)
    x = np.repeat(LEVELS, each)
    y = A + B * x + S * rng.standard_normal(len(x))
    off = y > np.log10(end)
    return x, np.minimum(y, np.log10(end)), off


def tired(seed: int = 7341, each: int = 5, end: float = np.inf, **changed: object) -> FatigueSet:
    x, y, off = made(seed, each, end)
    stated = {
        "name": "tired", "material": "stuff", "direction": "between layers", "ratio": 0.0,
        "amplitudes": tuple(10**x), "cycles": tuple(10**y), "run_outs": tuple(map(bool, off)), "temperature": 23.0,
        "moisture": "", "source": "drawn", "invented": False, "place": HERE,
    } | changed  # fmt: skip
    return FatigueSet(**stated)  # type: ignore[arg-type]


@pytest.mark.parametrize("end", [np.inf, 1e6])
def test_known_parameters_come_back(end: float) -> None:
    """Of 3000 lives, with a third of them run-outs: within three standard errors of the line they were drawn from."""
    x, y, off = made(90210, 1000, end)
    assert (0.25 < off.mean() < 0.45) == np.isfinite(end)
    line = censored_line(x, y, off)
    assert abs(line.slope - B) < 3 * S * np.sqrt(line.leverage[2])
    assert abs(line.deviation - S) < 3 * S / np.sqrt(2 * line.failures)
    middle = line.intercept + line.slope * LEVELS[1]
    assert abs(middle - (A + B * LEVELS[1])) < 3 * S / np.sqrt(line.failures)


def test_run_outs_taken_as_breaks_would_shorten_the_life() -> None:
    x, y, off = made(4242, 200, 1e6)
    right, wrong = censored_line(x, y, off), censored_line(x, y, np.zeros_like(off))
    low = LEVELS[0]
    assert wrong.intercept + wrong.slope * low < right.intercept + right.slope * low - 0.3
    assert right.intercept + right.slope * low == pytest.approx(A + B * low, abs=0.1)


@pytest.mark.parametrize(("each", "end", "most"), [(2, np.inf, 0.975), (4, np.inf, 0.97), (4, 1e6, 1.0), (8, 1e6, 1.0)])
def test_the_lower_life_keeps_its_promise(each: int, end: float, most: float) -> None:
    """In 95 of 100 sets at least 90 % of coupons outlive it; without run-outs in no more, to the luck of 600 sets."""
    at = np.log10(10.0)
    truth = A + B * at - 1.2815515655 * S
    kept = total = 0
    for seed in range(600):
        try:
            curve = sn_curve(tired(seed, each, end))
        except CardError:  # too few broke: refused, no promise is made
            continue
        low = float(survival_life(curve, 10**at, p=0.9, confidence=0.95))
        kept, total = kept + (np.log10(low) <= truth), total + 1
    assert total > 500
    assert 0.928 <= kept / total <= most


def test_a_stated_least_scatter_lowers_the_life() -> None:
    curve = sn_curve(tired(each=20))
    low, lower = (float(survival_life(curve, 10.0, p=0.9, confidence=0.95, minimum_cv=c)) for c in (0.0, 0.12))
    # 12 % of strength along a slope of 8: log10 lives scatter by about 8 x 0.12/ln 10 = 0.42
    k = np.log10(float(survival_life(curve, 10.0, p=0.5, confidence=0.5)) / low) / curve.deviation
    assert np.log10(low / lower) == pytest.approx(k * (-curve.slope * 0.11957 / np.log(10) - curve.deviation), rel=1e-3)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"run_outs": (True,) * 15}, "three known values"),
        ({"amplitudes": (9.0,) * 15}, "three known values at two or more places"),
        ({"cycles": tuple(10 ** (A + B * np.repeat(LEVELS, 5)))}, "lie exactly on one"),
        ({"amplitudes": tuple(10 ** np.repeat(LEVELS[::-1], 5))}, "life grows with stress"),
    ],
)
def test_no_curve_is_one_line_with_its_place(changed: dict[str, object], words: str) -> None:
    with pytest.raises(CardError) as stop:
        sn_curve(tired(**changed))
    assert str(stop.value).startswith('evidence/tired.csv:2: fatigue set "tired": ')
    assert words in str(stop.value)


@given(AMPLITUDE, st.floats(-1.0, 0.9), st.floats(60.0, 200.0))
def test_a_cycle_of_the_tests_own_ratio_is_the_test(amplitude: float, ratio: float, strength: float) -> None:
    mean = amplitude * (1 + ratio) / (1 - ratio)
    if amplitude + mean < strength:
        assert as_tested(amplitude, mean, ratio, strength) == pytest.approx((amplitude, amplitude), rel=1e-9)


@given(AMPLITUDE, st.floats(-40.0, 40.0), st.floats(0.0, 10.0))
def test_a_higher_mean_is_never_milder(amplitude: float, mean: float, more: float) -> None:
    assert goodman(amplitude, mean + more, 90.0) >= goodman(amplitude, mean, 90.0)
    assert walker(amplitude, mean + more) >= walker(amplitude, mean)


def test_compression_gets_no_credit_by_goodman_and_does_nothing_by_walker() -> None:
    assert goodman(10.0, -30.0, 90.0) == 10.0
    assert walker(10.0, -30.0) == 0.0
    assert goodman(10.0, 90.0, 90.0) == np.inf


COURSE = st.lists(st.floats(-1, 1).map(lambda v: round(v, 3)), min_size=2, max_size=30)


@given(COURSE)
def test_a_repeated_course_is_made_of_whole_cycles_up_to_its_range(course: list[float]) -> None:
    counted = rainflow_cycles(course, repeats=True)
    whole: dict[tuple[float, float], float] = {}
    for c in counted:
        whole[c.range, c.mean] = whole.get((c.range, c.mean), 0.0) + c.count
    assert all(count == int(count) for count in whole.values())
    span = max(course) - min(course)
    assert max((c.range for c in counted), default=0.0) == pytest.approx(span, abs=1e-12)


def test_a_duty_is_its_cycles_and_its_history_unloaded_in_between() -> None:
    duty = Duty("h", (Cycle.swing(1.0, 0.0, 40), Cycle.swing(0.5, -1.0, 3)), "test", (1.0, 0.5, 0.8), 2.0)
    rows = sorted(map(tuple, np.round(spectrum(duty), 12)))
    # 0 -> 1 -> 0.5 -> 0.8 -> 0, again and again: one cycle of 1 and one of 0.3 about 0.65 a pass
    merged: dict[tuple[float, float], float] = {}
    for size, mean, count in rows:
        merged[size, mean] = merged.get((size, mean), 0.0) + count
    assert merged == {(1.0, 0.5): 42.0, (1.0, 0.0): 3.0, (0.3, 0.65): 2.0}


SPECTRUM = st.lists(
    st.tuples(st.floats(0.05, 1.0), st.floats(-0.5, 0.5), st.floats(0.1, 1e4)), min_size=1, max_size=8
).map(np.array)
CURVE = sn_curve(tired(end=1e6))
LOW = Chance(0.9, 0.95, 0.12, harsher=True)
HALF = Chance(0.5, 0.05, 0.0, harsher=False)


@given(SPECTRUM, st.floats(1.0, 20.0), st.floats(0.1, 50.0))
def test_damage_goes_as_the_count_and_adds_up(cycles: np.ndarray, stress: float, times: float) -> None:
    once = spent(cycles, stress, CURVE, 60.0, LOW).damage
    more = cycles * np.array([1.0, 1.0, times])
    assert spent(more, stress, CURVE, 60.0, LOW).damage == pytest.approx(times * once, rel=1e-9)
    both = spent(np.vstack([cycles, more]), stress, CURVE, 60.0, LOW).damage
    assert both == pytest.approx((1 + times) * once, rel=1e-9)


@given(SPECTRUM, st.floats(1.0, 20.0), st.floats(1.0, 1.5))
def test_more_stress_is_more_damage_and_the_harsh_judgement_the_harsher(
    cycles: np.ndarray, stress: float, more: float
) -> None:
    low, half = (spent(cycles, stress, CURVE, 60.0, chance).damage for chance in (LOW, HALF))
    assert spent(cycles, stress * more, CURVE, 60.0, HALF).damage >= half * (1 - 1e-9)
    assert low >= half * (1 - 1e-9)


def test_a_cycle_up_to_the_strength_breaks_at_once() -> None:
    cycles = np.array([[1.0, 0.5, 1.0]])
    assert spent(cycles, 60.0, CURVE, 60.0, LOW).damage > 1e6
    assert spent(np.zeros((0, 3)), 60.0, CURVE, 60.0, LOW).damage == 0.0


def test_miner_is_linear() -> None:
    assert miner([2, 4], [10, 40]) == pytest.approx(0.3)
