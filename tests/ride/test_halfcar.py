"""The bounce-pitch model keeps momentum and energy, and behaves as a vehicle does."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from machines import carrier, event, fall, rigid

from printworthy.errors import InputError, NotComputed
from printworthy.inputs import Machine
from printworthy.ride import halfcar
from printworthy.ride.mechanism import balance
from printworthy.ride.transient import bumped, channel_forces, landed, landing_run

G = 9806.65


@settings(max_examples=12, deadline=None)
@given(st.floats(5, 600), st.sampled_from(["standing", "seated"]), st.sampled_from(["both", "front", "rear"]))
def test_energy_and_momentum_are_kept(height: float, posture: str, wheel: str) -> None:
    e = event("landing", {"posture": posture, "wheel": wheel}, height=height)
    run = landing_run(carrier(), posture, np.array([height]), e)
    assert run.imbalance.max() < 1e-4
    # momentum: what the ground gives less what gravity takes is what the bodies gained
    b = run.model
    momentum = np.einsum("i,ij,rjt->rt", b.lift, b.mass, run.velocities)[0]
    given_up = np.concatenate([[0.0], np.cumsum(np.diff(run.time) * _mean(run.forces[0, :2].sum(axis=0)))])
    weight = G * float(b.lift @ b.mass @ b.lift) * run.time
    assert np.abs(momentum - momentum[0] - given_up + weight).max() < 0.02 * np.abs(momentum).max()


def _mean(values: np.ndarray) -> np.ndarray:
    return (values[1:] + values[:-1]) / 2


def test_height_only_adds() -> None:
    e = event("landing", height=100.0)
    heights = np.array([20.0, 50.0, 100.0, 300.0, 800.0])
    run = landing_run(carrier(), "standing", heights, e)
    for name in ("front tyre", "rear tyre", "rider"):
        peak = channel_forces(run)[name].max(axis=1)
        assert (np.diff(peak) > 0).all(), name


def test_many_heights_at_once_are_the_single_runs() -> None:
    e = event("landing", height=100.0)
    both = channel_forces(landing_run(carrier(), "standing", np.array([60.0, 240.0]), e))
    for i, height in enumerate((60.0, 240.0)):
        single = channel_forces(landing_run(carrier(), "standing", np.array([height]), e))
        for name, size in single.items():
            assert both[name][i].max() == pytest.approx(size[0].max(), rel=0.01), name


def test_a_bump_stop_hardens_the_landing() -> None:
    soft = carrier()
    assert soft.front.suspension is not None
    free = replace(soft.front.suspension, stop_rate=0.0)
    without = replace(soft, front=replace(soft.front, suspension=free))
    peaks = [
        float(channel_forces(landing_run(m, "standing", np.array([500.0]), event("landing", height=500.0)))[
            "front wheel"].max()) for m in (soft, without)
    ]  # fmt: skip
    assert peaks[0] > 1.2 * peaks[1]


def test_every_instant_of_a_landing_balances_in_three_dimensions() -> None:
    for e in (event("landing", height=200.0), event("landing", {"wheel": "rear", "posture": "seated"}, height=80.0)):
        for at in landed(carrier(), e):
            assert balance(carrier(), at).residual < 1e-9


def test_a_slope_that_falls_away_softens_the_landing() -> None:
    flat, down = (
        max(float(i.front[2]) for i in landed(carrier(), event("landing", height=400.0, slope=s, speed=4000.0)))
        for s in (0.0, 20.0)
    )
    assert down < 0.8 * flat


def test_a_landing_beyond_the_slope_is_refused() -> None:
    with pytest.raises(InputError, match="flies past the slope"):
        landed(carrier(), event("landing", height=20.0, slope=40.0, speed=9000.0))


def test_a_bump_that_is_no_bump_leaves_the_weights() -> None:
    found = bumped(carrier(), event("bump", height=0.01, length=1000.0, speed=500.0))
    rest = next(i for i in found if i.channel == "front tyre")
    total = 176.0 * 9.80665
    assert float(rest.front[2] + rest.rear[2]) == pytest.approx(total, rel=2e-3)


@pytest.mark.parametrize(
    ("broken", "line"),
    [
        (lambda m: replace(m, front=replace(m.front, suspension=None)), "front suspension is not stated"),
        (lambda m: replace(m, rear=replace(m.rear, tyre_rate=None)), "rear tyre's rate is not stated"),
        (lambda m: replace(m, rider=replace(m.rider, leg_rate=None)), "leg rate is not stated"),
        (lambda m: replace(m, masses=(replace(m.masses[0], gyration=0.0),)), "no moment of inertia in pitch"),
    ],
)
def test_missing_data_are_named(broken: object, line: str) -> None:
    assert callable(broken)
    machine: Machine = broken(carrier())
    with pytest.raises(InputError, match=line):
        landed(machine, event("landing", height=50.0))


def test_the_rest_on_springs_bears_the_weight() -> None:
    model = halfcar.bounce(rigid(180.0, 1400.0, 700.0, 600.0, (30.0, 30.0)), "seated")
    assert halfcar.at_rest(model)[0] == pytest.approx(-180 * 9.80665 / 60)


def test_a_fall_from_no_height_is_twice_the_weight() -> None:
    model = halfcar.bounce(rigid(180.0, 1400.0, 700.0, 600.0, (30.0, 30.0)), "seated")
    run = halfcar.run(model, [[0.0, 0.0]], [[-fall(0.0), 0.0]], halfcar.level(), 1.5)
    assert run.forces[0, :2].sum(axis=0).max() == pytest.approx(2 * 180 * 9.80665, rel=1e-4)


def test_what_moves_too_quickly_to_be_computed_is_said_and_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(halfcar, "MOST", 2000)
    usual, light = (halfcar.bounce(rigid(mass, 1400.0, 700.0, 600.0), "seated") for mass in (180.0, 0.001))
    halfcar.run(usual, [[0.0, 0.0]], [[-fall(150.0), 0.0]], halfcar.level(), 1.5)
    with pytest.raises(NotComputed, match="too quick for its length"):
        halfcar.run(light, [[0.0, 0.0]], [[0.0, 0.0]], halfcar.level(), 5.0, stop=False)
