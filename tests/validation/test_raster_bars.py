"""Bars of an orthotropic print pulled at an angle to their beads in the plane of the layer, by the road of a workspace.

A card with nine constants is written and read, a part states the raster, the bar is solved by finite elements. An even
pull strains evenly whatever the angle (Lekhnitskii 1963), so what is left is the rotation and the solver. Graphite/
epoxy: Kaw 2006, chapter 2, and Tsai and Hahn 1980 (the lamina from memory; values computed outside this package).
Off-axis maximum stress: min(X1 / c^2, X2 / s^2, S12 / (s c)), the tension in any direction at most X1.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from math import cos, radians, sin
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import numpy as np
import pytest
from compare import Source, compare

from printworthy.inputs import NINE, Load, MaterialCard, Raster, Support
from printworthy.results import DesignValues
from printworthy.strength import Prepared, model, shares_of, utilisation
from printworthy.strength.elastic import orthotropic, rotated
from printworthy.strength.lay import bead_line, bead_stiffness, laid
from printworthy.workspace.cards import read_cards
from specimens import Specimen, card, design_values, plane, solid, specimen

KAW = Source("Kaw 2006, ply as a bar in the workspace", "graphite/epoxy 181/10.3/0.28/7.17 GPa", "from memory")
LAMINATE = Source(
    "Kaw 2006, laminate of turned layers", "graphite/epoxy 181/10.3/0.28/7.17 GPa, +45/-45", "from memory"
)
BREAK = Source("Kaw 2006, off-axis maximum stress", "X1 95, X2 45, S12 32 MPa, tension at most X1", "derived")
BOND = Source("Bond rotation, card with nine constants", "print 8000/8000/3000 MPa stated by nine constants", "derived")
LENGTH, DEPTH, SOFT = 40.0, 10.0, 1e-6
GRAPHITE = dict(
    zip(NINE, (181e3, 10.3e3, 10.3e3, 0.28, 0.28, 0.4, 10.3e3 / 2.8, 7.17e3, 7.17e3), strict=True)
)  # plane 2-3 isotropic, as fibres are
PRINT = dict(zip(NINE, (8000.0, 8000.0, 3000.0, 0.35, 0.4, 0.4, 1100.0, 1100.0, 8000 / 2.7), strict=True))
STRENGTHS = {"strength_along": 95.0, "strength_across": 45.0, "strength_through": 30.0}


def stated(values: Mapping[str, float]) -> MaterialCard:
    """The card a workspace reads from these values."""
    with TemporaryDirectory() as folder:
        (Path(folder) / "cards").mkdir()
        lines = ['name = "stated"', 'title = "t"', 'kind = "printed polymer"']
        for name, value in {**values, "density": 1.0}.items():
            unit = "" if name.startswith("poisson") else " g/cm^3" if name == "density" else " MPa"
            lines += [f"[values.{name}]", f'value = "{value!r}{unit}"', 'source = "test"', 'confidence = "invented"']
        (Path(folder) / "cards/stated.toml").write_text("\n".join(lines), encoding="utf-8")
        return read_cards(Path(folder))["stated"]


@cache
def bar() -> Specimen:
    """A square bar along x that floats and is pulled by 1 MPa."""
    with TemporaryDirectory() as folder:
        body = solid(occ.Box((0, 0, 0), (LENGTH, DEPTH, DEPTH)), Path(folder), 8.0)
    faces = {"left": plane((0, 0, 0), (-1, 0, 0)), "right": plane((LENGTH, 0, 0), (1, 0, 0))}
    pull = [Load("pressure", n, value=-1.0) for n in faces]
    return specimen(body, card(1e4, 1e4, 0.3, 0.3, 3800.0), faces, [Support("left", "foundation", SOFT, SOFT)], pull)


def raster_bar(values: Mapping[str, float], angle: float, layers: tuple[float, ...] = (0.0,)) -> Specimen:
    """The bar built along z with its beads at `angle` [deg] to its length."""
    m = bar().model
    part = replace(m.part, raster=Raster(angle, layers))
    return Specimen(model(Prepared(m.space, m.sampler), part, stated(values)))


def moduli(at: Specimen) -> tuple[float, float]:
    """Modulus along the bar [MPa] and contraction across it in the layer over the stretch."""
    pulled = at.solve((0, 0, 1))
    origin = at.moved(pulled, (0, 0, 0))
    stretch = (at.moved(pulled, (LENGTH, 0, 0)) - origin)[0] / LENGTH
    across = (at.moved(pulled, (0, DEPTH, 0)) - origin)[1] / DEPTH
    return 1 / stretch, -across / stretch


@pytest.mark.parametrize(("angle", "modulus"), [(0, 181.0), (60, 12.418), (-30, 28.780), (90, 10.3)])
def test_ply_as_a_bar(angle: int, modulus: float) -> None:
    """Pulled at 60 deg to the fibres its modulus is Ex of the 60 deg ply, at -30 deg its Ey."""
    quantity = f"modulus at {angle} deg to the beads [GPa]"
    compare(moduli(raster_bar(GRAPHITE, angle))[0] / 1e3, modulus, rel=1e-4, source=KAW, quantity=quantity)


def test_contraction_of_the_ply() -> None:
    found = moduli(raster_bar(GRAPHITE, 60))[1]
    compare(found, 0.0978, abs=6e-5, source=KAW, quantity="contraction at 60 deg to the beads", why="4 decimals")


def test_laminate_constants() -> None:
    mean, _ = laid(bead_stiffness(stated(GRAPHITE)), (45.0, -45.0))
    s = np.linalg.inv(mean)
    for quantity, value, published in (
        ("Ex [GPa]", 1e-3 / s[0, 0], 25.051),
        ("Ey [GPa]", 1e-3 / s[1, 1], 25.051),
        ("Gxy [GPa]", 1e-3 / s[5, 5], 46.591),
        ("nu_xy", -s[0, 1] / s[0, 0], 0.7469),
    ):
        compare(value, published, rel=1e-4, source=LAMINATE, quantity=f"constants, {quantity}")


def test_laminate_as_a_bar() -> None:
    modulus, contraction = moduli(raster_bar(GRAPHITE, 0.0, (45.0, -45.0)))
    compare(modulus / 1e3, 25.051, rel=1e-4, source=LAMINATE, quantity="modulus of a bar along x [GPa]")
    compare(contraction, 0.7469, rel=1e-4, source=LAMINATE, quantity="contraction of a bar along x")


def beaded() -> DesignValues:
    """X2, Z, S, S12, Xc2, Zc, X1, Xc1 [MPa] without a history."""
    plain = design_values(45.0, 30.0, 20.0, 32.0, 60.0, 60.0)
    along = replace(plain.in_layer, name="X1", value=95.0)
    return replace(plain, along=along, compression_along=replace(along, name="Xc1", value=85.0))


@pytest.mark.parametrize("angle", [0, 10, 15, 25, 30, 45, 60, 75, 90])
def test_off_axis_strength(angle: int) -> None:
    c, s = cos(radians(angle)), sin(radians(angle))
    closed = min(95.0 / max(c * c, 1.0), 45.0 / s**2 if s else np.inf, 32.0 / (s * c) if s * c > 1e-9 else np.inf)
    at = raster_bar({**GRAPHITE, **STRENGTHS}, angle)
    result = utilisation(at.model, (0, 0, 1), beaded(), 1.0)
    assert result.raster == pytest.approx(angle)
    quantity = f"strength at {angle} deg to the beads [MPa]"
    compare(1 / result.utilisation, closed, rel=1e-5, source=BREAK, quantity=quantity)


@pytest.mark.parametrize("angle", [0, 20, 45])
def test_first_layer_of_a_lay_up_fails_by_its_own_stress(angle: int) -> None:
    """Classical lamination theory of plane layers, written out here: the strain is the laminate's, in every layer."""
    angles = (0.0, 90.0)
    law = stated({**GRAPHITE, **STRENGTHS})
    plane_stress = np.ix_((0, 1, 5), (0, 1, 5))
    q = np.linalg.inv(np.linalg.inv(bead_stiffness(law))[plane_stress])
    turns = [stress_turn(a + angle) for a in angles]
    reuter = np.diag([1.0, 1.0, 2.0])
    bars = [np.linalg.inv(t) @ q @ reuter @ t @ np.linalg.inv(reuter) for t in turns]
    strain = np.linalg.solve(np.mean(bars, axis=0), [1.0, 0.0, 0.0])
    worst = 0.0
    for t, bar_ in zip(turns, bars, strict=True):
        s1, s2, s12 = t @ bar_ @ strain
        cap = 0.5 * (s1 + s2) + np.hypot(0.5 * (s1 - s2), s12)
        worst = max(worst, s1 / 95, s2 / 45, -s1 / 85, -s2 / 60, abs(s12) / 32, cap / 95)
    at = raster_bar({**GRAPHITE, **STRENGTHS}, angle, angles)
    shares = shares_of(law, at.model.part)
    found = utilisation(at.model, (0, 0, 1), replace(beaded(), shares=shares), 1.0).utilisation
    quantity = f"first failure of 0/90 pulled at {angle} deg [MPa]"
    source = Source("Jones 1999, first layer of a laminate to fail", "graphite/epoxy 0/90, maximum stress", "derived")
    compare(1 / found, 1 / worst, rel=1e-5, source=source, quantity=quantity)


