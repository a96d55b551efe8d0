"""From inputs to verdicts, on one page. No files are read but the parts' geometry, nothing is drawn.

workspace -> ride                       what is asked of each part
part -> shape -> mesh -> faces          what it is
     -> design values of each material  how strong it may be taken to be
     -> model, build directions         how hard it is worked
     -> checks beside strength          bolts, clamps, stiffness, buckling
     -> verdict of each option, choice  may it be printed, and which way up
     -> layers, cost, beds, spares      what making it takes
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from importlib.metadata import version
from pathlib import Path

from printworthy import evidence, making, options, ride, shape, strength, verdict, workspace
from printworthy.answers import Answer, from_cache, keep, keep_turning, part_key, releases, ride_of
from printworthy.errors import InputError, NotComputed
from printworthy.inputs import Job, MaterialCard, Part
from printworthy.results import (
    Assessment,
    PartAssessment,
    Refusal,
    SurfaceField,
    Varied,
)
from printworthy.workers import Crew, room, spread
from printworthy.workspace import WorkspaceProblems
from printworthy.workspace.cache import Cache

Progress = Callable[[str, str, float], None]


def read(root: Path, changes: Mapping[str, str] | None = None) -> Job:
    """A workspace with the load cases its ride makes, some figures of the vehicle replaced by `changes`. Raises
    WorkspaceProblems with all that is wrong."""
    job, wrong = ride.loaded(workspace.read(root, changes))
    if wrong:
        raise WorkspaceProblems(root, wrong)
    return job


def assess(
    job: Job, cache: Cache, progress: Progress, only: tuple[str, ...] = (), workers: int | Crew | None = None,
    each: Callable[[Answer], None] = lambda answer: None,
) -> tuple[Assessment, Mapping[str, SurfaceField]]:  # fmt: skip
    """Assess every part of a job (or those named in `only`), several at once. A part that fails is a `Refusal`, the
    others go on; what is finished is kept, so that a stopped run goes on where it was. `each` is called with every
    newly computed part while the others go on."""
    parts = [p for p in job.parts if not only or p.name in only]
    known = {part.name: from_cache(job, part, cache) for part in parts}
    missing = [part for part in parts if known[part.name] is None]
    made = spread(partial(computed, job, cache.folder), missing, progress, workers, each)
    known.update({part.name: answer for part, answer in zip(missing, made, strict=True)})
    answers = {name: answer for name, answer in known.items() if answer is not None}
    outcomes = [outcome for outcome, _ in answers.values()]
    assessed = tuple(o for o in outcomes if isinstance(o, PartAssessment))
    done = Assessment(
        vehicle=job.vehicle.name,
        title=job.vehicle.title,
        invented=job.vehicle.invented or any(part.invented for part in assessed),
        version=version("printworthy"),
        libraries=releases(),
        when=datetime.now(UTC).isoformat(timespec="seconds"),
        parts=assessed,
        refusals=tuple(o for o in outcomes if isinstance(o, Refusal)),
        making=making.made_of(job, assessed, cache, progress),
    )
    done = replace(done, ride=ride_of(job, done.parts, cache))
    return done, {name: field for name, (_, field) in answers.items() if field is not None}


def varied(before: Job, after: Job, cache: Cache, progress: Progress, *, solve: bool) -> Varied:
    """What other figures of the vehicle do: handling, loads, verdicts, scaled from what is kept of the parts. `solve`:
    parts that cannot be scaled are assessed as they would be. Raises InputError for a vehicle without mechanism."""
    found, solved = [], []
    for old, new in zip(before.parts, after.parts, strict=True):
        kept = from_cache(before, old, cache)
        known = kept[0] if kept is not None and isinstance(kept[0], PartAssessment) else None
        solved += [] if known is None else [known]
        if old.mounting is None or old.role in before.rules.metal_roles:
            continue
        found.append(verdict.changed(old, new, known, after))
    open_ = tuple(c.part for c in found if not c.word[1]) if solve else ()
    anew = {p.part: p for p in assess(after, cache, progress, open_)[0].parts} if open_ else {}
    changes = tuple(verdict.solved(c, anew.get(c.part)) for c in found)
    return Varied(ride.compared(before, after), changes, verdict.dropped(before, after, tuple(solved)))


def assess_part(job: Job, part: Part, key: str, cache: Cache, progress: Progress) -> Answer:
    """One part, computed, once there is memory for it. Raises InputError, NotComputed."""
    began = time.monotonic()
    cards = polymers(job, part)
    if part.role in job.rules.metal_roles or not cards:
        return unprinted(job, part), None

    def tell(stage: str, share: float = 0.0) -> None:
        progress(part.name, stage, share)

    source = shape.read(part.geometry)
    solid = shape.mesh(source, element_size=part.element_size, cache=cache.folder, progress=tell)
    there, hollow = strength.machine_memory(), part.fill is not None
    beads = part.raster is not None and part.raster.angle is None
    wanted = strength.need(solid.report.unknowns, len(part.cases), len(cards), hollow=hollow, beads=beads)
    tell(wanted.words)
    wanted.check(there)
    with room(wanted.memory, there, lambda: tell("waits for memory")):
        done, field, turning = decided(job, part, cards, solid, tell)
    keep_turning(cache, key, turning)
    return replace(done, key=key, seconds=time.monotonic() - began), field


def decided(
    job: Job, part: Part, cards: tuple[MaterialCard, ...], solid: shape.Solid, tell: options.Tell
) -> tuple[PartAssessment, SurfaceField, strength.Turning]:
    """A meshed part in its polymers; the assessment lacks its key and time. Raises InputError, NotComputed."""
    ready = strength.prepared(solid, {name: shape.select(solid, face) for name, face in part.faces.items()})
    study = options.study(job, part, ready, cards)
    found, turning = options.searched(study, tell)
    upward = options.directions(part, found.chosen)
    study = options.beaded(study, turning, found, upward)
    judged = [option for card in cards for option in options.judged(study, card, upward, tell)]
    chosen = verdict.choose(judged, part)
    tell("mesh error", 0.0)
    full = options.filled(study, judged[chosen])
    judged[chosen] = best = options.sharpened(study, judged[chosen], full)
    measured = [d for d in job.dimensions if d.part == part.name]
    done = PartAssessment(
        part=part.name,
        title=part.title,
        role=part.role,
        consequence=verdict.consequence(part, job.rules),
        shape=solid.shape,
        mesh=study.report,
        options=tuple(judged),
        chosen=chosen,
        search=found,
        metals=tuple(options.compared_metals(study)),
        factors=study.factors,
        inputs=job.cards[best.result.material].values,
        key="",
        seconds=0.0,
        invented=invented(job, cards),
        dimensions={d.name: evidence.capability(d.values, d.lower, d.upper) for d in measured},
        printing=making.layers(job, part, solid.surface, best, tell),
        solid=full and replace(full, printing=making.layers(job, replace(part, fill=None), solid.surface, best, tell)),
        yardsticks=options.yardsticks(study, best),
        care=verdict.care(part, job.cards[best.result.material], job.vehicle, job.rules, best),
    )
    return done, options.skin(study, best), turning


def polymers(job: Job, part: Part) -> tuple[MaterialCard, ...]:
    """The part's own material first, then the other printed polymers it is to be compared with."""
    named = dict.fromkeys((part.material, *part.alternatives))
    return tuple(job.cards[name] for name in named if job.cards[name].kind == "printed polymer")


