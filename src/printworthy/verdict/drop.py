"""What the answers of the parts mean for the vehicle: free bodies with their masses, and the drop limit."""

from __future__ import annotations

import numpy as np

from printworthy import ride
from printworthy.inputs import Job, Rules, Vector
from printworthy.results import DropLimit, PartAssessment, Ride
from printworthy.verdict.strength import Mesh, span

GOOD = ("print", "print with conditions")


def ridden(job: Job, parts: tuple[PartAssessment, ...]) -> Ride | None:
    """What the ride says about the parts that were computed; None for a vehicle whose mechanism is not stated.

    Raises NotComputed.
    """
    used = {p.part: usage(p, job.rules) for p in parts}
    return ride.report(job, {p.part: (p.option.mass, _middle(p)) for p in parts}, used)


def dropped(before: Job, after: Job, parts: tuple[PartAssessment, ...]) -> tuple[DropLimit | None, DropLimit | None]:
    """The drop limit of two states of a vehicle, by what was solved of its parts before: their cases stay those, only
    the landings change. Raises NotComputed."""
    used = {p.part: usage(p, before.rules) for p in parts}
    was, now = (ride.drop_limit(job.vehicle, before.parts, used) for job in (before, after))
    return was, now


def usage(p: PartAssessment, rules: Rules) -> ride.Usage:
    """Utilisation by case, mesh error included: as answered for; where that is refused, of the least worked option that
    is not; where all are, of the metal it was compared with."""
    good = [o for o in p.options if o.verdict.word in GOOD]
    best = min(good, key=lambda o: o.result.utilisation, default=p.option)
    o = best if p.verdict.word == "do not print" else p.option
    if o.verdict.word == "do not print" and p.metals:
        return ride.Usage(o.verdict.word, p.metals[0].by_case, p.metals[0].material, metal=True)
    mesh = Mesh(p.mesh, o.bracket, o.distance)
    used = {c.case: span(c, mesh, rules).high for c in o.result.cases}
    up = ", ".join(f"{c:.3g}" for c in o.result.direction)
    return ride.Usage(o.verdict.word, used, f"{o.result.material} built along {up}")


def _middle(p: PartAssessment) -> Vector:
    m = (np.array(p.shape.low) + np.array(p.shape.high)) / 2
    return float(m[0]), float(m[1]), float(m[2])
