"""One part as an option: a material and a build direction, from design values to the word it would get."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import prod

import numpy as np

from printworthy import evidence, strength, verdict
from printworthy.answers import COMPARED_METAL
from printworthy.inputs import Job, MaterialCard, Part, Vector
from printworthy.results import (
    DesignValues,
    DirectionResult,
    DirectionSearch,
    Life,
    MeshReport,
    MetalOption,
    Option,
    SolidOption,
    Step,
    SurfaceField,
    Weight,
    Yardstick,
)
from printworthy.strength import Heating, Model, Prepared, Relief, Turning, Warmth

Tell = Callable[[str, float], None]
AXES: tuple[Vector, ...] = ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
RESIDUAL = (
    1e-4  # of an answer that is judged: its utilisation then is as near, a hundredth of what the mesh leaves open
)
SAME = 1 - 1e-6  # directions whose cosine exceeds this, either way round, are one direction for strength


@dataclass(frozen=True, slots=True, eq=False)
class Study:
    """What all options of a part share: its hot states and, by card name, the temperature [degC] its strengths are made
    for, design values, elastic model, weighed pieces. `report`: of the mesh, with the printed walls counted."""

    job: Job
    part: Part
    ready: Prepared
    report: MeshReport
    cards: tuple[MaterialCard, ...]
    factors: tuple[Step, ...]
    heating: Heating
    tops: Mapping[str, float]
    designs: Mapping[str, DesignValues]
    models: Mapping[str, Model]
    weights: Mapping[str, Weight | None]

    @property
    def factor(self) -> float:
        """On every load."""
        return prod(step.factor for step in self.factors)

    def relief(self, material: str, heat: Warmth | None) -> Relief | None:
        """What a material's strengths gain where the part is cooler than its design values allow for."""
        return strength.relief(heat, self.job.cards[material], self.designs[material], self.tops[material])


def study(job: Job, part: Part, ready: Prepared, cards: tuple[MaterialCard, ...]) -> Study:
    """Everything made once for a part; the first of the cards is its own material. Raises InputError, NotComputed."""
    low, high = verdict.service_range(part, job.vehicle)
    heating = strength.heating(ready, part, job.vehicle, cards, high)
    tops = {card.name: heating.hottest(card.name, directions(part, AXES[0])) for card in cards}
    own = strength.model(ready, part, cards[0])
    others = {card.name: strength.model(ready, part, card, factored=own) for card in cards[1:]}
    weighings = [w for w in job.weighings if w.part == part.name]
    return Study(
        job,
        part,
        ready,
        strength.wall_report(ready.solid.report, own.sampler, part.fill),
        cards,
        verdict.factors(part, job.rules),
        heating,
        tops,
        designs={
            card.name: replace(
                design_values(job, part, card, low, tops[card.name]), shares=strength.shares_of(card, part)
            )
            for card in cards
        },
        models={cards[0].name: own, **others},
        weights={card.name: evidence.weight(card, strength.volume(own), weighings, job.rules) for card in cards},
    )


def searched(at: Study, tell: Tell) -> tuple[DirectionSearch, Turning]:
    """Every build direction in the part's own material, and the model that answers for any other.

    A heated part is taken as hot at every point as the hottest of a few directions makes it; the exact value takes the
    heat of its own direction."""
    card, printer = at.cards[0], at.job.vehicle.printer
    own, design = card.name, at.designs[card.name]
    heat = at.heating.over(own, directions(at.part, AXES[0]))
    model = strength.relieved(at.models[own], at.relief(own, heat))
    return strength.search(model, at.ready, design, at.factor, printer, strength.Settings(), tell)


def beaded(at: Study, model: Turning, found: DirectionSearch, upward: Sequence[Vector]) -> Study:
    """The study with the way of the beads at each of these directions, where a raster is to be chosen. It is chosen by
    the model of the part's own material, for another one with that one's constants and strengths."""
    if at.part.raster is None or at.part.raster.angle is not None:
        return at
    models = dict(at.models)
    for card in at.cards:
        m = at.models[card.name]
        if m.part.raster is not None:
            own = card.name == found.material
            turned = model if own else strength.other(model, m, at.designs[card.name])
            part = strength.with_beads(m.part, turned, upward, found.raster if own else None)
            models[card.name] = replace(m, part=part, solved={})
    return replace(at, models=models)


def judged(at: Study, card: MaterialCard, directions: Sequence[Vector], tell: Tell) -> list[Option]:
    """One material built in each of several directions."""
    tell(f"{card.name}, {len(directions)} directions", 0.0)
    strength.solve_together(at.models[card.name], directions, RESIDUAL)
    return [option(at, card, direction, tell) for direction in directions]


def option(at: Study, card: MaterialCard, direction: Vector, tell: Tell) -> Option:
    """One material built one way, judged."""
    tell(f"{card.name}, {words(direction)} up", 0.0)
    job, part, report = at.job, at.part, at.report
    design, model, heat = at.designs[card.name], at.models[card.name], at.heating.of(card.name, direction)
    gain = at.relief(card.name, heat)
    result = strength.utilisation(model, direction, design, at.factor, gain)
    kept = evidence.kept_share(card, part.lasting_load, at.tops[card.name])
    checks = strength.side_checks(model, result, design, card, kept, verdict.service_range(part, job.vehicle)[0])
    states = heat.results if heat else ()
    lasts, weight = life(job, part, card, design, result, verdict.Mesh(report)), at.weights[card.name]
    answer = verdict.decide(
        part, card, job.vehicle, job.rules, design, result, checks, report, life=lasts, weight=weight, heat=states
    )
    lay = strength.lay_of(at.ready, part, job.vehicle.printer, direction)
    mass = strength.mass(model, card)
    return Option(result, design, checks, answer, mass, lay, life=lasts, weight=weight, heat=states)


