"""The path to a part: what happens to the vehicle, as load cases of one part in the axes of its file."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from printworthy.errors import InputError
from printworthy.inputs import CylinderSelector, Duty, Load, LoadCase, Machine, Mounting, Part, RideEvent, Vehicle
from printworthy.ride.bodies import GROUND, Action, action, joint, solve
from printworthy.ride.events import Happening, Touch
from printworthy.ride.kinds import KINDS
from printworthy.ride.mechanism import Instant, balance, bar_joints
from printworthy.ride.placing import Placing, axis_of, face_point, placed, triple
from printworthy.ride.roles import ROLES, Role
from printworthy.ride.spectra import settled
from printworthy.ride.vehicle import N_PER, needed

Array = NDArray[np.float64]
LEAST = 1e-3  # [N] below which a load is nothing
SLIGHT = 1e-4  # of what acts on a face: less is left out
SIDES = {"sprung": ("frame", "fork"), "unsprung": ("front wheel",)}  # what moves as a record of these says
WIDTH = 10.0  # [mm] by which a moment is set beside a force
X, Y, Z = np.eye(3)
MIRROR = np.array([1.0, -1.0, 1.0])


def concerning(part: Part, vehicle: Vehicle) -> tuple[RideEvent, ...]:
    """The events of the vehicle that concern a part: those it names, else all kinds of its role.

    Raises InputError for a name that is no event, a role that knows no events, or one that no event concerns.
    """
    at, role = part.mounting, ROLES.get(part.role)
    assert at is not None
    where = at.place or ""
    if role is None:
        what = f'the role "{part.role}" has no ride events'
        raise InputError(what, where=where, do="Take [ride] out and state [[case]] with plain forces")
    known = {e.name: e for e in vehicle.events}
    unknown = [name for name in at.events or () if name not in known]
    if unknown:
        do = f"Events are: {', '.join(known) or 'none'}"
        raise InputError(f'"{unknown[0]}" is no ride event of the vehicle', where=where, do=do)
    chosen = [known[name] for name in at.events] if at.events is not None else list(vehicle.events)
    odd = [e for e in chosen if e.kind not in role.kinds]
    if at.events is not None and odd:
        what = f'event "{odd[0].name}" ({odd[0].kind}) does not load a {part.role}'
        raise InputError(what, where=where, do=f"Kinds that do: {', '.join(role.kinds)}")
    return tuple(e for e in chosen if e.kind in role.kinds)


Happenings = Callable[[RideEvent], tuple[Happening, ...]]
Courses = Callable[[RideEvent], Mapping[str, Array]]


def cases(
    part: Part, vehicle: Vehicle, machine: Machine, happens: Happenings, events: tuple[RideEvent, ...],
    courses: Courses = lambda _: {},
) -> tuple[LoadCase, ...]:  # fmt: skip
    """One load case for every event that loads the part; `courses` of its load by channel, for duties that count them.

    Raises InputError, LoadError, NotComputed.
    """
    at = part.mounting
    assert at is not None
    role, where = ROLES[part.role], placed(machine, at)
    made = []
    for event in events:
        found = _happening(happens(event), role, at)
        if found is None:
            continue
        loads = tuple(_scaled(load, event.factor) for load in part_loads(part, machine, where, role, found))
        if loads:
            course = courses(event).get(found.channel) if isinstance(found, Instant) else None
            made.append(_case(event, found, loads, vehicle, _often(event, at, course)))
    return tuple(made)


def _case(
    event: RideEvent, found: Happening, loads: tuple[Load, ...], vehicle: Vehicle, often: Duty | None
) -> LoadCase:
    lead = "invented: " if vehicle.invented else ""
    factor = f", times {event.factor:g}" if event.factor != 1 else ""
    source = f"{lead}ride event {event.kind}, {found.words}{factor}; {event.source}"
    impact = KINDS[event.kind].impact
    return LoadCase(event.name, loads, "impact" if impact else "steady", source, event.place, often)


def _often(event: RideEvent, at: Mounting, course: Array | None) -> Duty | None:
    """The duty of an event for a part; None where its record was taken on the other side of the springs."""
    source = event.duty and (event.duty.log or event.duty.shaking)
    if source and source.full in SIDES and at.on not in SIDES[source.full]:
        return None
    return settled(event.duty, event, course)


def _scaled(load: Load, factor: float) -> Load:
    return replace(load, vector=triple(factor * np.array(load.vector)))


def _happening(found: tuple[Happening, ...], role: Role, at: Mounting) -> Happening | None:
    """The one of an event that matters to a part: the instant of its role's channel, the touch that lands on it."""
    for h in found:
        if isinstance(h, Touch):
            if h.what in role.touches or (h.what in ("grips", "bar end") and role is ROLES["bar clamp"]):
                return h
            if h.what in ("grips", "bar end") and role is ROLES["handlebar"]:
                return h
        elif (h.channel == "inertia only" and not role.joints) or h.channel in ("", _channel(role, at)):
            return h
    return None


