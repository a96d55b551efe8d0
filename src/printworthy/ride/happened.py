"""What each ride event does to the vehicle: its largest forces at wheels, pegs, seat, bar and on one part, and the
course of those that take time."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

import numpy as np
from numpy.typing import NDArray

from printworthy.errors import InputError
from printworthy.inputs import Machine, RideEvent
from printworthy.results import ForceCourse, Happened
from printworthy.ride.events import Touch, happenings
from printworthy.ride.halfcar import History
from printworthy.ride.kinds import number, word
from printworthy.ride.mechanism import Instant, balance
from printworthy.ride.transient import bump_run, channel_forces, landing_run

Array = NDArray[np.float64]
JOINTS: Mapping[str, tuple[str, ...]] = {
    "one peg": ("left peg", "right peg"), "seat": ("seat",), "one grip": ("left grip", "right grip"),
}  # fmt: skip
PUSHED = {"part": "on the part", "grips": "on one grip", "pedal": "on the pedal"}
FORCES = ("front tyre", "rear tyre", "front wheel", "rear wheel", "rider")  # channels that are forces
POINTS = 160  # of a course


def happened(m: Machine, e: RideEvent) -> Happened:
    """The largest forces [N] of an event by place, its factor counted, and its course where it takes time.

    A place the event does not load, or whose joint is not stated, is left out. Raises InputError, NotComputed.
    """
    found = happenings(m, e)
    peaks: dict[str, float] = {}
    for h in found:
        for place, force in (_touch(h) if isinstance(h, Touch) else _instant(m, h)).items():
            peaks[place] = max(peaks.get(place, 0.0), e.factor * force)
    return Happened(e.name, e.kind, found[0].words.split("; ")[0], e.source, e.judged, peaks, _course(m, e))


def _touch(h: Touch) -> Mapping[str, float]:
    force = float(np.linalg.norm(h.force)) if h.force is not None else float(np.hypot(h.along, h.across))
    return {PUSHED.get(h.what, f"on one {h.what}"): force}


def _instant(m: Machine, h: Instant) -> Mapping[str, float]:
    if h.channel == "inertia only":
        return {}
    made = {"front wheel, ground": float(np.linalg.norm(h.front)), "rear wheel, ground": float(np.linalg.norm(h.rear))}
    try:
        forces = balance(m, h).forces
    except InputError:
        return made  # a joint is not stated: what needs it says so where it is asked for
    for place, names in JOINTS.items():
        sizes = [float(np.linalg.norm(forces[name])) for name in names if name in forces]
        if sizes:
            made[place] = max(sizes)
    return made


def _course(m: Machine, e: RideEvent) -> ForceCourse | None:
    if e.kind not in ("landing", "bump"):
        return None
    run = bump_run(m, e) if e.kind == "bump" else landing_run(m, word(e, "posture"), np.array([number(e, "height")]), e)
    return _thinned(run, e.factor)


def _thinned(run: History, factor: float) -> ForceCourse:
    """Forces over time at even steps, each with its largest value kept."""
    sizes = channel_forces(run)
    kept = np.unique(np.linspace(0, len(run.time) - 1, POINTS).astype(int))
    kept = np.unique(np.concatenate([kept, [int(np.argmax(sizes[c][0])) for c in FORCES if c in sizes]]))

    def numbers(values: Array) -> tuple[float, ...]:
        return cast("tuple[float, ...]", tuple(float(f"{v:.6g}") for v in values[kept]))

    return ForceCourse(numbers(run.time), {c: numbers(factor * sizes[c][0]) for c in FORCES if c in sizes})
