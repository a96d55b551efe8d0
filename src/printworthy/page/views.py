"""The pages as HTML. Blocks, tables and charts are those of the dossier; nothing here calculates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader

from printworthy import dossier, workspace
from printworthy.dossier import colours, sections
from printworthy.dossier.document import Block, Section
from printworthy.errors import InputError, Place
from printworthy.page import rows, runs, texts, whatif
from printworthy.page.desk import Desk, Snapshot
from printworthy.results import Word
from printworthy.workspace.cards import collect_cards

WORDS: tuple[Word, ...] = ("print", "print with conditions", "do not print", "not decided")


@cache
def _environment() -> Environment:
    made = dossier.environment(PackageLoader("printworthy.page"))
    made.globals["bands"] = [colours.css(c) for c in colours.bands()]
    return made


def render(name: str, desk: Desk, now: Snapshot, **values: Any) -> str:
    """A template with what every page needs."""
    title = now.job.vehicle.title if now.job else desk.root.name
    listed = [(p.name, p.title, _word(now, p.name)) for p in now.job.parts] if now.job else []
    return _environment().get_template(name).render(
        vehicle=title, parts=listed, invented=now.job.vehicle.invented if now.job else False,
        problems=[problem(desk.root, p) for p in now.problems if not _awaited(desk.root, p)], version=desk.version,
        **values,
    )  # fmt: skip


def _word(now: Snapshot, name: str) -> Word | None:
    found, refusal = now.found(name), now.run.refusal(name) if now.run else None
    return found.verdict.word if found else refusal.word if refusal else None


def _awaited(root: Path, error: InputError) -> bool:
    """Whether all that is wrong is that a workspace is new: its pages ask for what is not there yet."""
    file = error.where.file if isinstance(error.where, Place) else None
    return file == root / "parts" or (file == root / "vehicle.toml" and not file.exists())


def problem(root: Path, error: InputError) -> dict[str, Any]:
    """One problem: what, what to do, and the text and line where it stands, if it stands in one."""
    where = error.where
    if isinstance(where, Place):
        try:
            name = Path(where.file).resolve().relative_to(root.resolve()).as_posix()
            texts.place(root, name)
        except (ValueError, InputError):
            name = ""
        at = f"{name or where.file}" + (f":{where.line}" if where.line else "")
        return {"what": error.what, "do": error.do, "at": at, "field": where.field, "name": name, "line": where.line}
    return {"what": error.what, "do": error.do, "at": str(where), "field": "", "name": "", "line": 0}


def vehicle(desk: Desk) -> str:
    """The vehicle from the side, the table of its parts, what changed."""
    now = desk.snapshot()
    changed = runs.changes(now.run, now.before) if now.run else ()
    listed = list(rows.rows(now, {c.part: c.words for c in changed}))
    counted = [(w, sum(r.word == w for r in listed)) for w in WORDS]
    side = None
    if now.job is not None and now.job.vehicle.machine is not None:
        boxes = {p.part: (p.shape.low, p.shape.high) for p in now.run.assessment.parts} if now.run else {}
        side = sections.side_view(now.job, {r.name: f"/part/{r.name}" for r in listed}, boxes)
    return render(
        "vehicle.html.jinja", desk, now, rows=listed, counted=counted, side=side, changed=changed,
        standing=rows.STANDING, when=now.run.assessment.when if now.run else "",
        stale=sum(r.standing == "stale" for r in listed), new=sum(r.standing == "new" for r in listed),
        note=now.job.vehicle.note if now.job else "", begun=(desk.root / "vehicle.toml").exists(),
    )  # fmt: skip


def part(desk: Desk, name: str) -> str | None:
    """One part: viewer, directions, and its section of the dossier; None for no such part."""
    now = desk.snapshot()
    stated = desk.part(name)
    if stated is None:
        return None
    section, found = None, None if now.stale(name) else now.found(name)
    if found is not None and now.run is not None and now.job is not None:
        bodies = now.run.assessment.ride.bodies.get(name, ()) if now.run.assessment.ride else ()
        section = sections.part(found, stated, now.job, bodies, now.run.assessment.making)
    return render(
        "part.html.jinja", desk, now, part=stated, section=section,
        row=rows.row(now, stated, "") if now.part(name) else rows.draft(stated),
        standing=rows.STANDING, searched=section is not None and found is not None and found.search is not None,
        text=stated.place.file.name if stated.place else f"{name}.toml",
        cases=[c.name for c in stated.cases], faces=list(stated.faces),
        modes=list(found.option.result.governing.by_mode) if found else [],
        signed=now.signed.get(name), said=rows.signed_words(now, name), unread=now.unread,
    )  # fmt: skip


def made_of_sections(
    desk: Desk, title: str, found: list[Section], lead: str, files: list[str],
    tried: Sequence[tuple[str, str, str]] = (),
) -> str:  # fmt: skip
    """A page of dossier sections, with the texts that feed them and the figures that can be `tried`."""
    now = desk.snapshot()
    return render(
        "sections.html.jinja", desk, now, title=title, sections=found, lead=lead, files=files, tried=tried,
        stale=sum(now.stale(p.name) for p in now.job.parts) if now.job else 0,
    )  # fmt: skip


def blocks(found: Sequence[Block]) -> str:
    """Blocks of a dossier as HTML."""
    return _environment().get_template("answer.html.jinja").render(blocks=found)


def ride(desk: Desk) -> str:
    """The vehicle and its ride."""
    now, found = desk.snapshot(), []
    if now.run is not None and now.run.assessment.ride is not None and now.job is not None:
        found = sections.ride(now.run.assessment, now.job)
    lead = "What the ride asks of the machine and its parts, from the mechanism and the events stated in vehicle.toml."
    return made_of_sections(desk, "Ride", found, lead, ["vehicle.toml"], whatif.fields(desk))


def proof(desk: Desk) -> str:
    """Coupons with their statistics, and the rule behind the words."""
    now, found = desk.snapshot(), []
    if now.job is not None:
        found = [*sections.coupons(now.job), sections.rules(now.job)]
    lead = "Test coupons with their scatter, fits and lower limits; and the rule that turns evidence into words."
    files = [n for n in texts.names(desk.root) if n.startswith(("evidence/", "cards/"))]
    return made_of_sections(desk, "Evidence", found, lead, files)


def making(desk: Desk) -> str:
    """Beds, schedule, filament, spares."""
    now, found = desk.snapshot(), []
    if now.run is not None:
        found = sections.making(now.run.assessment)
    lead = "Time, beds, schedule, filament and spares of the vehicle set. What a part costs stands on its own page."
    return made_of_sections(desk, "Making", found, lead, ["vehicle.toml"])


def text(desk: Desk, name: str) -> str:
    """The editor of one text."""
    found = texts.read(desk.root, name)
    return render("text.html.jinja", desk, desk.snapshot(), file=found, files=list(texts.names(desk.root)))


def bring(desk: Desk) -> str:
    """Bringing a solid model in."""
    now = desk.snapshot()
    # the first part of a workspace is brought before there is a whole job
    rules, known = (now.job.rules, now.job.cards) if now.job else (workspace.read_rules(), collect_cards(desk.root)[0])
    roles: Mapping[str, str] = rules.roles
    cards = sorted(c.name for c in known.values() if c.kind == "printed polymer")
    return render("bring.html.jinja", desk, now, roles=roles, cards=cards)
