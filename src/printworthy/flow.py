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
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from importlib.metadata import version
from math import prod
from pathlib import Path

import numpy as np
from pydantic import ConfigDict, TypeAdapter

from printworthy import evidence, making, ride, shape, strength, verdict, workspace
from printworthy.errors import InputError, NotComputed
from printworthy.inputs import Job, MaterialCard, Part, PartMaking, Vector
from printworthy.results import (
    Assessment,
    DesignValues,
    DirectionResult,
    Life,
    MetalOption,
    Option,
    PartAssessment,
    Refusal,
    SurfaceField,
)
from printworthy.strength import Model, Prepared, Warmth
from printworthy.workers import spread
from printworthy.workspace import WorkspaceProblems
from printworthy.workspace.cache import Cache
from printworthy.workspace.cache import key as cache_key

Progress = Callable[[str, str, float], None]
Outcome = PartAssessment | Refusal
Answer = tuple[Outcome, SurfaceField | None]
AXES: tuple[Vector, ...] = ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
SAME = 1 - 1e-6  # directions whose cosine exceeds this, either way round, are one direction for strength
COMPARED_METAL = "al-6061-t6"
INFINITE = ConfigDict(ser_json_inf_nan="strings")  # where nothing buckles, capacity has no end
OUTCOME: TypeAdapter[Outcome] = TypeAdapter(Outcome, config=INFINITE)
LIBRARIES = ("ngsolve", "netgen-mesher", "pytetwild", "numpy", "scipy")


def read(root: Path) -> Job:
    """A workspace with the load cases its ride makes. Raises WorkspaceProblems with all that is wrong."""
    job, wrong = ride.loaded(workspace.read(root))
    if wrong:
        raise WorkspaceProblems(root, wrong)
    return job


def assess(
    job: Job, cache: Cache, progress: Progress, only: tuple[str, ...] = (), workers: int | None = None
) -> tuple[Assessment, Mapping[str, SurfaceField]]:
    """Assess every part of a job (or those named in `only`), several at once. A part that fails is a `Refusal`, the
    others go on; what is finished is kept, so that a stopped run goes on where it was."""
    parts = [p for p in job.parts if not only or p.name in only]
    known = {part.name: from_cache(job, part, cache) for part in parts}
    missing = [part for part in parts if known[part.name] is None]
    made = spread(partial(computed, job, cache.folder), missing, progress, workers)
    known.update({part.name: answer for part, answer in zip(missing, made, strict=True)})
    answers = {name: answer for name, answer in known.items() if answer is not None}
    outcomes = [outcome for outcome, _ in answers.values()]
    assessed = tuple(o for o in outcomes if isinstance(o, PartAssessment))
    done = Assessment(
        vehicle=job.vehicle.name,
        title=job.vehicle.title,
        invented=job.vehicle.invented or any(isinstance(o, PartAssessment) and o.invented for o in outcomes),
        version=version("printworthy"),
        libraries={name: version(name) for name in LIBRARIES},
        when=datetime.now(UTC).isoformat(timespec="seconds"),
        parts=assessed,
        refusals=tuple(o for o in outcomes if isinstance(o, Refusal)),
        making=making.made_of(job, assessed, cache, progress),
    )
    done = replace(done, ride=verdict.ridden(job, done.parts))
    return done, {name: field for name, (_, field) in answers.items() if field is not None}


