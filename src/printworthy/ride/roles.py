"""Part roles: which joint of the vehicle loads a part of this role, which events concern it, which faces it must name.

A role asks for the faces that take the load (`ports`); what holds the part are its supports.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from printworthy.inputs import EventKind

Style = Literal["even", "bearing"]  # spread evenly over the face, or pressed on it as a pin presses on its hole
RIDDEN: tuple[EventKind, ...] = ("standing", "braking", "acceleration", "cornering", "bump", "landing")
CARRYING: tuple[EventKind, ...] = (
    "rough road", "braking", "acceleration", "bump", "landing", "leaning", "tying down", "lifting", "towing",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Role:
    """`joints` of the vehicle by port ("{side}" stands for the part's side, "" for no joint: hands and carried mass);
    `kinds` of events that concern it; `channel` whose peak counts in events that take time; `style` of its loads;
    `moment`: whether the joint's moment is passed on as well; `touches`: what pushes of hands and ground land on it."""

    joints: Mapping[str, str]
    kinds: tuple[EventKind, ...]
    channel: str = "frame"
    style: Style = "even"
    moment: bool = False
    touches: Mapping[str, str] = field(default_factory=dict)


def _role(
    joints: Mapping[str, str], kinds: tuple[EventKind, ...], channel: str = "frame", style: Style = "even",
    moment: bool = False, **touches: str,
) -> Role:  # fmt: skip
    return Role(joints, kinds, channel, style, moment, {k.replace("_", " "): v for k, v in touches.items()})


_HELD: tuple[EventKind, ...] = (
    "leaning",
    "tying down",
    "lifting",
    "towing",
    "rough road",
    "braking",
    "bump",
    "landing",
)
ROLES: Mapping[str, Role] = {
    "peg": _role({"tread": "{side} peg"}, (*RIDDEN, "kick", "tip-over"), "rider", peg="tread"),
    "hanger": _role({"ears": "{side} peg", "stop": ""}, (*RIDDEN, "kick", "tip-over"), "rider", "bearing", peg="ears"),
    "seat shell": _role({"sitting": "seat"}, RIDDEN, "rider"),
    "hand lever": _role({"grip": ""}, ("lever pull", "tip-over"), lever="grip"),
    "foot lever": _role({"grip": ""}, ("pedal press", "tip-over"), pedal="grip", peg="grip"),
    "handlebar": _role(
        {"left grip": "left grip", "right grip": "right grip"}, (*RIDDEN, "bar pull", "bar end", "tip-over"), "rider"
    ),
    "bar clamp": _role({"bar": "{side} riser"}, (*RIDDEN, "bar pull", "bar end", "tip-over"), "rider", "bearing", True),
    "yoke": _role(
        {"left leg": "left lower yoke", "right leg": "right lower yoke"}, (*RIDDEN, "rut"), "front wheel", "bearing"
    ),
    "steering-head gusset": _role({"saddle": "lower bearing"}, (*RIDDEN, "rut"), "front wheel"),
    "fork leg": _role({"axle": "{side} axle"}, (*RIDDEN, "rut"), "front wheel", "even", True),
    "swing arm": _role({"axle": "rear axle"}, RIDDEN, "rear wheel", "even", True),
    "wheel": _role({"rim": "ground"}, RIDDEN, "front tyre"),
    "caliper bracket": _role({"caliper": "caliper"}, ("braking",), "", "bearing"),
    "bracket": _role({}, CARRYING, part="pressed"),
    "tray": _role({}, CARRYING, part="pressed"),
    "cover": _role({}, CARRYING, part="pressed"),
    "mudguard": _role({}, CARRYING, "front unsprung", part="pressed"),
    "lamp holder": _role({}, CARRYING, part="pressed"),
}
