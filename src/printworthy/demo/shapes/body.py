"""What covers and carries: seat, mudguard, lamp surround, battery tray, motor cover, pack hook. Lengths in mm."""

from __future__ import annotations

import math
from typing import Any

from netgen.occ import Axis, Pnt, Y, Z

from printworthy.demo.solids import (
    Corner,
    Shape,
    cut,
    filleted,
    fused,
    in_plane,
    mirrored,
    plate,
    profile,
    rectangle,
    rod,
    turned,
)


def seat_shell() -> Shape:
    """Seat shell 250 x 190, kicked up behind: skin 5 thick, rim on the frame at z = 0, two ribs, four 6.5 bores."""
    top = [(250, 78, 0), (164, 40, 60), (70, 36, 60), (0, 44, 0)]
    under = [(245, 70.3, 0), (164.8, 35, 65), (69.7, 31, 65), (5, 38.4, 0)]
    plan, hollow = rectangle((0, 250), (-95, 95), 40), rectangle((5, 245), (-90, 90), 35)
    outside = plate([(0, 0, 0), (250, 0, 0), *top], "xz", -100, 100) * plate(plan, "xy", 0, 100)
    inside = plate([(5, 0, 0), (245, 0, 0), *under], "xz", -100, 100) * plate(hollow, "xy", 0, 100)
    outside = filleted(outside, 8, _rim(0))
    inside = filleted(inside, 5, _rim(5))
    spots = [(x, y) for x in (46.0, 204.0) for y in (-62.0, 62.0)]
    ribs = [plate(rectangle((2, 248), (y - 2.5, y + 2.5), 0), "xy", 8, 100) * outside for y in (30.0, -30.0)]
    feet = [rod((x, y, 0), "z", 10, 100) * outside for x, y in spots]
    bores = [rod((x, y, -1), "z", 3.25, 120) for x, y in spots]
    return cut(fused(cut(outside, inside), *ribs, *feet), *bores)


def _rim(plan_edge_x: float) -> Any:
    """Edges of a seat solid that run round its upper rim, where the upright wall starts at `plan_edge_x` [mm]."""

    def test(edge: Shape) -> bool:
        across = abs(edge.start.x - edge.end.x) < 0.01
        upright = across and abs(edge.start.y - edge.end.y) < 0.01
        end_line = abs(edge.center.x - plan_edge_x) < 0.01 or abs(edge.center.x - 250 + plan_edge_x) < 0.01
        return edge.center.z > 25 and not upright and (not across or end_line)

    return test


def mudguard() -> Shape:
    """Front mudguard for a tyre of radius 150: 80 degrees about y at the origin, crown 3 thick, lips, a lug each side.

    The lugs stand at 40 degrees, their roots rounded, and carry 6.5 bores along y, 148 from the axle.
    """
    outer = [(165, -42, 0), (180, -42, 6), (184, -22, 22)]
    inner = [(181, -21.5, 19), (177.3, -39, 3), (165, -39, 0)]
    section = outer + mirrored(outer) + mirrored(inner) + inner
    guard = profile(section, "xy").Revolve(Axis(Pnt(0, 0, 0), Y), -80)
    lug: list[Corner] = [(136, -14, 13), (158, -16, 12), (168, -36, 0), (174, -36, 0)]
    outline = turned(lug + mirrored(lug), 40)
    lugs = [plate(outline, "xz", 39, 45), plate(outline, "xz", -45, -39)]
    ((x, z, _),) = turned([(148, 0, 0)], 40)
    return cut(filleted(fused(guard, *lugs), 5, _flank_roots, 4), rod((x, -60, z), "y", 3.25, 120))


def _flank_roots(edge: Shape) -> bool:
    """Edges along y, at radius 165, where the flanks of a mudguard's lugs meet its lips."""
    (a, b), across = (edge.start, edge.end), 0.01
    along = abs(a.x - b.x) < across and abs(a.z - b.z) < across and min(abs(a.y), abs(b.y)) > 38
    return along and abs(math.hypot(a.x, a.z) - 165) < across and min(a.x, a.z) > 50