def assess_part(job: Job, part: Part, key: str, cache: Cache, progress: Progress) -> Answer:
    """One part, computed. Raises InputError, NotComputed."""
    began = time.monotonic()
    cards = polymers(job, part)
    if part.role in job.rules.metal_roles or not cards:
        return unprinted(job, part), None

    def tell(stage: str, share: float = 0.0) -> None:
        progress(part.name, stage, share)

    source = shape.read(part.geometry)
    solid = shape.mesh(source, element_size=part.element_size, cache=cache.folder, progress=tell)
    ready = strength.prepared(solid, {name: shape.select(solid, face) for name, face in part.faces.items()})
    factors = verdict.factors(part, job.rules)
    factor = prod(step.factor for step in factors)
    low, high = verdict.service_range(part, job.vehicle)
    printer = job.vehicle.printer

    heating = strength.heating(ready, part, job.vehicle, cards, high)
    tops = {card.name: heating.hottest(card.name, directions(part, AXES[0])) for card in cards}
    designs = {card.name: design_values(job, part, card, low, tops[card.name]) for card in cards}
    own = cards[0].name
    models = {own: strength.model(ready, part, cards[0])}
    models |= {card.name: strength.model(ready, part, card, factored=models[own]) for card in cards[1:]}
    found = strength.search(models[own], ready, designs[own], factor, printer, strength.Settings(), tell)

    weighings = [w for w in job.weighings if w.part == part.name]
    measured = [d for d in job.dimensions if d.part == part.name]
    weights = {card.name: evidence.weight(card, solid.volume, weighings, job.rules) for card in cards}

    def option(card: MaterialCard, direction: Vector) -> Option:
        tell(f"{card.name}, {words(direction)} up")
        design, model, heat = designs[card.name], models[card.name], heating.of(card.name, direction)
        result = strength.utilisation(
            model, direction, design, factor, strength.relief(heat, card, design, tops[card.name])
        )
        checks = strength.side_checks(model, result, design)
        states = heat.results if heat else ()
        lasts, weight = life(job, part, card, design, result, verdict.Mesh(solid.report)), weights[card.name]
        answer = verdict.decide(
            part, card, job.vehicle, job.rules, design, result, checks, solid.report,
            life=lasts, weight=weight, heat=states,
        )  # fmt: skip
        lay = strength.lay_of(ready, part, printer, direction)
        return Option(
            result, design, checks, answer, strength.mass(solid, card), lay, life=lasts, weight=weight, heat=states
        )

    ways = directions(part, found.chosen)
    options = [option(card, direction) for card in cards for direction in ways]
    chosen = verdict.choose(options, part)
    tell("mesh error")
    options[chosen] = sharpened(job, part, ready, options[chosen], models[options[chosen].result.material])
    metals = tuple(compared_metals(job, part, ready, factor, models[own]))
    best = options[chosen]
    done = PartAssessment(
        part=part.name,
        title=part.title,
        role=part.role,
        consequence=verdict.consequence(part, job.rules),
        shape=solid.shape,
        mesh=solid.report,
        options=tuple(options),
        chosen=chosen,
        search=found,
        metals=metals,
        factors=factors,
        inputs=job.cards[best.result.material].values,
        key=key,
        seconds=time.monotonic() - began,
        invented=invented(job, cards),
        dimensions={d.name: evidence.capability(d.values, d.lower, d.upper) for d in measured},
        printing=making.layers(job, part, ready.solid.surface, best, tell),
    )
    name = best.result.material
    heat = heating.of(name, best.result.direction)
    return done, skin(models[name], best, heat, strength.relief(heat, job.cards[name], best.design, tops[name]))


def sharpened(job: Job, part: Part, ready: Prepared, option: Option, model: Model) -> Option:
    """An option judged again with what is too slow for all of them: buckling, mesh error, critical distance."""
    result, design, card = option.result, option.design, job.cards[option.result.material]
    surface = None if ready.solid.report.curved else ready.solid.surface
    bracket = strength.bracket(model, card, design, result.direction, result.factor, surface)
    # A peak with a limit decides itself; only one without is averaged.
    distance = strength.governing_distance(model, result, design, card) if bracket.high is None else None
    checks = (*option.checks, *strength.buckling(model, result))
    lasts = life(job, part, card, design, result, verdict.Mesh(ready.solid.report, bracket, distance))
    answer = verdict.decide(
        part, card, job.vehicle, job.rules, design, result, checks, ready.solid.report,
        bracket=bracket, distance=distance, life=lasts, weight=option.weight, heat=option.heat,
    )  # fmt: skip
    return replace(option, checks=checks, verdict=answer, bracket=bracket, distance=distance, life=lasts)


def life(
    job: Job, part: Part, card: MaterialCard, design: DesignValues, result: DirectionResult, mesh: verdict.Mesh
) -> Life:
    """Life of one option under the stated duties, from the S-N sets at hand."""
    return verdict.life(part, card, job.vehicle, job.rules, design, result, mesh, job.fatigue)


def polymers(job: Job, part: Part) -> tuple[MaterialCard, ...]:
    """The part's own material first, then the other printed polymers it is to be compared with."""
    named = dict.fromkeys((part.material, *part.alternatives))
    return tuple(job.cards[name] for name in named if job.cards[name].kind == "printed polymer")


def design_values(job: Job, part: Part, card: MaterialCard, low: float, high: float) -> DesignValues:
    """Strengths of a card for the service of a part between `low` and `high` [degC]."""
    return evidence.design_values(
        card, job.coupons, job.rules, low=low, high=high, hours=part.lasting_load or 0.0, exposure=part.exposure,
        impact=any(case.kind == "impact" for case in part.cases),
    )  # fmt: skip


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


def directions(part: Part, chosen: Vector) -> tuple[Vector, ...]:
    """The stated build direction, the one the search chose, the extra ones and the axes, each once; opposite ways are
    one direction for strength."""
    stated = () if part.build_direction is None else (part.build_direction,)
    kept: list[Vector] = []
    for n in (*stated, chosen, *part.extra_directions, *AXES):
        unit = np.array(n) / np.linalg.norm(n)
        if all(abs(float(unit @ np.array(k))) < SAME for k in kept):
            kept.append((float(unit[0]), float(unit[1]), float(unit[2])))
    return tuple(kept)


