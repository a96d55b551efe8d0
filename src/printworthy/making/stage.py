"""Making as a stage of the flow: a part's layers, the set kept in the cache, the files that are handed over."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from importlib.metadata import version
from pathlib import Path

from pydantic import TypeAdapter

from printworthy.inputs import Job, Part
from printworthy.making.handover import on_bed, oriented_3mf, sheet
from printworthy.making.plan import Made
from printworthy.making.printing import hollow, printed, settings
from printworthy.making.skin import Cornered
from printworthy.making.vehicle_set import made
from printworthy.results import Assessment, Making, Option, PartAssessment, Printing
from printworthy.shape import read
from printworthy.workspace.cache import Cache
from printworthy.workspace.cache import key as cache_key

MAKING: TypeAdapter[Making] = TypeAdapter(Making)


def layers(job: Job, part: Part, body: Cornered, best: Option, tell: Callable[[str, float], None]) -> Printing | None:
    """The part printed as chosen, from its layers; None where no printer is stated."""
    card = job.workshop.printer_of(best.result.material)
    if card is None:
        return None
    tell("layers", 0.0)
    printer = job.vehicle.printer
    solid = settings(card, printer.layer_height, printer.overhang_angle, walls=part.making.walls)
    piece = printed(body, best.result.direction, hollow(solid, part.fill))
    return replace(piece, rasters=on_bed(best.result, () if part.raster is None else part.raster.layers))


def made_of(
    job: Job, assessed: tuple[PartAssessment, ...], cache: Cache, progress: Callable[[str, str, float], None]
) -> Making | None:
    """Cost, other processes, beds, schedule and spares of the assessed parts, kept while nothing they hang on
    changes."""
    stated = {part.name: part for part in job.parts}
    parts = [
        Made(stated[p.part], job.cards[p.option.result.material], p.printing, p.verdict.word, p.option.life)
        for p in assessed
        if p.printing is not None
    ]
    if not parts:
        return None
    about = [(m.part.name, m.part.making, m.card.name, m.printing, m.word, m.life) for m in parts]
    key = cache_key("making", about, job.workshop, job.vehicle.invented, version("printworthy"), version("ortools"))
    kept = cache.get(key)
    if kept is not None:
        return MAKING.validate_json(kept.text)
    progress("", "beds, schedule, spares", 0.0)
    found = made(parts, job.workshop, job.vehicle.invented)
    cache.put(key, MAKING.dump_json(found).decode(), {})
    return found


def hand_over(job: Job, done: Assessment, folder: Path, ids: Mapping[str, str] | None = None) -> Iterator[Path]:
    """Oriented 3MF and settings sheet of every part that may be printed, written into `folder`; `ids`: of the records
    of their verdicts."""
    folder.mkdir(parents=True, exist_ok=True)
    stated = {part.name: part for part in job.parts}
    for found in done.parts:
        if found.printing is None or found.verdict.word not in ("print", "print with conditions"):
            continue
        material = found.option.result.material
        path = folder / f"{found.part}.3mf"
        body = read(stated[found.part].geometry).surface
        record = (ids or {}).get(found.part, "")
        oriented_3mf(body, path, found.part, material, found.printing, record)
        path.with_suffix(".txt").write_text(sheet(found.part, material, found.printing, record), encoding="utf-8")
        yield path