def invented(job: Job, cards: tuple[MaterialCard, ...]) -> bool:
    """Whether anything behind a part's answer describes no real thing: vehicle, a value of its cards, their coupons."""
    names = {card.name for card in cards}
    values = (quantity for card in cards for quantity in card.values.values())
    return (
        job.vehicle.invented
        or any(quantity.confidence == "invented" for quantity in values)
        or any(coupons.invented for coupons in job.coupons if coupons.material in names)
        or any(tests.invented for tests in job.fatigue if tests.material in names)
    )


def unprinted(job: Job, part: Part) -> Refusal:
    """A part that is never looked at as a print: its role stays metal, or only metals were named for it."""
    if part.role in job.rules.metal_roles:
        line = f"{part.name}: a {part.role} stays metal (metal roles of the decision rule)"
        return Refusal(part.name, part.title, part.role, "do not print", line)
    line = f"{part.name}: only metals are named for it; name a printed polymer under alternatives to have one judged"
    return Refusal(part.name, part.title, part.role, "not decided", line)


def computed(job: Job, folder: Path, part: Part, progress: Progress) -> Answer:
    """One part, computed and kept in the cache `folder`. What stops a part becomes its `Refusal`, in one line."""
    cache, key = Cache(folder), part_key(job, part)
    try:
        outcome, field = assess_part(job, part, key, cache, progress)
    except (InputError, NotComputed) as stop:
        line = str(stop) if stop.where else f"part {part.name}: {stop}"
        return Refusal(part.name, part.title, part.role, "not decided", line, isinstance(stop, InputError)), None
    keep(cache, key, outcome, field)
    return outcome, field


def geometry_problems(job: Job) -> list[InputError]:
    """What is wrong with the parts' geometry files: every problem, no meshing."""
    problems = []
    for part in job.parts:
        try:
            shape.read(part.geometry)
        except InputError as problem:
            problems.append(problem)
    return problems
