"""Fins, lumped bodies, brake heat, gaps and shields: closed forms of F. P. Incropera and D. P. DeWitt, Fundamentals of
Heat and Mass Transfer (numbers of examples from memory), and of series resistances."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import netgen.occ as occ
import numpy as np
import pytest
from compare import Source, compare
from heated import at, body, face, held

from printworthy.inputs import HeatBody, Losses, Stops
from printworthy.ride.heat import braking_energy, history, temperature_rise
from printworthy.strength.conduction import Conductivity, Flow
from printworthy.strength.exchange import Exchange, radiation_factor

FIN = Source("Incropera and DeWitt, fin with an insulated tip", "fin temperatures, cosh m(L - x) / cosh m L", "derived")
ROD = Source("Incropera and DeWitt, very long fin", "example 3.9, rods of 5 mm", "from memory")
BLADE = Source("Incropera and DeWitt, blade of a plastic", "tanh(m L) / m L and 1 / cosh(m L)", "derived")
FROST = Source("Incropera and DeWitt, semi-infinite ground", "example 5.6", "from memory")
LUMPED = Source("Incropera and DeWitt, lumped body", "example 5.1, a bead in hot gas", "from memory")
DISC = Source("Brake heat", "200 kg from 100 km/h, 70 % into 1.2 kg of steel, c = 500 J/(kg K)", "derived")
SHIELD = Source("Incropera and DeWitt, radiation shield", "ch. 13: one shield between parallel plates", "from memory")
SLAB = Source("Erfc step", "semi-infinite polymer 1.1e-7 m2/s, 2 mm below a surface step", "derived")


def test_a_printed_fin(tmp_path: Path) -> None:
    """Plate 4 mm thick, 20 mm long, k = 0.25 W/(m K), h = 3 W/(m2 K): h t / 2 k = 0.024, so it is a fin; m = 77.46 /m,
    tip 1 / cosh(m L) = 0.407."""
    c = body(occ.Box(occ.Pnt(0, 0, 0), occ.Pnt(20, 6, 4)), tmp_path, 1.5)
    root = held(face(c, lambda p: p[:, 0] < 1e-6), lambda _: 100.0)
    sides = face(c, lambda p: (p[:, 2] < 1e-6) | (p[:, 2] > 4 - 1e-6))
    flow = Flow(c, [root, Exchange(sides, 3.0, 0.0, lambda _: 0.0)], np.zeros(len(c.area)), 50.0)
    t = flow.steady(Conductivity(0.25, 0.25), (0, 0, 1))
    tip, published = at(c, t, (20, 3, 2), 2.5) / 100, 1 / math.cosh(77.4597 * 0.02)
    compare(tip, published, rel=0.02, source=FIN, quantity="tip over root [-]")


def test_a_very_long_rod_sheds_its_heat(tmp_path: Path) -> None:
    """Example 3.9: rod of 5 mm at 100 degC in air at 25 degC, h = 100 W/(m2 K): q = sqrt(h P k A) 75 K. The rods are
    longer than 4 sqrt(k d / 4 h), tanh of which is 1 within 0.1 %; cut along two planes of symmetry."""
    for k, long, published in ((398.0, 300.0, 8.31), (180.0, 200.0, 5.59), (14.0, 60.0, 1.56)):
        quarter = occ.Cylinder((0, 0, 0), occ.X, 2.5, long) * occ.Box(occ.Pnt(0, 0, 0), occ.Pnt(long, 3, 3))
        c = body(quarter, tmp_path, 2.5)
        round_face = face(c, _beside_the_ends(long))
        root = held(face(c, lambda p: p[:, 0] < 1e-6), lambda _: 100.0)
        flow = Flow(c, [root, Exchange(round_face, 100.0, 0.0, lambda _: 25.0)], np.zeros(len(c.area)), 50.0)
        skin = c.surface @ flow.steady(Conductivity(k, k), (0, 0, 1))
        shed = 4 * 100e-6 * float(c.area[round_face] @ (skin[round_face] - 25.0))
        compare(shed, published, rel=0.01, source=ROD, quantity=f"heat of a rod of k = {k:g} W/(m K) [W]")


def _beside_the_ends(long: float) -> Callable[[np.ndarray], np.ndarray]:
    """Facets that lie neither in the planes of symmetry nor at the ends."""
    return lambda p: (p[:, 1:].min(axis=1) > 1e-6) & (p[:, 0] > 1e-6) & (p[:, 0] < long - 1e-6)


def test_a_plastic_blade(tmp_path: Path) -> None:
    """Plate 4 mm thick and 20 mm long, h = 30, k = 0.25: m L = 4.899, tip 0.014908 of the root, efficiency 0.2041. The
    layers lie across the blade and conduct without resistance in themselves, as the theory of fins has it."""
    c = body(occ.Box(occ.Pnt(0, 0, 0), occ.Pnt(20, 6, 4)), tmp_path, 1.0)
    root = held(face(c, lambda p: p[:, 0] < 1e-6), lambda _: 100.0)
    sides = face(c, lambda p: (p[:, 2] < 1e-6) | (p[:, 2] > 4 - 1e-6))
    flow = Flow(c, [root, Exchange(sides, 30.0, 0.0, lambda _: 0.0)], np.zeros(len(c.area)), 50.0)
    t = flow.steady(Conductivity(250.0, 0.25), (1, 0, 0))
    compare(at(c, t, (20, 3, 2), 2.5) / 100, 0.014908, rel=0.03, source=BLADE, quantity="tip over root [-]")
    shed = float(c.area[sides] @ (c.surface @ t)[sides]) / (100 * float(c.area[sides].sum()))
    compare(shed, 0.2041, rel=0.01, source=BLADE, quantity="efficiency [-]")


def test_frost_in_the_ground(tmp_path: Path) -> None:
    """Example 5.6: ground at 20 degC, surface at -15 degC for 60 days: frost down to 0.677 m (0.68 in the book). Scaled
    to a bar of 30 mm: depths go as the square root of time."""
    c = body(occ.Box(occ.Pnt(0, 0, 0), occ.Pnt(30, 3, 3)), tmp_path, 1.5)
    flow = Flow(c, [held(face(c, lambda p: p[:, 0] < 1e-6), lambda _: -15.0)], np.zeros(len(c.area)), 20.0)
    seconds = 60 * 86400 / 1e4  # a hundredth of the depth
    seen: list[np.ndarray] = []
    flow.transient(Conductivity(0.138, 0.138, 1.0), (0, 0, 1), 20.0, seconds, 120, lambda _, t: seen.append(t))
    x = c.ready.solid.points[:, 0]
    order = np.argsort(x)
    depth = float(np.interp(0.0, seen[-1][: len(x)][order], x[order])) / 10  # [m] at full scale
    compare(depth, 0.677, rel=0.01, source=FROST, quantity="depth of 0 degC after 60 days [m]")


def test_the_lumped_bead() -> None:
    """Diameter 0.70588 mm (time constant 1 s): from 25 to 199 degC in gas at 200 degC after 5.165 s."""
    d = 0.7058824e-3
    mass, area = 8500 * math.pi * d**3 / 6, math.pi * d**2 * 1e6
    bead = HeatBody("bead", "motor", Losses((0.0, 0.0), 5.165), "", 1e-9, mass, (400.0, 400.0), area, (400.0, 400.0))
    # Cooling from 375 to 201 degC is the same history upside down; the body starts at the air it is in, so power stands
    # for the warm gas: 175 K h A.
    power = 400 * area * 1e-6 * 175.0
    warmed = replace(bead, drive=Losses((power, power), 5.165))
    found = history(warmed, 25.0, None).temperatures[-1]
    compare(found, 199.0, abs=0.05, source=LUMPED, quantity="after 5.165 s [degC]")


def test_the_disc_of_one_stop() -> None:
    energy = braking_energy(200.0, 100e6 / 3600)
    compare(energy, 77160.5, rel=1e-4, source=DISC, quantity="energy [J]")
    compare(temperature_rise(0.7 * energy, 1.2, 500.0), 90.02, rel=1e-4, source=DISC, quantity="rise [K]")


def test_repeated_stops_follow_the_geometric_series() -> None:
    """T_n - Ta = dT (1 - q^n) / (1 - q), q = exp(-interval h A / m c): radiation off, so the series is exact."""
    stop = Stops(200.0, 10e3, (0.7, 0.7), 12, 20.0)
    disc = HeatBody("disc", "disc", stop, "", 1e-9, 1.2, (500.0, 500.0), 60e3, (60.0, 60.0))
    q = math.exp(-20.0 * 60.0 * 0.06 / 600.0)
    rise = 0.7 * 200 * 100 / 2 / 600
    assert history(disc, 20.0, None).peak == pytest.approx(20 + rise * (1 - q**12) / (1 - q), rel=1e-6)


def test_one_shield() -> None:
    """Plates 0.8 and 0.8 with a shield of 0.05: 1 / (1/e1 + 1/e2 + 2/e3 - 2); equal spaces, so the bound is exact."""
    compare(radiation_factor(0.8, 0.8, 1.0, 1, 0.05), 1 / (1.25 + 1.25 + 40 - 2), rel=1e-9, source=SHIELD,
            quantity="exchange factor [-]")  # fmt: skip
    assert radiation_factor(0.5, 0.9, 1.0, 1, 0.05) >= 1 / (2 + 1 / 0.9 + 40 - 2)


def test_a_step_into_a_thick_polymer(tmp_path: Path) -> None:
    c = body(occ.Box(occ.Pnt(0, 0, 0), occ.Pnt(30, 3, 3)), tmp_path, 1.0)
    flow = Flow(c, [held(face(c, lambda p: p[:, 0] < 1e-6), lambda _: 1.0)], np.zeros(len(c.area)), 0.0)
    seen: dict[float, np.ndarray] = {}
    flow.transient(Conductivity(0.11, 0.11, 1.0), (0, 0, 1), 0.0, 300.0, 300, lambda s, t: seen.update({round(s): t}))
    x = c.ready.solid.points[:, 0]
    order = np.argsort(x)
    for seconds, published in ((10, 0.17753), (60, 0.58198), (300, 0.80554)):
        found = float(np.interp(2.0, x[order], seen[seconds][: len(x)][order]))
        compare(found, published, rel=0.02, source=SLAB, quantity=f"share of the step after {seconds} s [-]")


def test_conduction_is_anisotropic_in_layer_axes(tmp_path: Path) -> None:
    """A bar insulated along its sides carries k33 along the build direction and k11 across it: two film resistances
    and L/k in series."""
    c = body(occ.Box(occ.Pnt(0, 0, 0), occ.Pnt(60, 3, 3)), tmp_path, 1.5)
    warm = face(c, lambda p: p[:, 0] < 1e-6)
    cool = face(c, lambda p: p[:, 0] > 60 - 1e-6)
    flow = Flow(c, [held(warm, lambda _: 100.0), Exchange(cool, 20.0, 0.0, lambda _: 0.0)], np.zeros(len(c.area)), 50.0)
    for direction, k in (((1, 0, 0), 0.2), ((0, 0, 1), 0.8), ((1, 0, 1), 2 * 0.2 * 0.8 / (0.2 + 0.8))):
        expected = 100 * (1 / 20) / (0.06 / k + 1 / 20)
        got = at(c, flow.steady(Conductivity(0.8, 0.2), direction), (60, 1.5, 1.5), 1.0)
        # aslant, insulated sides turn the gradient: far from the ends the bar carries the harmonic mean
        assert got == pytest.approx(expected, rel=1e-3 if direction != (1, 0, 1) else 0.03)
