"""From how the vehicle is made and ridden to the loads on each part.

loaded(job)      the job with the load cases of every part that states where it sits in the vehicle
report(...)      handling figures, free bodies, drop limit
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from printworthy.errors import InputError, NotComputed
from printworthy.inputs import Job, LoadCase, Machine, Part, RideEvent, Vector
from printworthy.results import FreeBody, Handling, Ride
from printworthy.ride import kinds
from printworthy.ride.events import Happening, happenings
from printworthy.ride.freebody import free_body
from printworthy.ride.happened import happened
from printworthy.ride.heavy import carried
from printworthy.ride.limit import Usage, drop_limit
from printworthy.ride.loads import cases, concerning
from printworthy.ride.near import apart, misplaced
from printworthy.ride.spectra import settled
from printworthy.ride.transient import computed_courses
from printworthy.ride.vehicle import handling, problems
from printworthy.ride.yardsticks import yardsticks

Array = NDArray[np.float64]
__all__ = ["Usage", "compared", "drop_limit", "free_body", "handling", "happened", "loaded", "remarks", "report"]


def loaded(job: Job) -> tuple[Job, list[InputError]]:
    """The job with the cases that its ride events make, and all that is wrong, one line each.

    A case that a part states itself under the name of an event stands in place of the computed one, as it was given.
    """
    job, wrong = _stated_duties(job)
    m = job.vehicle.machine
    if m is None:
        wrong += [
            InputError(f"part {p.name} sits in a vehicle whose mechanism is not stated", where=p.mounting.place or "",
                       do="Add [frame], [front] and [rear] to vehicle.toml, or plain [[case]] to the part")
            for p in job.parts if p.mounting is not None
        ]  # fmt: skip
        return job, wrong
    wrong += [*problems(m), *apart(m), *(p for e in job.vehicle.events for p in kinds.problems(e, m))]
    if wrong:
        return job, wrong
    once = _Once(m)
    wrong += once.problems(job.vehicle.events)
    wrong += [problem for part in job.parts for problem in misplaced(part, m)]
    parts = []
    for part in job.parts:
        parts.append(part)
        try:
            parts[-1] = _with_cases(part, job, once)
            wrong += _two_units(parts[-1])
        except InputError as error:
            told = error if error.where else _placed(error, part)
            wrong += [told] if str(told) not in map(str, wrong) else []
    return replace(job, parts=tuple(parts)), wrong


def _placed(error: InputError, part: Part) -> InputError:
    """A problem of the mechanism that shows in one part, with the place of that part."""
    place = part.mounting.place if part.mounting is not None else part.place
    return InputError(f"part {part.name}: {error.what}", where=place or "", do=error.do)


@dataclass(slots=True)
class _Once:
    """What happens in each event and the courses of its loads, computed once for all parts."""

    machine: Machine
    found: dict[str, tuple[Happening, ...] | InputError] = field(default_factory=dict)
    counted: dict[str, Mapping[str, Array]] = field(default_factory=dict)

    def happens(self, event: RideEvent) -> tuple[Happening, ...]:
        """Raises InputError, the same again and again."""
        if event.name not in self.found:
            try:
                self.found[event.name] = happenings(self.machine, event)
            except (InputError, NotComputed) as error:
                head = f'event "{event.name}"'
                told = error.what if error.what.startswith(head) else f"{head}: {error.what}"
                self.found[event.name] = InputError(told, where=event.place or error.where, do=error.do)
        found = self.found[event.name]
        if isinstance(found, InputError):
            raise found
        return found

    def problems(self, events: Sequence[RideEvent]) -> Iterator[InputError]:
        """Events that this vehicle cannot do, or lacks data for, whether a part names them or not."""
        for event in events:
            try:
                self.happens(event)
            except InputError as error:
                yield error

    def courses(self, event: RideEvent) -> Mapping[str, Array]:
        """By channel; none where no duty asks for them. Raises InputError."""
        if event.duty is None or not event.duty.computed:
            return {}
        if event.name not in self.counted:
            try:
                self.counted[event.name] = computed_courses(self.machine, event)
            except NotComputed as error:
                what = f'event "{event.name}": {error.what}'
                raise InputError(what, where=event.place or "", do=error.do) from error
        return self.counted[event.name]


def _with_cases(part: Part, job: Job, once: _Once) -> Part:
    if part.mounting is None:
        return part
    stated = {c.name for c in part.cases}
    events = tuple(e for e in concerning(part, job.vehicle) if e.name not in stated)
    judged = tuple(e for e in events if e.judged)
    what_if = tuple(e for e in events if not e.judged)
    made, beside = (
        cases(part, job.vehicle, once.machine, once.happens, chosen, once.courses) for chosen in (judged, what_if)
    )
    if not (part.cases or made):
        raise _nothing(part)
    beside = (*(replace(case, duty=None) for case in beside), *yardsticks(part, once.machine))
    return replace(part, cases=(*part.cases, *made), yardsticks=beside)


def _stated_duties(job: Job) -> tuple[Job, list[InputError]]:
    """The job with the duties of stated cases in cycles, and what is wrong with them."""
    wrong: list[InputError] = []

    def cycles(case: LoadCase) -> LoadCase:
        try:
            return replace(case, duty=settled(case.duty))
        except InputError as error:
            wrong.append(error)
            return case

    return replace(job, parts=tuple(replace(p, cases=tuple(cycles(c) for c in p.cases)) for p in job.parts)), wrong


def _two_units(part: Part) -> list[InputError]:
    """Hours and kilometres in one part: nobody has stated its mean speed."""
    stated = {c.duty.per: c for c in part.cases if c.duty is not None}
    if part.design_life is not None:
        stated.setdefault(part.design_life.per, part.cases[0])
    if len(stated) < 2:
        return []
    what = f"part {part.name}: its duties and its design life count by h and by km"
    places = [c.duty.place for c in part.cases if c.duty is not None and c.duty.place is not None]
    return [InputError(what, where=places[0] if places else "", do="Use hours or kilometres throughout the part")]


def _nothing(part: Part) -> InputError:
    what = f"no ride event of the vehicle loads part {part.name}"
    where = part.mounting.place if part.mounting and part.mounting.place else ""
    return InputError(what, where=where, do="Add an [[event]] to vehicle.toml, or a [[case]] with plain forces")


def remarks(m: Machine) -> tuple[str, ...]:
    """What is legal in a machine and worth a second look, one line each with its place."""
    return tuple(f"{m.place}: {h.name}: {h.warning}" for h in handling(m) if h.warning)


def compared(before: Job, after: Job) -> tuple[tuple[Handling, Handling], ...]:
    """Handling figures of two states of a vehicle. Raises InputError for one whose mechanism is not stated."""
    if before.vehicle.machine is None or after.vehicle.machine is None:
        do = "Add [frame], [front], [rear] and [[mass]] to vehicle.toml"
        raise InputError("the mechanism of the vehicle is not stated", where=f"{before.root}", do=do)
    return tuple(zip(handling(before.vehicle.machine), handling(after.vehicle.machine), strict=True))


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
    events = tuple(happened(m, e) for e in job.vehicle.events)
    return Ride(
        (*handling(m), *carried(m, job.parts, masses)), bodies, drop_limit(job.vehicle, job.parts, usage), events
    )
