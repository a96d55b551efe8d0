"""Real parts (../shared/data/geometry, sources in its SOURCES.md); skipped, saying so, where they are absent."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest

from printworthy import shape
from printworthy.inputs import Geometry
from printworthy.making import hemisphere, lay_figures, resting, skin
from printworthy.shape import Solid, Surface

FOLDER = Path(__file__).parents[2].parent / "shared/data/geometry"
BED = (250.0, 210.0, 210.0)
LIMIT = 45.0


def surface(name: str, unit: str = "mm") -> Surface:
    path = FOLDER / name
    if not path.is_file():
        pytest.skip(f"{path} is absent: this check was not made")
    return shape.read(Geometry(path, unit=unit)).surface


def test_a_flat_lever_is_laid_flat() -> None:
    # SOURCES.md: "Flat two-armed lever, 240 mm: best orientation is obvious (flat); a tool that stands it up is wrong";
    # box 240 x 89.88 x 6, so its thickness is z.
    part = surface("rover_differential_lever_240mm.stl")
    up = np.concatenate([resting(skin(part)), hemisphere(100, both=True)])
    f = lay_figures(part, up, overhang_angle=LIMIT, layer_height=0.2, bed=BED)
    flat = np.abs(up[:, 2]) > 1 - 1e-9
    assert flat.sum() == 2
    assert f.height[flat] == pytest.approx([6, 6], abs=1e-4)
    assert f.height[~flat].min() > 6.01
    assert f.support_volume[flat].min() < 0.05 * np.median(f.support_volume[~flat])
    assert f.contact_area[flat].max() == f.contact_area.max()
    assert f.tip_slope[flat].min() > 1
    assert f.fits[flat].all()


@pytest.mark.parametrize("name", ["rover_steering_knuckle.stl", "handlebar_clamp_half_32mm.stl"])
def test_support_against_lines_drawn_by_lot(name: str) -> None:
    """An independent reference: upright lines at random places, met with every facet by another formula, the columns of
    each line read off its sorted hits. Four standard errors of the reference are allowed."""
    part = surface(name)
    f = lay_figures(part, hemisphere(3, both=True), overhang_angle=LIMIT, layer_height=0.2, bed=BED)
    for i, n in enumerate(f.directions):
        volume, error = by_lot(part.corners, n, np.random.default_rng(5150 + i), 3000)
        assert f.support_volume[i] == pytest.approx(volume, abs=4 * error + f.support_error[i])
        assert error < 0.15 * volume  # the reference is worth something


def by_lot(corners: np.ndarray, n: np.ndarray, lot: np.random.Generator, count: int) -> tuple[float, float]:
    """Support volume [mm3] and its standard error."""
    e = np.cross(n, [0.6, 0.8, 0.0])
    e /= np.linalg.norm(e)
    flat = corners @ np.column_stack([e, np.cross(n, e), n])
    low, high = flat.reshape(-1, 3).min(axis=0), flat.reshape(-1, 3).max(axis=0)
    normal = np.cross(flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0])
    steep = normal[:, 2] / np.maximum(np.linalg.norm(normal, axis=1), 1e-300)
    found = np.zeros(count)
    for k, (x, y) in enumerate(lot.uniform(low[:2], high[:2], (count, 2))):
        p = flat[:, :, :2] - [x, y]
        q = np.roll(p, -1, axis=1)
        side = p[..., 0] * q[..., 1] - p[..., 1] * q[..., 0]
        hit = np.flatnonzero((side > 0).all(axis=1) | (side < 0).all(axis=1))
        share = side[hit][:, [1, 2, 0]] / side[hit].sum(axis=1, keepdims=True)
        z = (share * flat[hit, :, 2]).sum(axis=1) - low[2]
        order = np.argsort(z)
        floor = np.concatenate([[0.0], z[order][:-1]])
        over = steep[hit[order]] < -np.sin(np.radians(LIMIT + 0.1))
        found[k] = ((z[order] - floor) * (over & (z[order] > 0.2))).sum()
    whole = float(np.prod(high[:2] - low[:2]))
    return whole * found.mean(), whole * found.std() / np.sqrt(count)


def test_the_stated_resolution_error_holds() -> None:
    # Against 60 times as many lines. The estimate is that of lines drawn by lot, and these are spread more evenly.
    part = surface("handlebar_clamp_half_32mm.stl")
    up = hemisphere(50, both=True)
    f = lay_figures(part, up, overhang_angle=LIMIT, layer_height=0.2, bed=BED)
    fine = lay_figures(part, up, overhang_angle=LIMIT, layer_height=0.2, bed=BED, rays=250_000)
    gap = np.abs(f.support_volume - fine.support_volume)
    assert (gap <= f.support_error + fine.support_error).mean() >= 0.97
    assert np.median(gap / fine.support_volume) < 0.005


def test_a_solid_meshed_from_triangles_is_figured_from_its_triangles() -> None:
    # Its own skin strays by up to the envelope: laid flat, the bed side would lean and seem to need support.
    part = surface("rover_differential_lever_240mm.stl")
    stray = np.random.default_rng(77).normal(scale=0.02, size=part.points.shape)
    points = part.points + stray
    solid = Solid(
        mesh=None, points=points, tets=np.zeros((0, 4), int), facets=part.triangles, patches=part.patches,
        origin=np.arange(len(part.triangles)), surface=part, envelope=0.1, volume=part.volume, report=None, shape=None,
    )  # fmt: skip
    up = np.array([[0.0, 0, 1], [0, 0, -1], [1, 2, 3]])
    half = np.arange(0, len(part.triangles), 2)
    settings = {"overhang_angle": LIMIT, "layer_height": 0.2, "bed": BED}
    f = lay_figures(part, up, faces={"half": half}, **settings)
    g = lay_figures(solid, up, faces={"half": half}, **settings)
    np.testing.assert_array_equal(f.support_volume, g.support_volume)
    # a face's share of a triangle is by area, and the strayed facets differ by a few parts in a thousand
    np.testing.assert_allclose(g.overhang_on, f.overhang_on, rtol=0.05)
    np.testing.assert_allclose(resting(skin(solid))[:2], resting(skin(part))[:2])


@pytest.mark.bench
@pytest.mark.parametrize("name", ["rover_differential_lever_240mm.stl", "rover_wheel_124mm.stl"])
def test_two_thousand_directions_take_seconds(name: str) -> None:
    part = surface(name)
    lay_figures(part, hemisphere(1), overhang_angle=LIMIT, layer_height=0.2, bed=BED)  # compiles
    clock, work = time.perf_counter(), time.process_time()
    lay_figures(part, hemisphere(1000, both=True), overhang_angle=LIMIT, layer_height=0.2, bed=BED)
    clock, work = time.perf_counter() - clock, time.process_time() - work
    print(f"\n{name}: {len(part.triangles)} facets, 2000 directions, {clock:.1f} s by the clock, {work:.1f} s of work")
    assert work < 20