def stress_turn(angle: float) -> np.ndarray:
    """Plane stress (3, 3) from bar axes to axes turned by `angle` [deg]."""
    c, s = cos(radians(angle)), sin(radians(angle))
    return np.array([[c * c, s * s, 2 * c * s], [s * s, c * c, -2 * c * s], [-c * s, c * s, c * c - s * s]])


def test_bond_rotation_of_the_card() -> None:
    c, s = cos(radians(30)), sin(radians(30))
    turned = rotated(bead_stiffness(stated(PRINT)), np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]]))
    published = {(0, 0): 7815.959, (0, 2): 3250.603, (0, 4): -2048.459, (3, 5): -806.687, (4, 4): 2086.452}
    for (i, j), value in published.items():
        compare(turned[i, j], value, rel=1e-5, source=BOND, quantity=f"C{i + 1}{j + 1} after 30 deg about y [MPa]")


def test_angle_means_nothing_where_all_is_alike() -> None:
    """The isotropic limit: nine constants of an isotropic solid, any raster, one answer to 1e-9."""
    alike = dict(zip(NINE, (2000.0,) * 3 + (0.35,) * 3 + (2000 / 2.7,) * 3, strict=True))
    alike |= {"strength_along": 45.0, "strength_across": 45.0, "strength_through": 30.0}
    assert bead_stiffness(stated(alike)) == pytest.approx(orthotropic([2000.0] * 3, [0.35] * 3, [2000 / 2.7] * 3))
    found = [moduli(raster_bar(alike, a))[0] for a in (0.0, 33.0, 71.0, 120.0)]
    found += [moduli(raster_bar(alike, 10.0, (0.0, 40.0, 95.0)))[0]]
    assert found == pytest.approx([found[0]] * 5, rel=1e-9)


