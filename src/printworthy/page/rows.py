"""The table of parts: one row each, as the vehicle page shows it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from printworthy.dossier import making as shown
from printworthy.dossier import words
from printworthy.inputs import Job, Part
from printworthy.page.desk import Snapshot
from printworthy.results import PartAssessment, PartMade, Word

STANDING = {"new": "not assessed yet", "stale": "inputs changed since", "draft": "its text is not complete", "": ""}


@dataclass(frozen=True, slots=True)
class Row:
    """One part. `word` None: not assessed; `standing` says whether the row still speaks for the inputs; numbers beside
    their words are for sorting."""

    name: str
    title: str
    role: str
    consequence: str
    standing: str
    word: Word | None = None
    why: str = ""
    use: float | None = None
    used: str = ""
    case: str = ""
    event: str = ""
    mode: str = ""
    warmest: str = ""
    warm: float = 0.0
    up: str = ""
    material: str = ""
    mass: str = ""
    kilograms: float = 0.0
    time: str = ""
    seconds: float = 0.0
    cost: str = ""
    euros: float = 0.0
    change: str = ""
    signature: str = ""


def rows(now: Snapshot, changes: dict[str, str]) -> Iterator[Row]:
    """A row for every part as stated, in the order of the workspace."""
    for part in now.job.parts if now.job else ():
        yield row(now, part, changes.get(part.name, ""))


def row(now: Snapshot, part: Part, change: str) -> Row:
    """One part."""
    assert now.job is not None
    consequence = part.consequence or now.job.rules.roles.get(part.role)
    found, refusal = now.found(part.name), now.run.refusal(part.name) if now.run else None
    standing = "stale" if now.stale(part.name) else "" if found or refusal else "new"
    signed = signature(now, part.name)
    plain = Row(part.name, part.title, part.role, consequence or "", standing, change=change, signature=signed)
    if refusal is not None:
        return _with(plain, word=refusal.word, why=refusal.line)
    return plain if found is None else _assessed(plain, found, now, now.job)


def draft(part: Part) -> Row:
    """A part whose text is not complete yet."""
    return Row(part.name, part.title, part.role, "", "draft")


def signature(now: Snapshot, name: str) -> str:
    """Who signed a part's verdict and when, or what became of the signature; "" where nobody has."""
    found = now.signed.get(name)
    return found.words if found is not None and found.signature is not None else ""


def signed_words(now: Snapshot, name: str) -> str:
    """What was written beside the signature of a part, or the reason it was revoked for; "" for nothing."""
    found = now.signed.get(name)
    said = found.signature.body if found is not None and found.signature is not None else {}
    return str(said.get("note") or said.get("reason") or "")


def _assessed(plain: Row, found: PartAssessment, now: Snapshot, job: Job) -> Row:
    option, worst = found.option, found.option.result.governing
    hot = [h.hottest for h in option.heat]
    warm = max(hot, default=job.vehicle.service_high)
    made = _made(now, found.part)
    total = made.cost.total if made else None
    seconds = found.printing.seconds if found.printing else None
    return _with(
        plain,
        word=found.verdict.word,
        use=worst.utilisation,
        used=words.utilisation(worst.utilisation),
        case=worst.case,
        event=_event(now, found.part, worst.case),
        mode=worst.mode,
        warmest=f"{warm:.0f} °C" + ("" if hot else " air"),
        warm=warm,
        up=words.direction(option.result.direction),
        material=option.result.material,
        mass=words.mass(option.mass),
        kilograms=option.mass,
        time=shown.duration(seconds) if seconds is not None else "",
        seconds=seconds or 0.0,
        cost=shown.money(total.value) if total else "",
        euros=total.value if total else 0.0,
    )


def _with(row: Row, **changed: object) -> Row:
    return replace(row, **changed)  # type: ignore[arg-type]


def _made(now: Snapshot, name: str) -> PartMade | None:
    making = now.run.assessment.making if now.run else None
    return next((p for p in making.parts if p.part == name), None) if making else None


def _event(now: Snapshot, name: str, case: str) -> str:
    ride = now.run.assessment.ride if now.run else None
    bodies = ride.bodies.get(name, ()) if ride else ()
    return next((b.event for b in bodies if b.case == case), "")
