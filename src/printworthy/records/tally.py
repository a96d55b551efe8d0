"""Predicted against measured over all records: by part, over the parts of a material, and the cards that follow."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from printworthy.evidence.agreement import Agreement, agreement, differ
from printworthy.evidence.values import rule
from printworthy.inputs import NINE, Job, MaterialCard, Quantity
from printworthy.records.entries import SHORT, Entry
from printworthy.records.pairs import RESTS_ON, Measure, Pair, Unpaired, pairs

if TYPE_CHECKING:
    from printworthy.records.store import Records

APART = 0.05  # probability below which parts of one material are taken to disagree
LISTED = 40  # records that a source names one by one


@dataclass(frozen=True, slots=True)
class Group:
    """Pieces of one measure and material made to the same card values: of one part, or of all (`part` ""). `present`:
    the card still says what they were predicted with. `whole`: no other part is of its material. `alike`: probability
    of parts so far apart by chance.
    """

    measure: Measure
    material: str
    part: str
    pairs: tuple[Pair, ...]
    pieces: int
    found: Agreement
    present: bool
    whole: bool = True
    alike: float = 1.0


@dataclass(frozen=True, slots=True)
class Proposal:
    """A card with values that measured pieces ask for. `evidence`: SHA-256 over the records and what they measured;
    `id` its beginning; `values` new by name; `factor` [-] on them with its interval."""

    id: str
    evidence: str
    measure: Measure
    material: str
    factor: float
    low: float
    high: float
    pieces: int
    values: Mapping[str, Quantity]
    old: Mapping[str, Quantity]
    records: tuple[str, ...]
    invented: bool


@dataclass(frozen=True, slots=True)
class Tally:
    """All pairs and what has none; groups; open proposals, decided ones, and why others are not made, a line each."""

    pairs: tuple[Pair, ...]
    unpaired: tuple[Unpaired, ...]
    groups: tuple[Group, ...]
    proposals: tuple[Proposal, ...]
    decided: tuple[Entry, ...]
    remarks: tuple[str, ...]


def tally(records: Records, job: Job) -> Tally:
    """Everything that was measured against everything that was predicted of it. Raises NotComputed for damaged
    records."""
    found, without = pairs(records, job)
    groups = tuple(_groups(found, job))
    decided = records.entries("card")
    seen = {str(e.body.get("evidence", "")) for e in decided}
    remarks: list[str] = []
    offered = [p for g in groups if (p := _proposal(g, job, remarks)) is not None and p.evidence not in seen]
    return Tally(found, without, groups, tuple(offered), decided, tuple(remarks))


def by_piece(found: Sequence[Pair]) -> tuple[list[float], list[bool]]:
    """One ratio for each piece, the geometric mean where several were taken on it, and whether it went on."""
    pieces: dict[tuple[str, str], list[Pair]] = {}
    for p in found:
        pieces.setdefault((p.part, p.piece), []).append(p)
    ratios = [float(np.exp(np.mean(np.log([p.ratio for p in mine])))) for mine in pieces.values()]
    return ratios, [any(p.went_on for p in mine) for mine in pieces.values()]


def _groups(found: Sequence[Pair], job: Job) -> Iterator[Group]:
    """By measure, material and card values: every part, then, where there are several, all of them together."""
    wholes: dict[tuple[Measure, str, tuple[tuple[str, float], ...]], list[Pair]] = {}
    for p in sorted(found, key=lambda p: (p.measure, p.material, p.part, p.piece)):
        wholes.setdefault((p.measure, p.material, p.cards), []).append(p)
    for (_, material, cards), mine in wholes.items():
        card = job.cards.get(material)
        present = card is not None and all(card.number(n) == v for n, v in cards)
        parts = dict.fromkeys(p.part for p in mine)
        each = {part: [p for p in mine if p.part == part] for part in parts}
        alone = len(each) == 1
        for part, its in each.items():
            yield _group(part, its, present=present, whole=alone)
        if not alone:
            alike = differ([by_piece(its)[0] for its in each.values()])
            yield _group("", mine, present=present, alike=alike)


def _group(part: str, mine: Sequence[Pair], *, present: bool, whole: bool = True, alike: float = 1.0) -> Group:
    ratios, went_on = by_piece(mine)
    found = agreement(ratios, went_on)
    return Group(mine[0].measure, mine[0].material, part, tuple(mine), len(ratios), found, present, whole, alike)


def _proposal(group: Group, job: Job, remarks: list[str]) -> Proposal | None:
    """The card values a group asks for; None where it asks for none, with a remark where that wants a reason."""
    card = job.cards.get(group.material)
    if card is None or not group.whole or not group.found.off or not group.present:
        return None
    if why := _hindered(group, job):
        remarks.append(f"{group.measure}, {group.material}: no card is proposed: {why}")
        return None
    return _offered(group, card)


def _hindered(group: Group, job: Job) -> str:
    """Why no card value may be drawn from a group that is off; "" where one may."""
    if group.measure == "life":
        return "no card value stands for it; tire coupons anew"
    if any(p.hollow for p in group.pairs):
        return "parts with infill are among them, which speak of the infill too"
    if group.alike < APART:
        return f"its parts disagree (probability {group.alike:.2g} by chance): look at each of them"
    if group.measure == "mass":
        under, over = rule(job.rules, "under_extruded"), rule(job.rules, "over_extruded")
        if not under <= group.found.mean <= over:
            return "so far off, polymer is missing or too much: mend the print, not its density"
    return ""


def _offered(group: Group, card: MaterialCard) -> Proposal:
    found = group.found
    assert found.low is not None
    assert found.high is not None
    turned = group.measure == "deflection"  # what moves more is softer
    factor = 1 / found.mean if turned else found.mean
    low, high = (1 / found.high, 1 / found.low) if turned else (found.low, found.high)
    entries = tuple(dict.fromkeys((e.id, e.seal) for p in group.pairs for e in p.entries))
    told = sorted(f"{p.measure} {p.part} {p.piece} {p.words} {p.ratio!r} {[e.seal for e in p.entries]}"
                  for p in group.pairs)  # fmt: skip
    evidence = hashlib.sha256("\n".join(told).encode()).hexdigest()
    invented = any(p.invented for p in group.pairs)
    source = _source(group, factor, (low, high), tuple(seal for _, seal in entries))
    old = {n: card.values[n] for n in stated_values(group.measure, card) if n in card.values}
    values = {
        n: Quantity(q.value * factor, q.unit, source, "invented" if invented else "measured", q.value * low,
                    q.value * high)
        for n, q in old.items()
    }  # fmt: skip
    return Proposal(
        evidence[:SHORT], evidence, group.measure, group.material, factor, low, high, group.pieces, values, old,
        tuple(name for name, _ in entries), invented,
    )  # fmt: skip


def stated_values(measure: Measure, card: MaterialCard) -> tuple[str, ...]:
    """Names of the values a measure rests on, as the text of the card states them."""
    if measure == "deflection" and card.orthotropic:
        return tuple(name for name in NINE if "modulus" in name)
    return RESTS_ON[measure]


def _source(group: Group, factor: float, ends: tuple[float, float], seals: Sequence[str]) -> str:
    parts = ", ".join(dict.fromkeys(p.part for p in group.pairs))
    what = {"mass": "weighed", "deflection": "proof-tested", "life": "ridden"}[group.measure]
    shown = ", ".join(seal[:SHORT] for seal in seals[:LISTED])
    more = f" and {len(seals) - LISTED} more" if len(seals) > LISTED else ""
    whole = hashlib.sha256("".join(seals).encode()).hexdigest()
    return (
        f"{group.pieces} pieces {what} ({parts}): {factor:.4g} of the card before, 95 % {ends[0]:.4g} to "
        f"{ends[1]:.4g} ({group.found.method}); records {shown}{more}; SHA-256 over their seals {whole}"
    )