@pytest.mark.parametrize("up", [(0, 0, 1), (0.3, -0.5, 0.8), (1, 0, 0), (0, 1, 0)])
def test_beads_lie_on_the_same_lines_upside_down(up: tuple[float, float, float]) -> None:
    for angle in (0.0, 35.0, 140.0):
        line = bead_line(up, angle)
        assert line @ np.array(up) == pytest.approx(0, abs=1e-12)
        assert bead_line(-np.array(up), angle) == pytest.approx(line, abs=1e-12)
    assert bead_line((0, 0, 1), 90.0) == pytest.approx([0, 1, 0], abs=1e-12)


@pytest.mark.parametrize("up", [(0.0, 0.0, 1.0), (0.3, -0.5, 0.8), (0.0, 1.0, 0.0)])
def test_a_lay_up_built_upside_down_is_the_same_print(up: tuple[float, float, float]) -> None:
    at = raster_bar({**GRAPHITE, **STRENGTHS}, 20.0, (0.0, 30.0)).model
    design = replace(beaded(), shares=shares_of(stated({**GRAPHITE, **STRENGTHS}), at.part))
    down = (-up[0], -up[1], -up[2])
    ways = [utilisation(at, n, design, 1.0) for n in (up, down)]
    assert ways[0].utilisation == pytest.approx(ways[1].utilisation, rel=1e-6)
    assert ways[0].raster == pytest.approx(20.0)
    assert ways[0].along == pytest.approx(ways[1].along)
