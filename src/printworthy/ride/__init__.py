"""From how the vehicle is made and ridden to the loads on each part.

loaded(job)      the job with the load cases of every part that states where it sits in the vehicle
report(...)      handling figures, free bodies, drop limit
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from printworthy.errors import InputError
from printworthy.inputs import Job, Part, RideEvent, Vector
from printworthy.results import FreeBody, Ride
from printworthy.ride import kinds
from printworthy.ride.events import Happening, happenings
from printworthy.ride.freebody import free_body
from printworthy.ride.limit import Usage, drop_limit
from printworthy.ride.loads import cases, concerning
from printworthy.ride.vehicle import handling, problems

__all__ = ["Usage", "drop_limit", "free_body", "handling", "loaded", "report"]


def loaded(job: Job) -> tuple[Job, list[InputError]]:
    """The job with the cases that its ride events make, and all that is wrong, one line each.

    A case that a part states itself under the name of an event stands in place of the computed one, as it was given.
    """
    m, wrong = job.vehicle.machine, []
    if m is None:
        wrong = [
            InputError(f"part {p.name} sits in a vehicle whose mechanism is not stated", where=p.mounting.place or "",
                       do="Add [frame], [front] and [rear] to vehicle.toml, or plain [[case]] to the part")
            for p in job.parts if p.mounting is not None
        ]  # fmt: skip
        return job, wrong
    wrong = [*problems(m), *(p for e in job.vehicle.events for p in kinds.problems(e, m))]
    if wrong:
        return job, wrong
    known: dict[str, tuple[Happening, ...] | InputError] = {}

    def happens(event: RideEvent) -> tuple[Happening, ...]:
        if event.name not in known:
            try:
                known[event.name] = happenings(m, event)
            except InputError as error:
                known[event.name] = error
        found = known[event.name]
        if isinstance(found, InputError):
            raise found
        return found

    parts = []
    for part in job.parts:
        parts.append(part)
        try:
            if part.mounting is not None:
                stated = {c.name for c in part.cases}
                events = tuple(e for e in concerning(part, job.vehicle) if e.name not in stated)
                made = cases(part, job.vehicle, m, happens, events)
                parts[-1] = replace(part, cases=(*part.cases, *made))
                wrong += [] if parts[-1].cases else [_nothing(part)]
        except InputError as error:
            wrong.append(error if error.where else InputError(error.what, where=f"part {part.name}", do=error.do))
    return replace(job, parts=tuple(parts)), wrong


def _nothing(part: Part) -> InputError:
    what = f"no ride event of the vehicle loads part {part.name}"
    where = part.mounting.place if part.mounting and part.mounting.place else ""
    return InputError(what, where=where, do="Add an [[event]] to vehicle.toml, or a [[case]] with plain forces")


def report(job: Job, masses: Mapping[str, tuple[float, Vector]], usage: Mapping[str, Usage]) -> Ride | None:
    """What the ride says: `masses` of the parts [kg] with their centres [mm], `usage` of those that were decided. None
    for a vehicle whose mechanism is not stated. Raises NotComputed."""
    m = job.vehicle.machine
    if m is None:
        return None
    bodies: dict[str, tuple[FreeBody, ...]] = {}
    for part in job.parts:
        if part.mounting is not None and part.name in masses:
            found = (free_body(part, case, *masses[part.name]) for case in part.cases)
            bodies[part.name] = tuple(b for b in found if b is not None)
    return Ride(handling(m), bodies, drop_limit(job.vehicle, job.parts, usage))
