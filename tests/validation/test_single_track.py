"""Statics of the single-track vehicle and landing on springs, in closed form.

V. Cossalter, Motorcycle Dynamics, 2nd edition 2006 (formulas from memory; the values derived and evaluated outside this
package). Landing on a linear spring: energy balance, F = m g (1 + sqrt(1 + 2 h k / (m g))).
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest
from compare import Source, compare

sys.path.insert(0, str(Path(__file__).parents[1] / "ride"))
from machines import carrier, event, fall, rigid

from printworthy.inputs import CylinderSelector, Face, Geometry, Mounting, Part
from printworthy.ride import events, halfcar, vehicle
from printworthy.ride.mechanism import Instant, balance
from printworthy.ride.standards import TESTS, wheel_bending
from printworthy.ride.yardsticks import levels, yardsticks

STATICS = Source("Single-track vehicle, closed form", "load transfer, wheel lift, trail", "derived")
LANDING = Source("Fall on a linear spring, closed form", "energy balance, no damping", "derived")
MASS, WHEELBASE, B, HEIGHT = 200.0, 1400.0, 680.0, 620.0
G = 9806.65


@pytest.mark.parametrize(
    ("braked", "front", "rear"),
    [(0.0, 952.646, 1008.684), (0.5, 1386.941, 574.389), (0.8, 1647.517, 313.813), (1.0, 1821.235, 140.095)],
)
def test_wheel_loads(braked: float, front: float, rear: float) -> None:
    loads = vehicle.wheel_loads(MASS, B, HEIGHT, WHEELBASE, -braked * G)
    compare(loads[0], front, rel=1e-6, source=STATICS, quantity=f"front load, braked at {braked:g} g [N]")
    compare(loads[1], rear, rel=2e-6, source=STATICS, quantity=f"rear load, braked at {braked:g} g [N]")


def test_wheel_lift() -> None:
    compare(vehicle.rear_lift(B, HEIGHT, WHEELBASE), 1.16129, rel=1e-5, source=STATICS, quantity="rear wheel lifts [g]")
    compare(vehicle.front_lift(B, HEIGHT), 1.09677, rel=1e-5, source=STATICS, quantity="front wheel lifts [g]")


def test_the_braking_event_has_the_loads_of_the_formula() -> None:
    machine = rigid(MASS, WHEELBASE, B, HEIGHT)
    (found,) = events.happenings(machine, event("braking", deceleration=0.5 * G))
    assert isinstance(found, Instant)
    compare(float(found.front[2]), 1386.941, rel=1e-6, source=STATICS, quantity="front load of the event at 0.5 g [N]")
    assert balance(machine, found).residual < 1e-9


@pytest.mark.parametrize(
    ("radius", "rake", "offset", "trail", "normal"),
    [(300.0, 26.0, 40.0, 101.816, 91.511), (340.0, 24.5, 30.0, 121.978, 110.996)],
)
def test_trail(radius: float, rake: float, offset: float, trail: float, normal: float) -> None:
    name = f"wheel {radius:g} mm, rake {rake:g} deg, offset {offset:g} mm"
    compare(vehicle.trail(radius, rake, offset), trail, abs=5e-4, source=STATICS, quantity=f"trail, {name} [mm]")
    compare(
        vehicle.normal_trail(radius, rake, offset),
        normal,
        abs=5e-4,
        source=STATICS,
        quantity=f"normal trail, {name} [mm]",
    )


@pytest.mark.parametrize(
    ("mass", "height", "rate", "force"),
    [(180.0, 150.0, 60.0, 7671.928), (180.0, 0.0, 60.0, 3530.394), (120.0, 300.0, 40.0, 6619.959)],
)
def test_landing_on_linear_springs(mass: float, height: float, rate: float, force: float) -> None:
    model = halfcar.bounce(rigid(mass, 1400.0, 700.0, 600.0, (rate / 2, rate / 2)), "seated")
    run = halfcar.run(model, [[0.0, 0.0]], [[-fall(height), 0.0]], halfcar.level(), 1.5)
    peak = float(run.forces[0, :2].sum(axis=0).max())
    name = f"{mass:g} kg from {height:g} mm on {rate:g} N/mm"
    compare(peak, force, rel=1e-4, source=LANDING, quantity=f"peak force, {name} [N]")
    stroke = float(-run.positions[0, 0].min())
    compare(stroke, force / rate, rel=1e-4, source=LANDING, quantity=f"stroke, {name} [mm]")


def test_rotating_bending_of_a_wheel() -> None:
    source = Source("IS 10694-4, two-wheeler wheels in rotating bending", "moment S m F R", "found")
    moment = wheel_bending(1500.0, 290.0) / 1000
    compare(moment, 213.15, rel=1e-9, source=source, quantity="load 1500 N, loaded radius 290 mm [N m]")


def test_the_end_of_a_bar_bent_as_the_bicycle_standard_has_it() -> None:
    """Lateral bending F2 50 mm from the end of a bar 720 mm long, 310 mm outside its middle: 600 N make 186 N m about
    the line of travel, 1000 N make 310 N m; both risers together, steering axis upright."""
    source = Source("ISO 4210-5, lateral bending F2", "moment at the clamp of a 720 mm bar", "derived")
    m = carrier()
    joints = replace(m.joints, grips=(780.0, 310.0, 850.0))
    upright = replace(m, rake=0.0, joints=joints)
    about = 0.0
    for side, y in (("left", 60.0), ("right", -60.0)):
        face = Face("b", CylinderSelector((780.0, y, 850.0), (0.0, 1.0, 0.0), 15.0))
        where = Mounting((0, 0, 0), (1, 0, 0), (0, 0, 1), side=side, faces={"bar": ("b",)})  # type: ignore[arg-type]
        part = Part("c", "c", Geometry(Path("c.step")), "bar clamp", "petg", {"b": face}, (), (), mounting=where)
        case = next(c for c in yardsticks(part, upright) if c.name == "bar and stem, bent sideways")
        about += sum(x.vector[0] if "moment" in x.kind else y * x.vector[2] for x in case.loads)
    asked = dict(levels(next(t for t in TESTS if t.name == "bar and stem, bent sideways"), upright))
    city, mountain = asked["city", "young adult"], asked["mountain", "racing"]
    compare(-about / 1e3, 186.0, rel=1e-6, source=source, quantity="600 N [N m]")
    compare(-about / 1e3 * mountain / city, 310.0, rel=1e-6, source=source, quantity="1000 N [N m]")
