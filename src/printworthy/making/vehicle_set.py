"""A whole vehicle set: every part made, beds and their schedule, spares, consolidations, in one record."""

from __future__ import annotations

from collections.abc import Sequence

from printworthy.inputs import Workshop
from printworthy.making.consolidation import merged
from printworthy.making.plan import MOST_BEDS, Made, part_made, set_plan
from printworthy.making.sparing import spares_of
from printworthy.results import Making


def made(parts: Sequence[Made], workshop: Workshop, invented: bool) -> Making:
    """Everything about making `parts`. What one part cannot is a line in `refusals`; the others go on."""
    found = [(m, part_made(m, workshop)) for m in parts]
    beds, schedule, filament, price = set_plan(found, workshop)
    refusals = [f.refusal for _, f in found if f.refusal]
    refusals += [f"{m.part.name}: quantity 0, so none is planned" for m, f in found if not f.quantity]
    refusals += [f"{f.part}: cost not known: {', '.join(f.cost.missing)} missing" for _, f in found
                 if f.cost.missing and not f.refusal]  # fmt: skip
    if len(beds) > MOST_BEDS:
        refusals.append(f"{len(beds)} beds, more than the {MOST_BEDS} that are scheduled at once: plan fewer vehicles")
    by_name = {f.part: f for _, f in found}
    return Making(
        parts=tuple(f for _, f in found),
        beds=beds,
        schedule=schedule,
        filament=filament,
        filament_cost=price,
        vehicles=workshop.demand.vehicles if workshop.demand else 1,
        spares=spares_of(found, workshop),
        merged=tuple(merged(c, by_name, workshop.prices) for c in workshop.consolidations),
        refusals=tuple(refusals),
        invented=invented,
    )
