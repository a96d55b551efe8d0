"""What carries the wheels and steers: swing arm, yoke, head gusset, caliper bracket, pinch bolt. Lengths in mm."""

from __future__ import annotations

import math

from printworthy.demo.solids import Shape, block, cut, filleted, fused, in_plane, mirrored, plate, rectangle, rod


def swing_arm() -> Shape:
    """Single-sided rear arm along +x: pivot bore 28 along y at the origin, axle slot at x = 351, damper bore 10 on top.

    Both sides are relieved to a 14 web between flanges, with an upright rib under the damper.
    """
    outline = [
        (-36, -36, 35),
        (70, -36, 80),
        (330, -25, 80),
        (382, -25, 24),
        (382, 25, 24),
        (320, 25, 80),
        (232, 34, 20),
        (226, 66, 15),
        (194, 66, 15),
        (188, 38, 20),
        (70, 38, 80),
        (-36, 36, 35),
    ]
    beam = plate(outline, "xz", -19, 19)
    body = fused(beam, rod((0, -36, 0), "y", 24, 72))
    body = filleted(body, 8, lambda edge: abs(abs(edge.center.y) - 19) < 0.01 and _near_pivot(edge), 2)
    return cut(body, *_pockets(), *_arm_bores())


def _near_pivot(edge: Shape) -> bool:
    """Whether an edge runs round the pivot boss of the swing arm."""
    return math.hypot(edge.center.x, edge.center.z) < 6


def _pockets() -> list[Shape]:
    """Reliefs 12 deep in both sides of the swing arm, every floor edge rounded."""
    front = [(48, -21, 14), (186, -17, 14), (186, 22, 14), (48, 22, 14)]
    rear = [(206, -16, 11), (316, -11.5, 11), (316, 12, 11), (206, 20, 11)]
    tools = []
    for outline in (front, rear):
        tools.append(filleted(plate(outline, "xz", 7, 30), 7, in_plane(1, 7)))
        tools.append(filleted(plate(outline, "xz", -30, -7), 7, in_plane(1, -7)))
    return tools


def _arm_bores() -> list[Shape]:
    """Pivot bore, damper bore and axle slot of the swing arm."""
    slot = plate(rectangle((334, 368), (-6.1, 6.1), 6.1), "xz", -40, 40)
    return [rod((0, -50, 0), "y", 14, 100), rod((210, -40, 51), "y", 5, 80), slot]


def fork_yoke() -> Shape:
    """Lower yoke, 28 thick: stem bore 28 along z at (-40, 0), leg bores 35 at y = +-80, each slit with a 6.5 bore."""
    half = [
        (10, 46, 18),
        (22, 62, 6),
        (48, 62, 6),
        (48, 98, 6),
        (19, 98, 4),
        (13, 107.5, 15),
        (-27, 107.5, 25),
        (-36, 56, 40),
        (-66, 26, 24),
    ]
    outline = half + mirrored(half)
    body = plate(outline, "xy", 0, 28)
    pocket = [(-24, 18, 8), (4, 15, 8), (3, 48, 8), (-22, 52, 8)]
    relief = filleted(plate(pocket, "xy", -5, 14), 6, in_plane(2, 14))
    other = filleted(plate(mirrored(pocket), "xy", -5, 14), 6, in_plane(2, 14))
    tools = [rod((-40, 0, -10), "z", 14, 60), relief, other]
    for side in (80.0, -80.0):
        tools.append(rod((0, side, -10), "z", 17.5, 60))
        tools.append(block((12, side - 1.5, -10), (60, side + 1.5, 50)))
        tools.append(rod((36, side - 40, 14), "y", 3.25, 80))
    return cut(body, *tools)


def head_gusset() -> Shape:
    """Gusset of the steering head: saddle on a 44 head tube along z, web 14 thick, flange with four 8.5 bores."""
    side = [(8, -62, 0), (132, -62, 0), (132, -50, 0), (92, -46, 40), (46, 20, 40), (38, 52, 10), (8, 52, 0)]
    tee = [(-30, -62, 0), (30, -62, 0), (30, -50, 0), (7, -50, 6), (7, 60, 0), (-7, 60, 0), (-7, -50, 6), (-30, -50, 0)]
    flange = [(8, -7, 0), (43, -7, 6), (47, -30, 8), (132, -30, 8)]
    saddle = [(8, -28, 0), (19, -26, 6), (34, -7, 12), (60, -7, 0)]
    envelope = plate(side, "xz", -40, 40)
    foot = plate(tee, "yz", 0, 140) * plate(flange + mirrored(flange), "xy", -70, 60)
    body = fused(envelope * foot, envelope * plate(saddle + mirrored(saddle), "xy", -70, 60))
    bores = [rod((x, y, -70), "z", 4.25, 40) for x in (64.0, 114.0) for y in (-19.0, 19.0)]
    window = plate([(42, -40, 8), (80, -40, 10), (42, 10, 8)], "xz", -20, 20)
    return cut(body, rod((0, 0, -80), "z", 22, 160), *bores, window)


def caliper_bracket() -> Shape:
    """Bracket of the brake caliper, 14 thick: 8.5 bores to the fork at z = 0 and 52, two more 74 apart to the caliper.

    The caliper end stands 18 off the fork end across y.
    """
    near, far = [(-20, 0, 0), (30, 0, 14), (44, -18, 14), (92, -18, 0)], [(92, -4, 0), (51, -4, 14), (37, 14, 14)]
    plan = [*near, *far, (-20, 14, 0)]
    below, above = [(-16, -16, 15), (20, -16, 20), (52, -26, 25), (88, -26, 15)], [(88, 78, 15), (52, 78, 25)]
    outline = [*below, *above, (20, 68, 20), (-16, 68, 15)]
    body = plate(outline, "xz", -40, 40) * plate(plan, "xy", -60, 120)
    window = plate([(26, 8, 7), (60, -2, 7), (60, 54, 7), (26, 44, 7)], "xz", -60, 60)
    fork = [rod((0, -40, z), "y", 4.25, 80) for z in (0.0, 52.0)]
    caliper = [rod((74, -40, z), "y", 4.25, 80) for z in (-11.0, 63.0)]
    return cut(body, window, *fork, *caliper)


def pinch_bolt() -> Shape:
    """Axle pinch bolt, M8 x 45: plain shank down -z, head 13 x 8 with a 6 hexagon socket, 0.8 radius under the head."""
    head = rod((0, 0, 0), "z", 6.5, 8)
    head = filleted(head, 0.8, in_plane(2, 8))
    bolt = fused(head, rod((0, 0, -45), "z", 4, 45))
    bolt = filleted(bolt, 0.8, lambda e: in_plane(2, 0)(e) and e.mass < 30)
    socket = [(3.464 * math.cos(math.radians(60 * k)), 3.464 * math.sin(math.radians(60 * k)), 0.0) for k in range(6)]
    return cut(bolt, plate(socket, "xy", 4, 12))