def _channel(role: Role, at: Mounting) -> str:
    return "front unsprung" if not role.joints and at.on == "front wheel" else role.channel


def part_loads(part: Part, m: Machine, where: Placing, role: Role, found: Happening) -> Iterator[Load]:
    """The loads of one happening on the faces of a part."""
    at = part.mounting
    assert at is not None
    if isinstance(found, Touch):
        yield from _touched(part, at, m, where, role, found)
        return
    if part.role == "hanger":
        force = _joint(m, found, f"{at.side} peg")[0]
        yield from _hanger(part, at, where.inside(at.share * force))
    elif role.joints:
        for port, name in role.joints.items():
            force, moment, point = _joint_at(m, found, name.format(side=at.side))
            yield from _on_faces(part, at, where, role, port, force, moment, point)
    yield from _inertia(part, at, m, where, found)


def _joint(m: Machine, found: Instant, name: str) -> tuple[Array, Array]:
    b = balance(m, found)
    if name not in b.forces:
        return np.zeros(3), np.zeros(3)
    return b.forces[name], b.moments[name]


def _joint_at(m: Machine, found: Instant, name: str) -> tuple[Array, Array, Array | None]:
    """Force and moment of a joint on what is nearer the frame, and where; "ground": of the road on a front wheel."""
    if name == "ground":
        return found.front, np.zeros(3), None
    force, moment = _joint(m, found, name)
    point = np.array([0.0, 0.0, m.rear.radius]) if name == "rear axle" else None
    if "riser" in name:  # the bar loads its riser: the joint's force on the stem
        x, y, z = needed(m, "risers")
        point = np.array([x, y if name.startswith("left") else -y, z])
    return force, moment, point


def _faces(part: Part, at: Mounting, port: str) -> tuple[str, ...]:
    names = at.faces.get(port, ())
    if not names:
        what = f'a {part.role} needs the face of its "{port}"'
        raise InputError(what, where=at.place or "", do=f'Add "{port}" to faces of [ride], with the name of the face')
    return names


def _on_faces(
    part: Part, at: Mounting, where: Placing, role: Role, port: str, force: Array, moment: Array, point: Array | None
) -> Iterator[Load]:
    """A joint's force, in equal shares (equal stiffness, assumed) on the faces of a port. Where two faces of a swing
    arm's slot are named, the first takes what is upright in the part, the second what is level."""
    names = _faces(part, at, port)
    f, m = where.inside(at.share * force), where.inside(at.share * moment)
    if part.role == "swing arm" and len(names) == 2:
        yield from _pressed(part, names[0], np.array([0.0, f[1], f[2]]), m, "even")
        yield from _pressed(part, names[1], np.array([f[0], 0.0, 0.0]), np.zeros(3), "even")
        return
    for name in names:
        local = m.copy()
        if role.moment and point is not None:
            local = m + np.cross(where.inside(point - where.point(face_point(part.faces[name]))), f)
        yield from _pressed(part, name, f / len(names), local / len(names) if role.moment else np.zeros(3), role.style)


def _pressed(part: Part, name: str, force: Array, moment: Array, style: str) -> Iterator[Load]:
    """A force and a moment on one face: on a hole, across its axis as a pin presses, along it evenly."""
    place, face = part.faces[name].place, part.faces[name]
    axis = axis_of(face) if isinstance(face.selector, CylinderSelector) and style == "bearing" else None
    if axis is None:
        parts = [("force", force), ("moment", moment)]
    else:
        along, turn = (force @ axis) * axis, (moment @ axis) * axis
        parts = [("bearing", force - along), ("force", along), ("bearing moment", moment - turn), ("moment", turn)]
    whole = float(np.linalg.norm(force)) + float(np.linalg.norm(moment)) / WIDTH
    for kind, vector in parts:
        size = float(np.linalg.norm(vector)) / (WIDTH if "moment" in kind else 1.0)
        if size > max(LEAST, SLIGHT * whole):
            yield Load(kind, name, triple(vector), place=place)  # type: ignore[arg-type]


def _hanger(part: Part, at: Mounting, force: Array) -> Iterator[Load]:
    """A peg in its hanger, cut free: pinned in two ears, its heel against the stop. Six equations, six unknowns; where
    the heel would pull away, the peg turns up and the line says so."""
    ears, (stop,) = _faces(part, at, "ears"), _faces(part, at, "stop")
    if len(ears) != 2 or at.enters is None:
        what = "a hanger needs its two ears, and where the force enters the peg"
        raise InputError(what, where=at.place or "", do='Add ears = ["...", "..."] and enters = "x, y, z mm"')
    normal = axis_of(part.faces[stop])
    pin = axis_of(part.faces[ears[0]])
    if normal is None or pin is None:
        what = "the ears must be cylinders and the stop a plane"
        raise InputError(what, where=at.place or "", do="Select them so")
    across = np.cross(pin, normal)
    held = [joint(e, GROUND, "peg", face_point(part.faces[e]), (normal, across)) for e in ears]
    held.append(joint(stop, GROUND, "peg", face_point(part.faces[stop]), (-normal, pin)))
    found = solve(["peg"], held, [action("foot", "peg", at.enters, force)])
    if float(found.forces[stop] @ normal) > LEAST:
        what = "the force on the peg lifts its heel off the stop: nothing holds it"
        raise InputError(what, where=at.place or "", do="Check enters, the stop's normal and the event")
    for ear in ears:
        yield from _pressed(part, ear, -found.forces[ear], np.zeros(3), "bearing")
    yield from _pressed(part, stop, -found.forces[stop], np.zeros(3), "even")


