"""Height, foot, overhang, supports and fit against closed forms, derived beside each."""

from __future__ import annotations

from math import asin, cos, pi, radians, sin, sqrt
from typing import Any

import numpy as np
import pytest
from bodies import BED, LAYER, Triangles, ball, block, bracket, prism, rod, upright
from scipy.spatial.transform import Rotation

from printworthy.errors import GeometryError, InputError
from printworthy.making import DirectionFigures, hemisphere, lay_figures, standing

AXES = np.vstack([np.eye(3), -np.eye(3)])


def figures(body: Triangles, directions: Any, *, angle: float = 45.0, **more: Any) -> DirectionFigures:
    settings = {"overhang_angle": angle, "layer_height": LAYER, "bed": BED} | more
    return lay_figures(body, np.asarray(directions, dtype=float), **settings)


def test_a_cube_on_each_face_needs_nothing() -> None:
    f = figures(block(20, 20, 20).moved((100, -7, 3)), AXES)
    np.testing.assert_allclose(f.height, 20, rtol=1e-12)
    np.testing.assert_allclose(f.contact_area, 400, rtol=1e-12)
    np.testing.assert_allclose(f.tip_slope, 1, rtol=1e-12)  # half a side over half a side
    np.testing.assert_allclose(f.rectangle, 20, rtol=1e-12)
    for none in (f.overhang_area, f.support_volume, f.support_error, f.support_on_bed, f.support_on_part):
        assert not none.any()


def test_a_cube_on_its_edge_has_a_prism_of_support_under_each_lower_face() -> None:
    # Both faces lean 45 deg. Under each: side a, foot a/sqrt(2), from 0 to a/sqrt(2) high; the first layer cut off.
    a = 20.0
    f = figures(block(a, a, a), [[1, 0, 1]], angle=40)
    assert f.height[0] == pytest.approx(a * sqrt(2), rel=1e-12)
    assert f.overhang_area[0] == pytest.approx(2 * a * (a - LAYER * sqrt(2)), rel=1e-9)
    assert f.support_volume[0] == pytest.approx(a**3 / 2 - a * LAYER**2, rel=1e-9)
    assert f.support_on_bed[0] == pytest.approx(2 * a * (a / sqrt(2) - LAYER), rel=1e-9)
    assert f.support_on_part[0] == 0
    assert f.contact_area[0] == pytest.approx(2 * LAYER * a, rel=1e-9)
    assert f.tip_slope[0] == pytest.approx(LAYER / (a / sqrt(2)), rel=1e-9)
    assert f.rectangle[0] == pytest.approx([a * sqrt(2), a], rel=1e-9)
    # the supports reach from edge to edge; lines see their ends to within their spacing
    assert f.tip_slope_supported[0] == pytest.approx((a / 2) / (a / sqrt(2)), abs=2 * sqrt(a * a * sqrt(2) / 4096) / a)


def test_a_surface_at_the_overhang_angle_needs_no_support() -> None:
    assert figures(block(20, 20, 20), [[1, 0, 1]], angle=45).overhang_area[0] == 0
    assert figures(block(20, 20, 20), [[1, 0, 1.01]], angle=45).overhang_area[0] > 0


def test_a_cube_on_its_corner() -> None:
    # Three lower faces, each with a foot of a^2/sqrt(3) and a mean height of a/sqrt(3), together a^3. The first layer
    # is an equilateral triangle of area 3 sqrt(3)/2 h^2; the heights over it average 2 h/3.
    a, foot = 20.0, 1.5 * sqrt(3) * LAYER**2
    f = figures(block(a, a, a), [[1, 1, 1]], angle=30)
    assert f.height[0] == pytest.approx(a * sqrt(3), rel=1e-12)
    assert f.contact_area[0] == pytest.approx(foot, rel=1e-9)
    assert f.support_volume[0] == pytest.approx(a**3 - foot * LAYER * 2 / 3, rel=1e-9)
    assert f.overhang_area[0] == pytest.approx(3 * a * a - foot * sqrt(3), rel=1e-9)


