"""Sections, supports and print time against closed forms, and invariants of the time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from bodies import Triangles, block, bracket, rod

from printworthy.errors import CardError, GeometryError, InputError
from printworthy.inputs import Fill, MakingCard, Quantity
from printworthy.making import lay_figures
from printworthy.making.motion import path_time
from printworthy.making.printing import Settings, bed_seconds, hollow, printed, settings
from printworthy.making.sections import slices, supports, upright

HOW = Settings(0.2, 45.0, 0.45, 120.0, 180.0, 100.0, 300.0, 5000.0, 8.0, 15.0, 0.4, 0.3, 6.0, 0.15)


@pytest.mark.parametrize("direction", [(0, 0, 1), (0, 0, -1), (1, 0, 0), (0.3, -0.4, 0.9), (-1, 2, -3)])
def test_the_build_direction_is_turned_up(direction: tuple[float, float, float]) -> None:
    turn = upright(direction)
    np.testing.assert_allclose(turn @ np.array(direction) / np.linalg.norm(direction), [0, 0, 1], atol=1e-12)
    np.testing.assert_allclose(turn @ turn.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(turn) == pytest.approx(1)


def test_volume_does_not_depend_on_the_way_up() -> None:
    body = bracket(22, 40, 20)
    whole = slices(body, (0, 0, 1), 0.1).volume
    for direction in ((1.0, 0.0, 0.0), (1.0, 1.0, 1.0), (0.2, -0.9, 0.1)):
        assert slices(body, direction, 0.1).volume == pytest.approx(whole, rel=5e-3)


@pytest.mark.parametrize("direction", [(0.0, 0.0, 1.0), (0.0, 0.0, -1.0), (0.5, 0.2, 1.0)])
def test_supports_agree_with_the_columns_below_overhangs(direction: tuple[float, float, float]) -> None:
    # Two ways to the same space: sections widened from the top down, and lines through the facets. The free gap beside
    # the part and steps of 1 mm make them differ.
    body = bracket(22, 40, 20)
    lines = lay_figures(body, np.array([direction]), overhang_angle=45.0, layer_height=0.2, bed=(250, 210, 210))
    held = supports(slices(body, direction, 0.2), 45.0)
    assert held.volume == pytest.approx(float(lines.support_volume[0]), rel=0.15)


def test_a_cube_needs_no_support() -> None:
    p = printed(block(20, 20, 20), (0, 0, 1), HOW)
    assert p.support_volume == 0
    assert len(p.layer_seconds) == 100
    assert p.height == pytest.approx(20)


def test_a_solid_print_holds_the_part_and_a_sparse_one_less() -> None:
    solid = printed(block(40, 30, 20), (0, 0, 1), HOW)
    sparse = printed(block(40, 30, 20), (0, 0, 1), replace(HOW, infill=0.2))
    assert solid.volume == pytest.approx(40 * 30 * 20, rel=1e-9)
    # by hand: four solid layers at each end, then three walls of a pitch and a fifth of what they enclose
    wall = 3 * HOW.pitch
    inner = (40 - 2 * wall) * (30 - 2 * wall)
    assert sparse.volume == pytest.approx(1200 * 8 * 0.2 + (1200 - 0.8 * inner) * 92 * 0.2, rel=1e-6)
    assert sparse.seconds < solid.seconds


def test_a_stated_wall_is_laid_in_whole_beads_and_layers() -> None:
    """By hand: a wall of two pitches and a little takes three beads; 1 mm of layers of 0.2 mm takes five."""
    inside = hollow(HOW, Fill(2.1 * HOW.pitch, 0.2))
    assert (inside.walls, inside.infill) == (3, 0.2)
    assert (hollow(HOW, Fill(2 * HOW.pitch, 0.2)).walls, hollow(HOW, Fill(1.0, 0.2)).solid_layers) == (2, 5)
    assert hollow(HOW, None) is HOW


def test_no_print_is_faster_than_its_flow() -> None:
    p = printed(block(60, 60, 10), (0, 0, 1), HOW)
    assert sum(p.layer_seconds) > p.volume / HOW.flow
    slow = printed(block(60, 60, 10), (0, 0, 1), replace(HOW, flow=5.0))
    # bound by the melt alone where lines are long: little is lost at their ends
    assert sum(slow.layer_seconds) == pytest.approx(slow.volume / 5.0, rel=0.1)


def test_slower_machines_take_longer() -> None:
    body = rod(10, 40, 64)
    times = [printed(body, (0, 0, 1), replace(HOW, acceleration=a)).seconds for a in (200_000, 20_000, 5_000, 1_000)]
    assert times == sorted(times)
    assert printed(body, (0, 0, 1), replace(HOW, jerk=1e5)).seconds > times[2]


def test_small_layers_wait_to_cool_and_share_the_wait() -> None:
    one = printed(rod(2, 20, 32), (0, 0, 1), HOW)
    assert one.waiting > 0
    assert one.seconds == pytest.approx(100 * (6.0 + 0.3))
    two = bed_seconds([(one, 2)])
    assert two < 2 * one.seconds  # the trade's "40 min, 80 for two" holds only where layers need not wait
    large = printed(block(60, 60, 10), (0, 0, 1), HOW)
    assert bed_seconds([(large, 2)]) == pytest.approx(2 * large.seconds - 50 * 0.3, rel=1e-4)


def test_layers_of_two_heights_do_not_share_a_bed() -> None:
    a, b = printed(block(9, 9, 9), (0, 0, 1), HOW), printed(block(9, 9, 9), (0, 0, 1), replace(HOW, layer=0.3))
    with pytest.raises(InputError, match="different layer heights"):
        bed_seconds([(a, 1), (b, 1)])


def test_a_round_path_is_kept_at_speed_and_a_square_one_is_not() -> None:
    t = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    x, y = 50 * np.cos(t), 50 * np.sin(t)
    seconds, length = path_time(x, y, True, 100.0, 5000.0, 0.0, 8.0)
    assert seconds == pytest.approx(length / 100 + 100 / 5000, rel=1e-3)
    square = np.array([0.0, 50, 50, 0]), np.array([0.0, 0, 50, 50])
    # four sides from and to the corner speed 8 / sqrt(2), first and last end at rest
    corner = 8 / np.sqrt(2)
    rest, moving = (100 - 0) / 5000, (100 - corner) / 5000
    way = 200 - 2 * 50 * rest - 6 * (100 + corner) / 2 * moving
    assert path_time(*square, True, 100.0, 5000.0, 0.0, 8.0)[0] == pytest.approx(2 * rest + 6 * moving + way / 100)


def test_a_path_read_backwards_takes_as_long() -> None:
    points = np.random.default_rng(3).normal(scale=5, size=(40, 2))
    for jerk in (0.0, 1e6):
        there = path_time(points[:, 0], points[:, 1], False, 90.0, 3000.0, jerk, 5.0)[0]
        back = path_time(points[::-1, 0].copy(), points[::-1, 1].copy(), False, 90.0, 3000.0, jerk, 5.0)[0]
        assert there == pytest.approx(back, rel=1e-6)


def test_a_wall_a_little_thicker_than_its_beads_is_not_hatched_line_by_line() -> None:
    # Six beads and a tenth of one: the sliver is filled along the wall, not by lines across it with a travel each.
    exact = printed(block(100, 6.0 * HOW.pitch, 5), (0, 0, 1), HOW)
    more = printed(block(100, 6.1 * HOW.pitch, 5), (0, 0, 1), HOW)
    assert more.seconds == pytest.approx(exact.seconds, rel=0.1)


def test_an_open_skin_has_no_sections() -> None:
    with pytest.raises(GeometryError, match="bounds no solid"):
        slices(Triangles(block(9, 9, 9).corners[1:]), (0, 0, 1), 0.2)


def test_impossible_layers_are_refused() -> None:
    with pytest.raises(InputError, match="above 0"):
        slices(block(9, 9, 9), (0, 0, 1), 0.0)
    with pytest.raises(InputError, match="more than 20000"):
        slices(block(9, 9, 9), (0, 0, 1), 1e-4)


def test_a_card_that_lacks_a_value_is_refused_by_name() -> None:
    card = MakingCard("bare", "Bare", {"bead_width": Quantity(0.45, "mm", "x", "assumed")})
    with pytest.raises(CardError, match='"bare" lacks wall_speed'):
        settings(card, 0.2, 45.0)
