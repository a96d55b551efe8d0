"""The drawn parts of the demo by name, each with the kind of file it is written as."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from printworthy.demo.shapes import body, chassis, controls
from printworthy.demo.solids import Shape


@dataclass(frozen=True, slots=True)
class Drawing:
    """How a part is drawn; `triangle` [mm] is the longest edge where it is written as STL, 0 where as STEP."""

    draw: Callable[[], Shape]
    triangle: float = 0.0


DRAWINGS: Mapping[str, Drawing] = {
    "hand-lever": Drawing(controls.hand_lever),
    "foot-peg": Drawing(controls.foot_peg),
    "peg-hanger": Drawing(controls.peg_hanger),
    "handlebar-clamp": Drawing(controls.handlebar_clamp),
    "swing-arm": Drawing(chassis.swing_arm),
    "fork-yoke": Drawing(chassis.fork_yoke),
    "head-gusset": Drawing(chassis.head_gusset),
    "caliper-bracket": Drawing(chassis.caliper_bracket),
    "pinch-bolt": Drawing(chassis.pinch_bolt),
    "seat-shell": Drawing(body.seat_shell),
    "mudguard": Drawing(body.mudguard),
    "headlamp-surround": Drawing(body.headlamp_surround),
    "battery-tray": Drawing(body.battery_tray),
    "motor-cover": Drawing(body.motor_cover),
    "pack-hook": Drawing(body.pack_hook, triangle=5.0),
}
