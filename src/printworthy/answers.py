"""What was computed of one part, kept by the hash of everything it depends on."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import fields, replace
from importlib.metadata import version
from pathlib import Path

from pydantic import ConfigDict, TypeAdapter

from printworthy.inputs import CouponSet, DimensionSet, FatigueSet, Job, Part, Weighing
from printworthy.results import PartAssessment, Refusal, Ride, SurfaceField
from printworthy.strength import Turning
from printworthy.verdict import ridden
from printworthy.workspace.cache import Cache
from printworthy.workspace.cache import key as cache_key

Outcome = PartAssessment | Refusal
Answer = tuple[Outcome, SurfaceField | None]
COMPARED_METAL = "al-6061-t6"
INFINITE = ConfigDict(ser_json_inf_nan="strings")  # where nothing buckles, capacity has no end
OUTCOME: TypeAdapter[Outcome] = TypeAdapter(Outcome, config=INFINITE)
RIDE: TypeAdapter[Ride | None] = TypeAdapter(Ride | None, config=INFINITE)
LIBRARIES = ("ngsolve", "netgen-mesher", "pytetwild", "numpy", "scipy")


def keep(cache: Cache, key: str, outcome: Outcome, field: SurfaceField | None) -> None:
    """Put one part's answer into the cache under its `part_key`."""
    cache.put(key, OUTCOME.dump_json(outcome).decode(), {} if field is None else field.arrays())


def from_cache(job: Job, part: Part, cache: Cache) -> Answer | None:
    """One part as it was kept, or None."""
    kept = cache.get(part_key(job, part))
    if kept is None:
        return None
    return OUTCOME.validate_json(kept.text), SurfaceField.of(kept.arrays) if kept.arrays else None


def keep_turning(cache: Cache, key: str, turning: Turning) -> None:
    """Put the model that turns a part beside its answer, which is kept under its `part_key`."""
    cache.put(cache_key("turning", key), "{}", turning.arrays())


def turning_of(cache: Cache, key: str) -> Turning | None:
    """The model that turns a part with this `part_key`, or None."""
    kept = cache.get(cache_key("turning", key))
    return None if kept is None else Turning.of(kept.arrays)


def ride_of(job: Job, parts: tuple[PartAssessment, ...], cache: Cache) -> Ride | None:
    """What the ride says about the parts that were computed, kept while nothing it hangs on changes. Raises
    NotComputed."""
    # how often an event or a case comes says nothing of what it does
    machine = replace(job.vehicle, events=tuple(replace(e, duty=None) for e in job.vehicle.events))
    stated = [
        (p.name, p.title, p.role, p.mounting, p.faces, p.supports, [replace(c, duty=None) for c in p.cases])
        for p in job.parts
    ]
    key = cache_key("ride", machine, stated, [p.key for p in parts], releases(), version("printworthy"))
    if (kept := cache.get(key)) is not None:
        return RIDE.validate_json(kept.text)
    found = ridden(job, parts)
    cache.put(key, RIDE.dump_json(found).decode(), {})
    return found


def part_key(job: Job, part: Part) -> str:
    """Hash of everything a part's assessment depends on: text, geometry, cards, coupons, rules, program, libraries."""
    return cache_key(depends_on(job, part))


def depends_on(job: Job, part: Part) -> Mapping[str, object]:
    """Everything a part's assessment depends on, by the name a person knows it by: file, card, library."""
    # The mechanism reaches a part through its cases alone: another rake asks only the parts anew whose loads it moves.
    machine = replace(job.vehicle, machine=None, events=(), metal=())
    stated = {f.name: getattr(part, f.name) for f in fields(part) if f.name not in ("geometry", "cases", "making")}
    cards = [job.cards[name] for name in sorted({part.material, *part.alternatives, COMPARED_METAL})]
    names = {card.name for card in cards}
    evidence: list[CouponSet | FatigueSet | Weighing | DimensionSet] = [
        *(c for c in job.coupons if c.material in names),
        *(t for t in job.fatigue if t.material in names),
        *(w for w in job.weighings if w.part == part.name),
        *(d for d in job.dimensions if d.part == part.name),
    ]
    measured: dict[str, list[object]] = {}
    for one in evidence:
        measured.setdefault(named(one.place.file, job.root), []).append(one)
    return {
        "vehicle.toml": machine,
        # prices and dates change nothing here
        named(part.place.file, job.root) if part.place else f"part {part.name}": (stated, part.making.walls),
        "load cases (vehicle, part, logs)": part.cases,
        named(part.geometry.path, job.root): part.geometry,
        **{f"card {card.name}": (card, job.workshop.printer_of(card.name)) for card in cards},
        **measured,
        "rules": job.rules,
        **{f"library {name}": release for name, release in releases().items()},
        "program": version("printworthy"),
    }


@functools.cache
def releases() -> Mapping[str, str]:
    """Versions of the libraries an answer rests on: read once, since each is a file to be parsed."""
    return {name: version(name) for name in LIBRARIES}


def named(path: Path, root: Path) -> str:
    """A file as a person calls it: from the workspace on."""
    return path.relative_to(root).as_posix() if path.is_relative_to(root) else path.as_posix()