def test_a_ball_has_an_overhanging_cap_and_the_space_under_it() -> None:
    # Cap below polar angle 45 deg, without the first layer: area 2 pi r (height of cap - h). Support: between the bed
    # and the ball, from the edge of the first layer's disc to radius r cos 45, integral of
    # (r - sqrt(r^2 - q^2)) 2 pi q dq.
    # The rings end at 45 deg exactly; what remains is the chord error of 1 deg facets, (1 deg)^2/8 = 4e-5, and twice
    # that where two lengths are multiplied. In the first layer it is r (1 deg)^2/8 of h: 0.6 % of the disc's area.
    r = 30.0
    inner, outer = 2 * r * LAYER - LAYER**2, (r * cos(radians(45))) ** 2
    space = pi * r * (outer - inner) + 2 * pi / 3 * ((r * r - outer) ** 1.5 - (r * r - inner) ** 1.5)
    directions = [[0, 0, 1], [0, 0, -1]]
    f = figures(ball(r, 180), directions)
    np.testing.assert_allclose(f.height, 2 * r, rtol=1e-12)
    np.testing.assert_allclose(f.overhang_area, 2 * pi * r * (r - r * sin(radians(45)) - LAYER), rtol=5e-4)
    np.testing.assert_allclose(f.support_volume, space, rtol=5e-4)
    np.testing.assert_allclose(f.contact_area, pi * inner, rtol=7e-3)
    np.testing.assert_allclose(f.tip_slope, sqrt(inner) / r, rtol=4e-3)
    assert (f.support_error < 0.01 * space).all()  # a shadow no line met would be that small


def test_a_ball_is_the_same_every_way_up() -> None:
    f = figures(ball(30.0, 90), hemisphere(40, both=True))
    # Away from its own axis the edge of the cap runs through 2 deg facets: half a facet of 45 deg is 2 %
    assert np.ptp(f.support_volume) < 0.05 * f.support_volume.mean()
    assert np.ptp(f.height) < 1e-3 * 60


def test_a_standing_rod() -> None:
    r, length = 6.0, 50.0
    f = figures(rod(r, length, 360), [[0, 0, 1], [0, 0, -1]])
    np.testing.assert_allclose(f.contact_area, pi * r * r, rtol=1e-4)
    np.testing.assert_allclose(f.tip_slope, r / (length / 2), rtol=1e-4)
    np.testing.assert_allclose(f.rectangle, 2 * r, rtol=1e-4)
    assert not f.support_volume.any()


def test_a_lying_rod_stands_on_a_line() -> None:
    # Section of the space under it, from the edge of the first layer to r sin 45: twice the integral of
    # r - sqrt(r^2 - x^2).
    r, length = 6.0, 50.0

    def section(x: float) -> float:
        return 2 * (r * x - (x * sqrt(r * r - x * x) + r * r * asin(x / r)) / 2)

    inner, outer = sqrt(2 * r * LAYER - LAYER**2), r * sin(radians(45))
    f = figures(rod(r, length, 360), [[1, 0, 0], [0, -1, 0]])
    np.testing.assert_allclose(f.height, 2 * r, rtol=1e-9)
    np.testing.assert_allclose(f.support_volume, length * (section(outer) - section(inner)), rtol=1e-3)
    np.testing.assert_allclose(f.overhang_area, 2 * r * length * (pi / 4 - asin(inner / r)), rtol=1e-3)
    np.testing.assert_allclose(f.contact_area, 2 * inner * length, rtol=1e-3)
    np.testing.assert_allclose(f.rectangle, [[length, 2 * r]] * 2, rtol=1e-9)


def test_an_arm_over_its_own_base_has_its_support_on_the_part() -> None:
    # Arm from x = 5 to 40 at 35 high, base 5 high up to x = 40: one gap of 30 everywhere.
    f = figures(bracket(40, 40, 20), [[0, 0, 1]])
    assert f.support_volume[0] == pytest.approx(35 * 20 * 30, rel=1e-9)
    assert f.support_on_part[0] == pytest.approx(35 * 20, rel=1e-9)
    assert f.support_on_bed[0] == 0
    assert f.overhang_area[0] == pytest.approx(35 * 20, rel=1e-9)


@pytest.mark.parametrize("rays", [1024, 4096, 65536])
def test_an_arm_beyond_its_base_stands_on_part_and_bed(rays: int) -> None:
    # Of the arm's 35, 17 lie over the base (gap 30) and 18 over the bed (gap 35). The edge between them can be a line's
    # spacing s out along its length: s (35 - 30) 20 at most. Evenly spread places do much better: allow a fifth.
    f = figures(bracket(22, 40, 20), [[0, 0, 1]], rays=rays)
    pitch = sqrt(40 * 20 / rays)
    exact = 20 * (17 * 30 + 18 * 35)
    assert f.support_volume[0] == pytest.approx(exact, abs=pitch * 5 * 20 / 5)
    assert f.support_on_part[0] == pytest.approx(17 * 20, abs=pitch * 20 / 5)
    assert f.support_on_part[0] + f.support_on_bed[0] == pytest.approx(35 * 20, rel=1e-9)
    assert abs(f.support_volume[0] - exact) <= f.support_error[0]


