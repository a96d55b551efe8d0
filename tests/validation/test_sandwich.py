"""Two zones against beams and tubes of two materials and a published law for foams.

H. G. Allen, Analysis and Design of Structural Sandwich Panels, 1969: bending stiffness as the sum over faces and core,
here with side walls too (transformed section). Rule of mixtures: bars side by side share the strain. G. Lamé 1852:
tubes in each other, u = A r + B/r in each, with displacement and pressure passed on. L. J. Gibson and M. F. Ashby,
Cellular Solids, 2nd edition 1997, chapter 5 (from memory).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import numpy as np
import pytest
from compare import Source, compare

from printworthy.inputs import CylinderSelector, Fill, Load, Support
from printworthy.strength import Prepared, mass, model, utilisation
from printworthy.strength.elastic import layer_frame, strain_rotation
from printworthy.strength.margin import layer_stress
from printworthy.strength.wrinkling import wrinkling_check
from printworthy.strength.zones import foam_shares
from specimens import UP, Specimen, card, design_values, isotropic_card, plane, solid, specimen

PLACE = "80 x 12 x 12 mm, wall 2 mm all round, core of 10 % of the stiffness; E 2000 MPa, nu 0.3"
SANDWICH = Source("Allen 1969, sandwich beams", PLACE, "derived")
MIXTURE = Source("Rule of mixtures, parallel bars", PLACE, "derived")
TUBES = Source(
    "Lame 1852, tubes one in another", "radii 6, 8, 12, 14 mm, the middle one of 10 % of 2000 MPa", "derived"
)
FOAM = Source("Gibson and Ashby 1997, Cellular Solids", "chapter 5, open cells", "from memory")
MESH = "the mesh does not follow the boundary between wall and core"
LENGTH, SIDE, WALL, SHARE, STRENGTH, MODULUS, POISSON = 80.0, 12.0, 2.0, 0.1, 0.05, 2000.0, 0.3
FILL = Fill(WALL, 0.3, SHARE, STRENGTH, "stated")
CORE = SIDE - 2 * WALL
PULL, MOMENT = 1000.0, 1000.0  # [N], [N mm]
SECOND = (SIDE**4 - (1 - SHARE) * CORE**4) / 12  # of area, in terms of the wall [mm4]


def filled(whole: Specimen, fill: Fill) -> Specimen:
    """The same loaded solid with walls and infill."""
    m = whole.model
    material = isotropic_card(MODULUS, POISSON)
    return Specimen(model(Prepared(m.space, m.sampler), replace(m.part, fill=fill), material))


@cache
def whole_box() -> Specimen:
    """A square bar held at one end, pulled and bent at the other."""
    with TemporaryDirectory() as folder:
        body = solid(occ.Box((0, 0, 0), (LENGTH, SIDE, SIDE)), Path(folder), 2.0)
    faces = {"root": plane((0, 0, 0), (-1, 0, 0)), "end": plane((LENGTH, 0, 0), (1, 0, 0))}
    pull, turn = Load("force", "end", (PULL, 0.0, 0.0)), Load("moment", "end", (0.0, MOMENT, 0.0))
    material = isotropic_card(MODULUS, POISSON)
    return specimen(body, material, faces, [Support("root", "fixed")], [pull], [turn])


@cache
def box() -> Specimen:
    """The same with a soft core."""
    return filled(whole_box(), FILL)


def test_a_box_with_a_soft_core() -> None:
    area = SIDE**2 - (1 - SHARE) * CORE**2
    stretched, bent = (slope_at_the_top(box(), case) for case in (0, 1))
    compare(stretched, PULL / (MODULUS * area), rel=0.02, source=MIXTURE, quantity="strain under 1000 N", why=MESH)
    compare(bent, MOMENT * SIDE / 2 / (MODULUS * SECOND), rel=0.02, source=SANDWICH,
            quantity="strain of the top under 1000 N mm", why=MESH)  # fmt: skip
    ends = "both ends are closed by the wall, which the beam of theory is not"
    sag = float(np.abs(box().moved(box().solve(), (LENGTH, SIDE, SIDE), 1)[2]))
    compare(sag, MOMENT * LENGTH**2 / (2 * MODULUS * SECOND), rel=0.05, source=SANDWICH,
            quantity="deflection of the end under 1000 N mm [mm]", why=ends)  # fmt: skip


def test_stress_in_wall_and_core_of_a_bent_box() -> None:
    """In the core the stress is that at which the solid print would be as near its strength: 0.1 / 0.05 times E eps."""
    points = box().model.sampler.points
    turn = strain_rotation(layer_frame(UP))
    along = (layer_stress(box().model, box().solve(), 1) @ turn)[:, 0]
    away = np.abs(points[:, 0] - LENGTH / 2) < 10
    inside = np.abs(points - SIDE / 2)[:, 1:].max(axis=1)
    for name, here, share in (
        ("wall", away & (inside > CORE / 2 + 1), 1.0),
        ("core, as of the solid print", away & (inside < CORE / 2 - 1), SHARE / STRENGTH),
    ):
        found = float(np.polyfit(points[here, 2], along[here], 1)[0])
        compare(abs(found), share * MOMENT / SECOND, rel=0.03, source=SANDWICH,
                quantity=f"slope of the stress over the height, {name} [MPa/mm]", why=MESH)  # fmt: skip


def slope_at_the_top(beam: Specimen, case: int) -> float:
    """Strain along x of the top away from the ends: slope of the displacement of its vertices."""
    space, skin = beam.model.space, beam.model.sampler.skin
    x, _, z = space.solid.points[skin].T
    on = (z > SIDE - 1e-6) & (x > 24) & (x < 56)
    moved = beam.solve().displacements[case].reshape(3, space.count)[0, skin[on]]
    return float(np.polyfit(x[on], moved, 1)[0])


def test_a_tube_with_a_soft_core_under_inside_pressure(tmp_path: Path) -> None:
    inner, outer, length, pressure = 6.0, 14.0, 50.0, 10.0
    shape = occ.Cylinder(occ.Pnt(0, 0, 0), occ.Z, outer, length) - occ.Cylinder(occ.Pnt(0, 0, 0), occ.Z, inner, length)
    body = solid(shape, tmp_path, 2.2)
    faces = {"bore": CylinderSelector((0, 0, 0), (0, 0, 1), inner), "below": plane((0, 0, 0), (0, 0, -1))}
    bed = Support("below", "foundation", stiffness=0.01)  # the load needs no support: pressure
    loose = specimen(body, isotropic_card(MODULUS, POISSON), faces, [bed], [Load("pressure", "bore", value=pressure)])
    tube = filled(loose, FILL)
    pressed = tube.solve()
    a, b, _ = tubes((inner, inner + WALL, outer - WALL, outer), (1.0, SHARE, 1.0), pressure)
    place = tube.model.space.solid.points[tube.model.sampler.skin]
    at_bore = (np.abs(place[:, 2] - length / 2) < 8) & (np.hypot(*place[:, :2].T) < inner + 0.01)
    u = pressed.displacements[0].reshape(3, tube.model.space.count)[:2, tube.model.sampler.skin[at_bore]]
    out = (u * place[at_bore, :2].T).sum(axis=0) / inner
    compare(float(out.mean()), a[0] * inner + b[0] / inner, rel=0.03, source=TUBES,
            quantity="growth of the bore's radius [mm]", why=MESH)  # fmt: skip
    hoop = [s @ np.array([y * y, x * x, 0, 0, 0, -2 * x * y]) / inner**2
            for s, (x, y, _) in zip(tube.skin_stress(pressed)[at_bore], place[at_bore], strict=True)]  # fmt: skip
    strain = a[0] + b[0] / inner**2
    radial = a[0] - b[0] / inner**2
    axial = tubes((inner, inner + WALL, outer - WALL, outer), (1.0, SHARE, 1.0), pressure)[2]
    lame = MODULUS * POISSON / ((1 + POISSON) * (1 - 2 * POISSON))
    exact = MODULUS / (1 + POISSON) * strain + lame * (strain + radial + axial)
    compare(float(np.mean(hoop)), exact, rel=0.05, source=TUBES, quantity="hoop stress at the bore [MPa]", why=MESH)


def tubes(radii: tuple[float, ...], share: tuple[float, ...], pressure: float) -> tuple[np.ndarray, np.ndarray, float]:
    """A (k,), B (k,) of u = A r + B/r in every tube and the strain along the axis, whose force is zero in sum.

    Own derivation: radial stress 2 G (A - B/r^2) + lam (2 A + e), axial 2 G e + lam (2 A + e), one Poisson ratio.
    """
    count = len(share)
    moduli = [MODULUS * s for s in share]
    shear = [m / (2 * (1 + POISSON)) for m in moduli]
    lame = [m * POISSON / ((1 + POISSON) * (1 - 2 * POISSON)) for m in moduli]
    rows, right = [], []

    def radial(k: int, r: float) -> np.ndarray:
        row = np.zeros(2 * count + 1)
        row[k], row[count + k], row[-1] = 2 * shear[k] + 2 * lame[k], -2 * shear[k] / r**2, lame[k]
        return row

    def moved(k: int, r: float) -> np.ndarray:
        row = np.zeros(2 * count + 1)
        row[k], row[count + k] = r, 1 / r
        return row

    rows += [radial(0, radii[0]), radial(count - 1, radii[-1])]
    right += [-pressure, 0.0]
    for k, r in enumerate(radii[1:-1]):
        rows += [radial(k, r) - radial(k + 1, r), moved(k, r) - moved(k + 1, r)]
        right += [0.0, 0.0]
    force = np.zeros(2 * count + 1)
    for k, (r, s) in enumerate(pairwise(radii)):
        area = s**2 - r**2
        force[k] += 2 * lame[k] * area
        force[-1] += (2 * shear[k] + lame[k]) * area
    found = np.linalg.solve(np.array([*rows, force]), np.array([*right, 0.0]))
    return found[:count], found[count:-1], float(found[-1])


def test_lame_is_found_again_in_tubes_of_one_material() -> None:
    """The helper itself: three tubes of one material are one:
    u = p a^2 / (E (b^2 - a^2)) ((1 - nu) r + (1 + nu) b^2/r)."""
    a, b, _ = tubes((6.0, 8.0, 12.0, 14.0), (1.0, 1.0, 1.0), 10.0)
    scale = 10.0 * 36 / (MODULUS * (196 - 36))
    assert a == pytest.approx(scale * (1 - POISSON), rel=1e-9)
    assert b == pytest.approx(scale * (1 + POISSON) * 196, rel=1e-9)


def test_infill_of_the_whole_density_is_the_solid_print(tmp_path: Path) -> None:
    body = solid(occ.Box((0, 0, 0), (40, 12, 10)), tmp_path, 4.0)
    faces = {"root": plane((0, 0, 0), (-1, 0, 0)), "end": plane((40, 0, 0), (1, 0, 0))}
    bend, weight = Load("force", "end", (20.0, 10.0, -60.0)), Load("gravity", vector=(0.0, 0.0, -9810.0))
    material = card(8000.0, 3000.0, 0.35, 0.40, 1100.0, density=1.2)
    whole = specimen(body, material, faces, [Support("root", "fixed")], [bend], [weight]).model
    part = replace(whole.part, fill=Fill(2.0, 1.0, 1.0, 1.0, "stated"))
    dense = model(Prepared(whole.space, whole.sampler), part, material)
    design = design_values(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=70.0)
    for n in ((0.0, 0.0, 1.0), (1.0, 2.0, -0.5)):
        one, other = (utilisation(m, n, design, 1.5) for m in (dense, whole))
        for x, y in zip(one.cases, other.cases, strict=True):
            assert tuple(x.by_mode.values()) == pytest.approx(tuple(y.by_mode.values()), rel=1e-9)
            assert x.max_displacement == pytest.approx(y.max_displacement, rel=1e-9)
    assert mass(dense, material) == pytest.approx(mass(whole, material), rel=1e-9)


def test_a_pressed_box_against_wrinkling() -> None:
    """Capacity by hand: 0.5 (E 0.1 E 0.1 G)^(1/3). The bent box presses its lower wall with M c / I at least."""
    design = design_values(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=70.0)
    found = wrinkling_check(box().model, utilisation(box().model, UP, design, 1.0))
    assert found is not None
    assert found.capacity == pytest.approx(0.5 * (2000 * 200 * 200 / 2.6) ** (1 / 3), rel=1e-6)
    assert found.demand >= 0.9 * MOMENT * SIDE / 2 / SECOND
    assert found.decided
    assert wrinkling_check(whole_box().model, utilisation(whole_box().model, UP, design, 1.0)) is None


def test_open_cells() -> None:
    for density, stiffness, strength in ((0.1, 0.01, 0.0094868), (0.2, 0.04, 0.0268328), (0.3, 0.09, 0.0492950)):
        found = foam_shares(density)
        compare(found[0], stiffness, rel=1e-6, source=FOAM, quantity=f"E/Es at relative density {density}")
        compare(found[1], strength, rel=1e-5, source=FOAM, quantity=f"plastic strength share at {density}")