def unprinted(job: Job, part: Part) -> Refusal:
    """A part that is never looked at as a print: its role stays metal, or only metals were named for it."""
    if part.role in job.rules.metal_roles:
        line = f"{part.name}: a {part.role} stays metal (metal roles of the decision rule)"
        return Refusal(part.name, part.title, part.role, "do not print", line)
    line = f"{part.name}: only metals are named for it; name a printed polymer under alternatives to have one judged"
    return Refusal(part.name, part.title, part.role, "not decided", line)


def compared_metals(job: Job, part: Part, ready: Prepared, factor: float, printed: Model) -> Iterator[MetalOption]:
    """The same solid in the metals named as alternatives, or in one common light alloy."""
    named = [n for n in (part.material, *part.alternatives) if job.cards[n].kind == "metal"]
    for name in named or [COMPARED_METAL]:
        card = job.cards[name]
        model = strength.model(ready, part, card, factored=printed)
        used = strength.metal_utilisation(model, card.values["yield_strength"].value, factor)
        case = max(used, key=lambda name: used[name])
        yield MetalOption(name, strength.mass(ready.solid, card), used[case], case, used)


def skin(model: Model, option: Option, heat: Warmth | None, gain: strength.Relief | None) -> SurfaceField:
    """Utilisation over the skin for the chosen option, and its temperature, for pictures."""
    solid = model.space.solid
    every = strength.skin_utilisation(model, option.result.direction, option.design, option.result.factor, gain)
    used, triangles = np.unique(solid.facets, return_inverse=True)
    # The judged points end with the skin's vertices, in the order of `used`.
    warmth = None if heat is None else heat.points[-len(used) :]
    return SurfaceField(solid.points[used], triangles.reshape(-1, 3), every[used], dict(model.space.faces), warmth)


def words(direction: Vector) -> str:
    """A build direction in words: "+z", or its three numbers."""
    for axis, name in enumerate("xyz"):
        if abs(direction[axis]) > SAME:
            return ("+" if direction[axis] > 0 else "-") + name
    return ", ".join(f"{c:.3g}" for c in direction)


def computed(job: Job, folder: Path, part: Part, progress: Progress) -> Answer:
    """One part, computed and kept in the cache `folder`. What stops a part becomes its `Refusal`, in one line."""
    cache, key = Cache(folder), part_key(job, part)
    try:
        outcome, field = assess_part(job, part, key, cache, progress)
    except (InputError, NotComputed) as stop:
        line = str(stop) if stop.where else f"part {part.name}: {stop}"
        return Refusal(part.name, part.title, part.role, "not decided", line, isinstance(stop, InputError)), None
    cache.put(key, OUTCOME.dump_json(outcome).decode(), field.arrays() if field is not None else {})
    return outcome, field


def from_cache(job: Job, part: Part, cache: Cache) -> Answer | None:
    """One part as it was kept, or None."""
    kept = cache.get(part_key(job, part))
    return (
        None
        if kept is None
        else (OUTCOME.validate_json(kept.text), SurfaceField.of(kept.arrays) if kept.arrays else None)
    )


def part_key(job: Job, part: Part) -> str:
    """Hash of everything a part's assessment depends on: text, geometry, cards, coupons, rules, program, libraries."""
    # The mechanism reaches a part through its cases alone: another rake asks only the parts anew whose loads it moves.
    machine = replace(job.vehicle, machine=None, events=(), metal=())
    cards = [job.cards[name] for name in sorted({part.material, *part.alternatives, COMPARED_METAL})]
    names = {card.name for card in cards}
    coupons = [c for c in job.coupons if c.material in names]
    tests = [t for t in job.fatigue if t.material in names]
    weighings = [w for w in job.weighings if w.part == part.name]
    measured = [d for d in job.dimensions if d.part == part.name]
    programs = [f"{name} {version(name)}" for name in ("printworthy", *LIBRARIES)]
    how = PartMaking(walls=part.making.walls, infill=part.making.infill)  # prices and dates change nothing here
    printers = [making.printer_card(job, card.name) for card in cards]
    stated = replace(part, making=how)
    return cache_key(stated, printers, machine, cards, coupons, tests, weighings, measured, job.rules, programs)


def geometry_problems(job: Job) -> list[InputError]:
    """What is wrong with the parts' geometry files: every problem, no meshing."""
    problems = []
    for part in job.parts:
        try:
            shape.read(part.geometry)
        except InputError as problem:
            problems.append(problem)
    return problems