def test_the_columns_that_are_drawn_stand_where_the_arm_needs_them() -> None:
    # The same arm, moved: feet on the base (z = 5) below x = 22, on the bed beyond, tops at its under side (z = 35).
    drawn = standing(bracket(22, 40, 20).moved((100, 50, 7)), (0.0, 0.0, 1.0), 45.0, LAYER) - [100, 50, 7]
    # 2400 lines over 40 x 20: cells of 0.577, so 70 x 35; the arm over the wall needs none
    assert len(drawn) == pytest.approx(70 * 35 * 35 / 40, rel=0.01)
    np.testing.assert_allclose(drawn[:, 1, 2], 35, atol=1e-9)
    np.testing.assert_allclose(drawn[:, 0, 2], np.where(drawn[:, 0, 0] < 22, 5, 0), atol=1e-9)
    np.testing.assert_allclose(drawn[:, 0, :2], drawn[:, 1, :2], atol=1e-9)


def test_shelves_over_shelves_each_stand_on_the_next() -> None:
    # Wall 5 thick, three shelves 4 thick and 30 long at z = 10, 30 and 70 (under sides): gaps 10, 16 and 36.
    outline = [(0.0, 0.0), (5.0, 0.0)]
    for low in (10.0, 30.0, 70.0):
        outline += [(5, low), (35, low), (35, low + 4), (5, low + 4)]
    f = figures(upright([*outline, (5, 80), (0, 80)], 12), [[0, 0, 1]])
    assert f.support_volume[0] == pytest.approx(30 * 12 * (10 + 16 + 36), rel=1e-9)
    assert f.support_on_part[0] == pytest.approx(2 * f.support_on_bed[0], rel=1e-9)


def test_a_tunnel_is_supported_from_its_own_floor() -> None:
    # 40 x 40 block with a 20 x 20 tunnel at 10 high; then the same lying on a side, then standing on an end.
    walls: list[list[tuple[float, float]]] = [
        [(0, 0), (40, 0), (40, 40), (0, 40)],
        [(10, 10), (10, 30), (30, 30), (30, 10)],
    ]
    f = figures(prism(walls[0], 25, holes=walls[1:]), [[0, 1, 0], [1, 0, 0], [0, 0, 1]])
    np.testing.assert_allclose(f.support_volume, [20 * 20 * 25, 20 * 20 * 25, 0], rtol=1e-9)
    np.testing.assert_allclose(f.support_on_part, [20 * 25, 20 * 25, 0], rtol=1e-9)


@pytest.mark.parametrize(("lean", "stands"), [(0.0, True), (12.0, True), (30.0, False)])
def test_a_leaning_prism_tips_when_its_centre_of_mass_leaves_its_foot(lean: float, stands: bool) -> None:
    # Base 20 by 50, 40 high, top moved by `lean`: the centre of mass is at half the height and half the lean. The foot
    # is the first layer's, which reaches h/40 of the lean further.
    body = upright([(0, 0), (20, 0), (20 + lean, 40), (lean, 40)], 50)
    f = figures(body, [[0, 0, 1]], angle=80)
    room = 10 + lean * LAYER / 40 - lean / 2
    assert f.tip_slope[0] == pytest.approx(room / 20, rel=1e-9)
    assert (f.tip_slope[0] > 0) == stands
    assert f.tip_slope_supported[0] == f.tip_slope[0]  # at 80 deg nothing is supported


def test_supports_hold_a_part_that_would_fall() -> None:
    body = upright([(0, 0), (20, 0), (70, 40), (50, 40)], 50)  # leans 51 deg
    f = figures(body, [[0, 0, 1]])
    assert f.tip_slope[0] < 0
    # supports under the leaning side reach from x = 20 to 70 on the bed; the centre of mass is over x = 35
    assert f.tip_slope_supported[0] == pytest.approx(25 / 20, abs=0.05)


def test_up_and_down_share_what_does_not_depend_on_the_way_up() -> None:
    up = hemisphere(60)
    f, g = figures(bracket(22, 40, 20), up), figures(bracket(22, 40, 20), -up)
    for same in ("height", "over_bed", "over_height", "rectangle"):
        np.testing.assert_allclose(getattr(f, same), getattr(g, same), rtol=1e-9)
    assert (np.abs(f.support_volume - g.support_volume) > 0.2 * f.support_volume).mean() > 0.5
    # turned over, the arm is the base: 17 of its length 30 below the other, as before, and nothing below the rest
    down = figures(bracket(22, 40, 20), [[0, 0, -1]])
    assert down.support_volume[0] == pytest.approx(17 * 20 * 30, rel=1e-9)
    assert down.support_on_bed[0] == 0


def test_a_direction_s_figures_do_not_depend_on_what_else_is_asked() -> None:
    body, up = bracket(22, 40, 20), np.vstack([AXES, hemisphere(5, both=True)])
    mixed = np.random.default_rng(9).permutation(np.vstack([up, -up, 3 * up]))
    f = figures(body, mixed)
    for i, n in enumerate(mixed):
        alone = figures(body, [n])
        np.testing.assert_allclose(f.directions[i], alone.directions[0])
        for name in ("height", "contact_area", "tip_slope", "tip_slope_supported", "support_volume", "support_on_part"):
            assert getattr(f, name)[i] == getattr(alone, name)[0], name