def filled(at: Study, option: Option) -> SolidOption | None:
    """An option of a part with infill as it were if printed solid; None for a part that is."""
    if at.part.fill is None:
        return None
    card, direction = at.job.cards[option.result.material], option.result.direction
    part = replace(at.part, fill=None, raster=at.models[card.name].part.raster)
    model = strength.model(at.ready, part, card, only=direction)
    gain = at.relief(card.name, at.heating.of(card.name, direction))
    result = strength.utilisation(model, direction, option.design, at.factor, gain)
    return SolidOption(result, strength.mass(model, card))


def sharpened(at: Study, option: Option, full: SolidOption | None) -> Option:
    """An option judged again with what is too slow for all of them: buckling, mesh error, critical distance.
    `full`: the same printed solid, where it has infill."""
    job, part, ready = at.job, at.part, at.ready
    result, design, card = option.result, option.design, job.cards[option.result.material]
    model = at.models[card.name]
    surface = None if ready.solid.report.curved else ready.solid.surface
    gain = at.relief(card.name, at.heating.of(card.name, result.direction))
    bracket = strength.bracket(model, card, design, result.direction, result.factor, surface, gain)
    # A peak with a limit decides itself; only one without is averaged.
    distance = strength.governing_distance(model, result, design, card) if bracket.high is None else None
    checks = (*option.checks, *strength.buckling(model, result))
    lasts = life(job, part, card, design, result, verdict.Mesh(at.report, bracket, distance))
    answer = verdict.decide(
        part, card, job.vehicle, job.rules, design, result, checks, at.report,
        bracket=bracket, distance=distance, life=lasts, weight=option.weight, heat=option.heat,
        solid=full.result if full else None,
    )  # fmt: skip
    return replace(option, checks=checks, verdict=answer, bracket=bracket, distance=distance, life=lasts)


def life(
    job: Job, part: Part, card: MaterialCard, design: DesignValues, result: DirectionResult, mesh: verdict.Mesh
) -> Life:
    """Life of one option under the stated duties, from the S-N sets at hand."""
    return verdict.life(part, card, job.vehicle, job.rules, design, result, mesh, job.fatigue)


def yardsticks(at: Study, option: Option) -> tuple[Yardstick, ...]:
    """Component tests of open standards held against an option; none where the part has none."""
    if not at.part.yardsticks:
        return ()
    name = option.result.material
    part = replace(at.part, cases=at.part.yardsticks, raster=at.models[name].part.raster)
    model = strength.model(at.ready, part, at.job.cards[name], factored=at.models[name])
    factor = at.factors[1].factor  # the special factor; a test's load is its own, without the factor on load
    strength.solve_together(model, [option.result.direction], RESIDUAL)
    result = strength.utilisation(model, option.result.direction, option.design, factor)
    mesh = verdict.Mesh(at.ready.solid.report)
    return verdict.yardsticks(part, at.job, option.design, result, mesh)


def compared_metals(at: Study) -> Iterator[MetalOption]:
    """The same solid in the metals named as alternatives, or in one common light alloy."""
    job, part = at.job, replace(at.part, fill=None)
    printed = at.models[at.cards[0].name] if at.part.fill is None else None  # the factor of a hollow print is too soft
    named = [n for n in (part.material, *part.alternatives) if job.cards[n].kind == "metal"]
    for name in named or [COMPARED_METAL]:
        card = job.cards[name]
        model = strength.model(at.ready, part, card, factored=printed)
        used = strength.metal_utilisation(model, card.values["yield_strength"].value, at.factor)
        case = max(used, key=lambda name: used[name])
        yield MetalOption(name, strength.mass(model, card), used[case], case, used)


def skin(at: Study, option: Option) -> SurfaceField:
    """Utilisation over the skin for the chosen option, and its temperature, for pictures."""
    name, direction = option.result.material, option.result.direction
    model, heat = at.models[name], at.heating.of(name, direction)
    gain = at.relief(name, heat)
    solid = model.space.solid
    every = strength.skin_utilisation(model, direction, option.design, option.result.factor, gain)
    used, triangles = np.unique(solid.facets, return_inverse=True)
    # The judged points end with the skin's vertices, in the order of `used`.
    warmth = None if heat is None else heat.points[-len(used) :]
    faces = dict(model.space.faces)
    return SurfaceField(
        solid.points[used], triangles.reshape(-1, 3), every[used], faces, warmth, np.asarray(solid.patches)
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


def design_values(job: Job, part: Part, card: MaterialCard, low: float, high: float) -> DesignValues:
    """Strengths of a card for the service of a part between `low` and `high` [degC]."""
    return evidence.design_values(
        card, job.coupons, job.rules, low=low, high=high, hours=part.lasting_load or 0.0, exposure=part.exposure,
        impact=any(case.kind == "impact" for case in part.cases),
    )  # fmt: skip


def words(direction: Vector) -> str:
    """A build direction in words: "+z", or its three numbers."""
    for axis, name in enumerate("xyz"):
        if abs(direction[axis]) > SAME:
            return ("+" if direction[axis] > 0 else "-") + name
    return ", ".join(f"{c:.3g}" for c in direction)