def headlamp_surround() -> Shape:
    """Surround of a 124 lens about z: barrel 4 thick and 40 deep, front lip, three ears with 5.5 bores at radius 91."""
    section = [(80, 0, 0), (84, 0, 0), (84, 40, 8), (62, 40, 0), (62, 36.5, 0), (80, 36.5, 4.5)]
    ring = profile(section, "xz").Revolve(Axis(Pnt(0, 0, 0), Z), 360)
    foot = profile([(81, 0, 0), (105, 0, 0), (105, 6, 0), (84, 6, 3), (84, 12, 0), (81, 12, 0)], "xz")
    foot = foot.Revolve(Axis(Pnt(0, 0, 0), Z), 360)
    half: list[Corner] = [(80, -20, 0), (87, -12, 7), (99, -8, 7.9)]
    ears = [foot * plate(turned(half + mirrored(half), angle), "xy", -1, 20) for angle in (90, 210, 330)]
    body = cut(fused(ring, *ears), rod((0, 0, -1), "z", 80, 30))
    bores = [rod((x, y, -5), "z", 2.75, 20) for x, y, _ in turned([(91, 0, 0)], 90, 210, 330)]
    return cut(body, *bores)


def battery_tray() -> Shape:
    """Tray 220 x 140 x 52: walls 4, floor 5, lugs with 6.5 bores at (+-76, +-84), strap slots, four drains of 8."""
    outside = plate(rectangle((-110, 110), (-70, 70), 14), "xy", 0, 52)
    foot: list[Corner] = [(66, 0, 0), (99, 0, 0), (99, 10, 0), (70, 10, 5), (70, 21, 0), (66, 21, 0)]
    half: list[Corner] = [(66, -14, 0), (94, -14, 8)]
    lugs = []
    for side in (1.0, -1.0):
        rail = plate([(side * v, z, r) for v, z, r in foot], "yz", -110, 110)
        for x in (-76.0, 76.0):
            lugs.append(rail * plate([(x + u, side * v, r) for v, u, r in half + mirrored(half)], "xy", -1, 20))
    body = filleted(fused(outside, *lugs), 4, _lug_roots)
    hollow = filleted(plate(rectangle((-106, 106), (-66, 66), 10), "xy", 5, 70), 6, in_plane(2, 5))
    strap = plate(rectangle((-14, 14), (33, 39), 3), "xz", -100, 100)
    bores = [rod((x, y, -5), "z", 3.25, 30) for x in (-76.0, 76.0) for y in (-84.0, 84.0)]
    drains = [rod((x, y, -5), "z", 4, 30) for x in (-90.0, 90.0) for y in (-50.0, 50.0)]
    return cut(body, hollow, strap, *bores, *drains)


def _lug_roots(edge: Shape) -> bool:
    """Upright edges of a tray where the sides of its lugs meet the walls at y = +-70."""
    upright = abs(edge.start.z - edge.end.z) > 2 and abs(edge.start.x - edge.end.x) < 0.01
    return upright and abs(abs(edge.center.y) - 70) < 0.6 and 0 < edge.center.z < 10


def motor_cover() -> Shape:
    """Cover of a hub motor about z: dish 30 deep, 4 thick, flange 160 across with six 5.5 bores at radius 73, vents."""
    section = [(11, 26, 0), (62, 26, 7), (62, 0, 0), (80, 0, 0), (80, 5, 0), (66, 5, 4), (66, 30, 9), (11, 30, 0)]
    dish = profile(section, "xz").Revolve(Axis(Pnt(0, 0, 0), Z), 360)
    angles = [60.0 * k for k in range(6)]
    bores = [rod((x, y, -5), "z", 2.75, 20) for x, y, _ in turned([(73, 0, 0)], *angles)]
    vents = [plate(turned(rectangle((24, 50), (-4, 4), 4), angle), "xy", 10, 40) for angle in angles]
    return cut(dish, *bores, *vents)


def pack_hook() -> Shape:
    """Hook for a pack strap, 24 wide along y: back plate with two 5.5 bores along x, throat 27 across."""
    outline = [
        (0, -15, 10),
        (47, -15, 20),
        (47, 24, 4.7),
        (37, 24, 4.7),
        (37, -4, 13),
        (10, -4, 13),
        (10, 76, 4.7),
        (0, 76, 4.7),
    ]
    hook = plate(outline, "xz", -12, 12)
    hook = filleted(hook, 4, lambda edge: in_plane(1, 12)(edge) or in_plane(1, -12)(edge))
    return cut(hook, *(rod((-5, 0, z), "x", 2.75, 30) for z in (36.0, 62.0)))
