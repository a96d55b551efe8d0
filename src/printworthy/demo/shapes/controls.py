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
    mirrored,
    plate,
    rectangle,
    rod,
)


def hand_lever() -> Shape:
    """Brake lever: pivot bore 8 along z at the origin, cable barrel bore 7 at (7.5, 27), blade along +x to a ball end.

    The rider pulls along -y; the 19 mm ball keeps the end from spearing.
    """
    outline = [
        (-15, -17, 13),
        (30, -25, 60),
        (118, -25, 60),
        (156, -11.5, 5),
        (153, -1, 5),
        (112, -8, 60),
        (21, 3, 12),
        (18, 37, 9),
        (-3, 37, 9),
        (-15, 11, 14),
    ]
    blade = plate(outline, "xy", -9, 9)
    blade = filleted(blade, 4.5, lambda edge: in_plane(2, 9)(edge) or in_plane(2, -9)(edge))
    lever = fused(blade, Sphere(Pnt(158, -5.5, 0), r=9.5))
    return cut(lever, rod((0, 0, -20), "z", 4, 40), rod((7.5, 27, -20), "z", 3.5, 40))


def foot_peg() -> Shape:
    """Folding foot peg along +x: pin bore 12 along y at the origin, grooved tread on top, heel face at x = -18.

    The heel, 38 below the pin, stops the peg against its hanger: the deeper it reaches, the less the pin carries.
    """
    side = [
        (-18, -46, 4),
        (8, -46, 20),
        (106, -8, 6),
        (106, 12, 4),
        (34, 12, 20),
        (20, 17, 20),
        (-16, 17, 15),
        (-16, -25, 8),
        (-18, -31, 8),
    ]
    half = [(-18, -13, 5.5), (14, -13, 10), (22, -19, 10), (106, -19, 12)]
    peg = plate(side, "xz", -30, 30) * plate(half + mirrored(half), "xy", -80, 40)
    grooves = [rod((x, -40, 13.2), "y", 2.5, 80) for x in (44, 56, 68, 80, 92)]
    return cut(peg, rod((0, -40, 0), "y", 6, 80), *grooves)


def peg_hanger() -> Shape:
    """Bracket for the peg: base 14 thick with two 8.5 bores along x, two ears with a 12 bore along y at the origin.

    Below z = -26 the web between the ears stops the heel of the peg at x = -18; above it the peg has room to fold up.
    """
    side = [
        (-58, -92, 0),
        (-44, -92, 0),
        (-44, -61, 9),
        (-24, -55, 20),
        (-6, -50, 12),
        (16, -14, 15),
        (16, 16, 15),
        (-24, 25, 30),
        (-44, 29, 9),
        (-44, 60, 0),
        (-58, 60, 0),
    ]
    half = [(-58, -31, 0), (-44, -31, 0), (-44, -22.5, 8), (20, -22.5, 0)]
    room = [(-28, -26, 7), (-18, -26, 3), (-18, -100, 0), (40, -100, 0), (40, 80, 0), (-28, 80, 0)]
    solid = plate(side, "xz", -40, 40) * plate(half + mirrored(half), "xy", -110, 110)
    solid = solid * plate(rectangle((-31, 31), (-92, 60), 14), "yz", -70, 40)
    wall = inside((-29, -14, -101), (-17, 14, 81))
    slot = filleted(
        plate(room, "xz", -13.5, 13.5),
        4,
        lambda edge: wall(edge) and (in_plane(1, 13.5)(edge) or in_plane(1, -13.5)(edge)),
    )
    bores = [rod((-65, 0, z), "x", 4.25, 30) for z in (47.0, -79.0)]
    return cut(solid, slot, rod((0, -40, 0), "y", 6, 80), *bores)


def handlebar_clamp() -> Shape:
    """Riser that clamps a 22.2 bar along y at z = 50: foot with 8.5 bores at x = +-29, slit and pinch bore on top."""
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
    slit = block((-1.5, -30, 55), (1.5, 30, 100))
    feet = [rod((x, 0, -5), "z", 4.25, 60) for x in (-29.0, 29.0)]
    return cut(body, rod((0, -30, 50), "y", 11.1, 60), slit, rod((-30, 0, 77), "x", 3.25, 60), *feet)