def test_turning_part_and_direction_together_changes_nothing() -> None:
    turn = Rotation.from_rotvec([0.4, -1.1, 0.7])
    up = hemisphere(60, both=True)
    body = bracket(22, 40, 20)
    f, g = figures(body, up), figures(body.turned(turn).moved((5, 6, 7)), turn.apply(up))
    for name in ("height", "contact_area", "tip_slope", "over_bed", "rectangle", "overhang_area"):
        np.testing.assert_allclose(getattr(f, name), getattr(g, name), rtol=1e-7, atol=1e-7, err_msg=name)
    # the lines follow the silhouette, but a rectangle may be read from either end
    gap = np.abs(f.support_volume - g.support_volume)
    assert (gap <= 2 * (f.support_error + g.support_error) + 1e-6).all()


def test_lengths_scale() -> None:
    up = hemisphere(20, both=True)
    f = figures(bracket(22, 40, 20), up)
    # by a power of two, so that rounding scales too and the lines run through the same places
    big = figures(Triangles(4 * bracket(22, 40, 20).corners), up, layer_height=4 * LAYER)
    np.testing.assert_allclose(big.support_volume, 64 * f.support_volume, rtol=1e-9)
    np.testing.assert_allclose(big.overhang_area, 16 * f.overhang_area, rtol=1e-9)
    np.testing.assert_allclose(big.tip_slope_supported, f.tip_slope_supported, rtol=1e-9)


def test_overhang_is_told_by_face() -> None:
    body = bracket(40, 40, 20)
    middle = body.corners.mean(axis=1)
    arm = np.flatnonzero(np.isclose(body.corners[:, :, 2], 35).all(axis=1))
    top = np.flatnonzero(middle[:, 2] > 39.9)
    f = figures(body, [[0, 0, 1], [0, 0, -1]], faces={"arm": arm, "top": top, "none": np.array([], dtype=int)})
    np.testing.assert_allclose(f.overhang_on, [[35 * 20, 0, 0], [0, 0, 0]], rtol=1e-9)
    assert f.at(0).overhang_on == pytest.approx({"arm": 700, "top": 0, "none": 0})


def test_the_record_says_what_the_arrays_say() -> None:
    f = figures(block(100, 20, 300), [[0, 0, 1], [0, 1, 0]])
    assert f.fits.tolist() == [False, False]
    assert f.at(0).height == 300
    assert f.at(0).over_height == pytest.approx(90)
    assert not f.at(0).fits
    assert f.at(1).over_height == pytest.approx(20 - 210)


def test_an_open_skin_is_refused() -> None:
    with pytest.raises(GeometryError, match="not closed"):
        figures(Triangles(block(20, 20, 20).corners[1:]), AXES)


def test_two_facing_holes_in_the_skin_are_seen_by_the_lines() -> None:
    # Their missing area vectors cancel, so only lines through the part can tell.
    tunnel = bracket(40, 40, 20)
    flat = np.isclose(np.ptp(tunnel.corners[:, :, 1], axis=1), 0)
    with pytest.raises(GeometryError, match="enter it without leaving it"):
        figures(Triangles(tunnel.corners[~flat]), [[0.1, 1, 0.2]], angle=10)


def test_a_skin_inside_out_is_refused() -> None:
    with pytest.raises(GeometryError, match="face inwards"):
        figures(Triangles(block(20, 20, 20).corners[:, ::-1]), AXES)


def test_a_skin_without_volume_is_refused() -> None:
    sheet = np.array([[[0, 0, 0], [10, 0, 0], [0, 10, 0]], [[0, 0, 0], [0, 10, 0], [10, 0, 0]]], dtype=float)
    with pytest.raises(GeometryError, match="encloses no volume"):
        figures(Triangles(sheet), AXES)


@pytest.mark.parametrize(
    ("change", "line"),
    [
        ({"overhang_angle": 90.0}, "between 0 and 90"),
        ({"layer_height": 0.0}, "above 0 mm"),
        ({"bed": (200.0, 0.0, 200.0)}, "above 0 mm"),
        ({"rays": 4}, "16 or more"),
        ({"faces": {"seat": np.array([12])}}, "'seat'"),
    ],
)
def test_impossible_settings_are_refused_in_one_line(change: dict[str, Any], line: str) -> None:
    with pytest.raises(InputError, match=line):
        figures(block(20, 20, 20), AXES, **change)


@pytest.mark.parametrize("directions", [[[0, 0, 0]], [], [[0, 1]], [[0, 0, np.nan]]])
def test_impossible_directions_are_refused(directions: list[list[float]]) -> None:
    with pytest.raises(InputError):
        figures(block(20, 20, 20), directions)