def _inertia(part: Part, at: Mounting, m: Machine, where: Placing, found: Instant) -> Iterator[Load]:
    """Its own weight and inertia, and those of what it carries: the floor takes all but what a wall is pressed by."""
    a = where.inside(found.acceleration(m, at.on, where.origin))
    pull = where.inside(found.gravity)
    if at.carried is not None:
        force = at.carried.mass * N_PER * (pull - a)
        wall = at.carried.wall
        into = axis_of(part.faces[wall]) if wall else None
        level = max(0.0, float(force @ into)) * into if into is not None else np.zeros(3)
        for name, share in ((at.carried.face, force - level), (wall, level)):
            if name and np.linalg.norm(share) > LEAST:
                yield Load("force", name, triple(share), place=at.place)
    if np.linalg.norm(a) > LEAST:
        yield Load("acceleration", vector=triple(a), place=at.place)
    yield Load("gravity", vector=triple(pull), place=at.place)


def _touched(part: Part, at: Mounting, m: Machine, where: Placing, role: Role, t: Touch) -> Iterator[Load]:
    if part.role == "bar clamp":
        yield from _bar(part, at, m, where, role, t)
        return
    if part.role == "handlebar":
        assert t.force is not None
        yield from _pressed(part, _faces(part, at, "left grip")[0], where.inside(t.force), np.zeros(3), "even")
        if t.what == "grips":
            yield from _pressed(part, _faces(part, at, "right grip")[0], -where.inside(t.force), np.zeros(3), "even")
        return
    if t.force is not None:  # told of the left side
        force = where.inside(t.force * MIRROR if at.side == "right" else t.force)
    else:
        pull = _direction(part, at.pull, "pull")
        force = t.along * pull + (t.across * _direction(part, at.across, "across") if t.across else 0.0)
    if part.role == "hanger":
        yield from _hanger(part, at, at.share * force)
        return
    names = _faces(part, at, role.touches[t.what])
    for name in names:
        yield from _pressed(part, name, at.share * force / len(names), np.zeros(3), "even")


def _direction(part: Part, stated: object, key: str) -> Array:
    if stated is None:
        what = f"which way this {part.role} is pushed is not stated"
        raise InputError(what, where=part.mounting.place if part.mounting and part.mounting.place else "",
                         do=f'Add {key} = "-y" (in the axes of the part) to [ride]')  # fmt: skip
    return np.array(stated, float)


def _bar(part: Part, at: Mounting, m: Machine, where: Placing, role: Role, t: Touch) -> Iterator[Load]:
    """Hands, or the ground, on the bar."""
    assert t.force is not None
    grip = needed(m, "grips")
    other = grip * np.array([1, -1, 1])
    pushes = [action("left end", "bar", grip, t.force)]
    if t.what == "grips":
        pushes.append(action("right end", "bar", other, -t.force))
    yield from bar_loads(part, m, where, role, pushes)


def bar_loads(part: Part, m: Machine, where: Placing, role: Role, pushes: Sequence[Action]) -> Iterator[Load]:
    """Loads on a bar clamp of pushes on the bar, which is cut free in its two risers, held by the fork."""
    at = part.mounting
    assert at is not None
    found = solve(["bar"], [replace(j, other=GROUND) for j in bar_joints(m)], pushes)
    name = f"{at.side} riser"
    x, y, z = needed(m, "risers")
    point = np.array([x, y if at.side == "left" else -y, z])
    yield from _on_faces(part, at, where, role, "bar", found.forces[name], found.moments[name], point)


def grip_loads(part: Part, where: Placing, left: Array, right: Array) -> Iterator[Load]:
    """Loads on the two grips of a handlebar (3,) [N] in vehicle axes."""
    at = part.mounting
    assert at is not None
    for side, force in (("left grip", left), ("right grip", right)):
        yield from _pressed(part, _faces(part, at, side)[0], where.inside(force), np.zeros(3), "even")


def rim_loads(part: Part, where: Placing, moment: Array) -> Iterator[Load]:
    """A moment (3,) [N mm] in vehicle axes on the rim of a wheel, in equal shares on its faces."""
    at = part.mounting
    assert at is not None
    names = _faces(part, at, "rim")
    for name in names:
        yield from _pressed(part, name, np.zeros(3), where.inside(moment) / len(names), "even")
