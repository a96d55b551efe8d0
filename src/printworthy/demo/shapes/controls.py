"""What the rider touches: hand lever, foot peg, peg hanger, handlebar clamp. Lengths in mm."""

from __future__ import annotations

from netgen.occ import Pnt, Sphere

from printworthy.demo.solids import (
    Shape,
    block,
    cut,
    filleted,
    fused,
    in_plane,
    inside,
    plate,
    rectangle,
    rod,
)


def hand_lever() -> Shape:
    """Brake lever: pivot bore 8 along z at the origin, cable barrel bore 7 at (7.5, 27), blade along +x to a ball end.

    The rider pulls along -y; the 18 mm ball keeps the end from spearing.
    """
    outline = [
        (-15, -15, 13),
        (30, -23, 60),
        (118, -23, 60),
        (156, -11, 4),
        (153, -1, 4),
        (112, -8, 60),
        (21, 3, 12),
        (18, 37, 9),
        (-3, 37, 9),
        (-15, 11, 14),
    ]
    blade = plate(outline, "xy", -8, 8)
    blade = filleted(blade, 3, lambda edge: in_plane(2, 8)(edge) or in_plane(2, -8)(edge))
    lever = fused(blade, Sphere(Pnt(158, -5, 0), r=9))
    return cut(lever, rod((0, 0, -20), "z", 4, 40), rod((7.5, 27, -20), "z", 3.5, 40))


def foot_peg() -> Shape:
    """Folding foot peg along +x: pin bore 10 along y at the origin, heel face at x = -14 below the pin, grooved tread on top."""
    side = [
        (-14, -26, 3),
        (18, -26, 20),
        (106, -8, 6),
        (106, 12, 4),
        (-11, 12, 10),
        (-11, -8, 2),
        (-14, -12, 2),
    ]
    plan = [
        (-14, -12, 4),
        (14, -12, 10),
        (22, -18, 10),
        (106, -18, 12),
        (106, 18, 12),
        (22, 18, 10),
        (14, 12, 10),
        (-14, 12, 4),
    ]
    peg = plate(side, "xz", -30, 30) * plate(plan, "xy", -40, 40)
    grooves = [rod((x, -40, 13.2), "y", 2.5, 80) for x in (44, 56, 68, 80, 92)]
    return cut(peg, rod((0, -40, 0), "y", 5, 80), *grooves)


def peg_hanger() -> Shape:
    """Bracket for the peg: base 14 thick with two 8.5 bores along x, two ears with a 10 bore along y at the origin.

    The web between the ears stops the heel of the peg at x = -14; above z = -4 the peg has room to fold up.
    """
    side = [
        (-54, -74, 0),
        (-40, -74, 0),
        (-40, -46, 9),
        (-24, -40, 25),
        (13.5, -13, 13),
        (13.5, 13, 13),
        (-24, 22, 30),
        (-40, 26, 9),
        (-40, 54, 0),
        (-54, 54, 0),
    ]
    plan = [
        (-54, -29, 0),
        (-40, -29, 0),
        (-40, -25, 3.9),
        (20, -25, 0),
        (20, 25, 0),
        (-40, 25, 3.9),
        (-40, 29, 0),
        (-54, 29, 0),
    ]
    room = [(-40, -4, 6), (-14, -4, 3), (-14, -60, 0), (30, -60, 0), (30, 60, 0), (-40, 60, 0)]
    solid = plate(side, "xz", -40, 40) * plate(plan, "xy", -90, 90)
    solid = solid * plate(rectangle((-29, 29), (-74, 54), 14), "yz", -60, 30)
    wall = inside((-41, -13, -61), (-13, 13, 61))
    slot = filleted(
        plate(room, "xz", -12.5, 12.5),
        3,
        lambda edge: wall(edge) and (in_plane(1, 12.5)(edge) or in_plane(1, -12.5)(edge)),
    )
    bores = [rod((-60, 0, z), "x", 4.25, 30) for z in (42.0, -61.0)]
    return cut(solid, slot, rod((0, -40, 0), "y", 5, 80), *bores)


def handlebar_clamp() -> Shape:
    """Riser that clamps a 22.2 bar along y at z = 50: foot with two 8.5 bores at x = +-25, slit and 6.5 pinch bore on top."""
    outline = [
        (-38, 0, 3),
        (38, 0, 3),
        (38, 14, 5),
        (19.5, 14, 10),
        (19.5, 62, 4),
        (14, 70, 4),
        (14, 87, 5),
        (-14, 87, 5),
        (-14, 70, 4),
        (-19.5, 62, 4),
        (-19.5, 14, 10),
        (-38, 14, 5),
    ]
    body = plate(outline, "xz", -19, 19)
    body = filleted(body, 1.5, lambda edge: in_plane(1, 19)(edge) or in_plane(1, -19)(edge))
    slit = block((-1.5, -30, 55), (1.5, 30, 100))
    feet = [rod((x, 0, -5), "z", 4.25, 60) for x in (-29.0, 29.0)]
    return cut(body, rod((0, -30, 50), "y", 11.1, 60), slit, rod((-30, 0, 77), "x", 3.25, 60), *feet)
