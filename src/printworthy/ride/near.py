"""Places that cannot belong together: a part far from the joint that loads it, joints beside the vehicle."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from printworthy.errors import InputError
from printworthy.inputs import Machine, Part
from printworthy.ride.bodies import Joint
from printworthy.ride.mechanism import Instant, bar_joints, front_joints, rear_joints, rider_joints
from printworthy.ride.placing import face_point, placed
from printworthy.ride.roles import ROLES
from printworthy.ride.vehicle import steering

Array = NDArray[np.float64]
REACH = 300.0  # [mm] from a joint to the face that it loads (own reasoning: parts of small vehicles are no larger)
BEYOND = 300.0  # [mm] past a wheel, where a joint may still be
HANDS = 600.0  # [mm] from the risers to the grips, seen from the side
ARM = 5.0  # [mm] of a damper about the pivot, below which nobody builds
POINTS = ("pegs", "seat", "grips", "risers", "pivot", "damper_low", "damper_high")
NOTHING = np.zeros(3)


def misplaced(part: Part, m: Machine) -> Iterator[InputError]:
    """Faces of a part that lie further from the joint that loads them than parts reach."""
    at, role = part.mounting, ROLES.get(part.role)
    if at is None or role is None or not any(role.joints.values()):
        return
    where, places = placed(m, at), _places(m)
    for port, name in role.joints.items():
        joint = places.get(name.format(side=at.side))
        for face in at.faces.get(port, ()):
            if joint is None or face not in part.faces:
                continue
            away = float(np.linalg.norm(where.point(face_point(part.faces[face])) - joint))
            if away > REACH:
                what = f'face "{face}" of part {part.name} lies {away:.0f} mm from the {name.format(side=at.side)}'
                do = "Check origin, x, z and side of [ride], and [joints] of the vehicle"
                yield InputError(f"{what} that loads it", where=at.place or "", do=do)


def _places(m: Machine) -> Mapping[str, Array]:
    """Where the stated joints are (3,) [mm], by name; those that are not stated are left out."""
    found: list[Joint] = []
    still = Instant("", "", NOTHING, NOTHING)
    makers: tuple[Callable[[], Iterator[Joint]], ...] = (
        lambda: front_joints(m), lambda: bar_joints(m), lambda: rear_joints(m, still),
        lambda: rider_joints(m, "seated"), lambda: rider_joints(m, "standing"),
    )  # fmt: skip
    for made in makers:
        try:
            found += list(made())
        except InputError:
            continue
    return {j.name: j.point for j in found}


def apart(m: Machine) -> Iterator[InputError]:
    """Joints beside the vehicle, or too far from what they belong to."""
    low, high = -m.rear.radius - BEYOND, m.wheelbase + m.front.radius + BEYOND
    for name in POINTS:
        place = getattr(m.joints, name)
        if place is not None and not low <= place[0] <= high:
            what = f"{name} lies {place[0]:g} mm ahead of the rear axle, beside the vehicle ({low:g} to {high:g} mm)"
            yield InputError(what, where=m.place or "", do="x is forward from the ground under the rear axle")
    yield from _damper(m)
    risers, grips = m.joints.risers, m.joints.grips
    if risers is None:
        return
    axis = steering(m).at_height(risers[2])
    if (away := abs(float(axis[0]) - risers[0])) > REACH:
        what = f"the risers lie {away:.0f} mm from the steering axis, which is {axis[0]:.0f} mm ahead at their height"
        yield InputError(what, where=m.place or "", do="Check risers, wheelbase, rake and offset")
    if grips is not None and (away := float(np.hypot(grips[0] - risers[0], grips[2] - risers[2]))) > HANDS:
        what = f"the grips lie {away:.0f} mm from the risers, seen from the side"
        yield InputError(what, where=m.place or "", do="Check grips and risers")


def _damper(m: Machine) -> Iterator[InputError]:
    """A damper whose line of action goes through the swing arm's pivot: it holds nothing."""
    pivot, low, high = m.joints.pivot, m.joints.damper_low, m.joints.damper_high
    if m.rear.rigid or pivot is None or low is None or high is None:
        return
    along, off = np.array(high) - np.array(low), np.array(pivot) - np.array(low)
    long = float(np.hypot(along[0], along[2]))
    arm = abs(float(along[0] * off[2] - along[2] * off[0])) / long if long else 0.0
    if arm < ARM:
        what = f"the damper acts {arm:.2g} mm from the swing arm's pivot and cannot hold it"
        yield InputError(what, where=m.place or "", do="Check pivot, damper_low and damper_high")
