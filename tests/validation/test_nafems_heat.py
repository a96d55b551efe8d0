"""Standard thermal benchmarks, through the package's own conduction and exchange.

NAFEMS, The Standard NAFEMS Benchmarks, TNSB rev. 3, October 1990: T2 (target from memory; it is the scalar balance
k (Th - T) / L = e s (T^4 - Ta^4)), T3 (found in a public test that cites the publication), T4 (FinEtoolsHeatDiff.jl,
T4NAFEMS_tut.md), and the axisymmetric case with local flux (target 332.97 K found in the tests of cpmech/pmsim). A held
temperature is a contact of 1e7 W/(m2 K).
"""

from __future__ import annotations

import math
from pathlib import Path

import netgen.occ as occ
import numpy as np
from compare import Source, compare
from heated import at, body, face, held

from printworthy.ride.heat import KELVIN
from printworthy.strength.conduction import Conductivity, Flow
from printworthy.strength.exchange import Exchange

T2 = Source("NAFEMS benchmark T2, bar that radiates", "TNSB rev. 3, 1990", "from memory")
T3 = Source("NAFEMS benchmark T3, bar under a swinging temperature", "TNSB rev. 3, 1990; in a public test", "found")
T4 = Source("NAFEMS benchmark T4, plate with convection", "TNSB rev. 3, 1990; found in FinEtoolsHeatDiff.jl", "found")
RING = Source("NAFEMS axisymmetric ring with local flux", "found in the tests of cpmech/pmsim", "found")
UP = (0.0, 0.0, 1.0)


def test_t2(tmp_path: Path) -> None:
    c = body(occ.Box(occ.Pnt(0, 0, 0), occ.Pnt(100, 10, 10)), tmp_path, 6.0)
    left = held(face(c, lambda p: p[:, 0] < 1e-6), lambda _: 1000 - KELVIN)
    right = Exchange(face(c, lambda p: p[:, 0] > 100 - 1e-6), 0.0, 0.98, lambda _: 300 - KELVIN)
    flow = Flow(c, [left, right], np.zeros(len(c.area)), 500.0)
    t = flow.steady(Conductivity(55.6, 55.6), UP)
    compare(at(c, t, (100, 0, 0), 0.1) + KELVIN, 927.0, abs=0.1, source=T2, quantity="right face [K]")
    assert flow.balance(t) < 1e-6


def test_t3(tmp_path: Path) -> None:
    c = body(occ.Box(occ.Pnt(0, 0, 0), occ.Pnt(100, 8, 8)), tmp_path, 4.0)
    still = held(face(c, lambda p: p[:, 0] < 1e-6), lambda _: 0.0)
    swings = held(face(c, lambda p: p[:, 0] > 100 - 1e-6), lambda s: 100 * math.sin(math.pi * s / 40))
    seen: list[tuple[float, np.ndarray]] = []
    flow = Flow(c, [still, swings], np.zeros(len(c.area)), 0.0)
    store = Conductivity(35.0, 35.0, 7200 * 440.5 * 1e-6)
    flow.transient(store, UP, 0.0, 32.0, 80, lambda s, t: seen.append((s, t)))
    points = c.ready.solid.points[:, 0]
    t = seen[-1][1][: len(points)]
    order = np.argsort(points)
    found = float(np.interp(80.0, points[order], t[order]))
    compare(found, 36.60, rel=0.005, source=T3, quantity="20 mm from the swinging face at 32 s [degC]")


def test_t4(tmp_path: Path) -> None:
    """0.6 x 1 m as 60 x 100 mm with the film ten times as strong: h L / k is the same."""
    plate = occ.Box(occ.Pnt(0, 0, 0), occ.Pnt(60, 20, 2)) + occ.Box(occ.Pnt(0, 20, 0), occ.Pnt(60, 100, 2))
    c = body(plate, tmp_path, 2.5)
    bottom = held(face(c, lambda p: p[:, 1] < 1e-6), lambda _: 100.0)
    cooled = face(c, lambda p: (p[:, 0] > 60 - 1e-6) | (p[:, 1] > 100 - 1e-6))
    flow = Flow(c, [bottom, Exchange(cooled, 7500.0, 0.0, lambda _: 0.0)], np.zeros(len(c.area)), 50.0)
    t = flow.steady(Conductivity(52.0, 52.0), UP)
    compare(at(c, t, (60, 20, 1), 1.05), 18.25, abs=0.1, source=T4, quantity="(0.6, 0.2) m [degC]")


def test_axisymmetric_ring(tmp_path: Path) -> None:
    """A sector of 30 deg: ring of radius 20 to 100 mm, 140 mm high; 5e5 W/m2 into the inner face from 40 to 100 mm, the
    rest of it insulated as the cuts are; everything else at 273.15 K. Tolerance as printed with the target."""
    corners = [occ.Pnt(r, 0, z) for r, z in ((20, 0), (20, 40), (20, 100), (20, 140), (100, 140), (100, 0))]
    outline = occ.Wire([occ.Segment(p, q) for p, q in zip(corners, [*corners[1:], corners[0]], strict=True)])
    c = body(occ.Face(outline).Revolve(occ.Axis(occ.Pnt(0, 0, 0), occ.Z), 30), tmp_path, 4.0)
    heated = face(c, lambda p: (np.hypot(p[:, 0], p[:, 1]) < 20.5) & (p[:, 2] > 40) & (p[:, 2] < 100))
    cold = face(c, lambda p: (np.hypot(p[:, 0], p[:, 1]) > 99.8) | (p[:, 2] < 1e-6) | (p[:, 2] > 140 - 1e-6))
    flux = np.zeros(len(c.area))
    flux[heated] = 5e5
    t = Flow(c, [held(cold, lambda _: 0.0)], flux, 20.0).steady(Conductivity(52.0, 52.0), UP)
    points = c.ready.solid.points
    r, z = np.hypot(points[:, 0], points[:, 1]) - 40, points[:, 2] - 40
    near = np.hypot(r, z) < 6  # the field is smooth there: a parabola through the vertices, its value in the middle
    terms = np.stack([np.ones(len(r)), r, z, r * r, r * z, z * z], axis=1)[near]
    middle = float(np.linalg.lstsq(terms, t[: len(points)][near])[0][0])
    compare(middle + KELVIN, 332.97, abs=0.05, source=RING, quantity="(0.04, 0.04) m [K]")
