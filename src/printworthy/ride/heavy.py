"""What the parts of the workspace weigh where they sit, against the masses that the vehicle states."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from printworthy.inputs import Machine, Part, Vector
from printworthy.results import Handling
from printworthy.ride.placing import placed

SOURCE = "of the parts in this run, their solids in the materials that answer; the stated masses are taken to hold them"


def carried(m: Machine, parts: Sequence[Part], masses: Mapping[str, tuple[float, Vector]]) -> Iterator[Handling]:
    """Mass of the parts that say where they sit, and their common centre; `masses` [kg] with centres [mm] in part axes.

    Loads rest on the stated masses alone; a warning where the parts together weigh more than what is stated.
    """
    there = [(masses[p.name], placed(m, p.mounting)) for p in parts if p.mounting is not None and p.name in masses]
    total = sum(mass for (mass, _), _ in there)
    if total <= 0.0:
        return
    centre = sum((mass * where.point(at) for (mass, at), where in there), np.zeros(3)) / total
    stated = sum(x.mass for x in m.masses) + m.front.mass + m.rear.mass
    heavier = f"more than the {stated:.4g} kg that [[mass]], [front] and [rear] state: correct them"
    yield Handling("parts that sit in it: mass", total, "kg", SOURCE, heavier if total > stated else "")
    yield Handling("parts that sit in it: centre ahead of the rear contact", float(centre[0]), "mm", SOURCE)
    yield Handling("parts that sit in it: height of their centre", float(centre[2]), "mm", SOURCE)
