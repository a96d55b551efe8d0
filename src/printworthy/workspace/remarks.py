"""What is not wrong in a workspace, and yet worth a second look by a person."""

from __future__ import annotations

from collections.abc import Iterator

from printworthy.errors import Place
from printworthy.inputs import CouponSet, Job, MaterialCard, Part


def remarks(job: Job) -> tuple[str, ...]:
    """One line each, with its place."""
    used = {name for part in job.parts for name in (part.material, *part.alternatives)}
    return (
        *(line for part in job.parts for line in _of_part(part)),
        *(line for name in sorted(used) if name in job.cards for line in _of_card(job.cards[name])),
        *(line for coupons in job.coupons for line in _of_coupons(coupons, used)),
        *_too_few(job, used),
    )


def _of_part(part: Part) -> Iterator[str]:
    if part.near is None:
        do = "Write near = [] if nothing hot is near; until then the part stays undecided"
        yield f"{_file(part.place)}: nobody has said what is near the part. {do}"
    used = {support.face for support in part.supports} | {load.face for case in part.cases for load in case.loads}
    for face in part.faces.values():
        if face.name not in used and face.deflection_limit is None:
            yield f"{face.place}: nothing holds, loads or limits this face. Use it, or remove it"


def _of_card(card: MaterialCard) -> Iterator[str]:
    in_layer, through = card.number("strength_in_layer"), card.number("strength_through")
    if in_layer is not None and through is not None and through > in_layer:
        what = f"stronger between layers ({through:g} MPa) than in the layer ({in_layer:g} MPa)"
        yield f"card {card.name}: {what}. Check that the two are not exchanged"
    if card.example_only:
        yield f"card {card.name}: is an example only. Measure your own material before anything depends on it"


def _of_coupons(coupons: CouponSet, used: set[str]) -> Iterator[str]:
    where = f"{coupons.place}: set {coupons.title}"
    if len(coupons.strengths) > 1 and len(set(coupons.strengths)) == 1:
        yield f"{where}: all {len(coupons.strengths)} values are the same. Give each coupon's own, not their mean"
    yield from coupons.remarks
    if coupons.material not in used:
        yield f"{where}: no part names its material {coupons.material}"


def _too_few(job: Job, used: set[str]) -> Iterator[str]:
    """Sets that give no lower limit yet, all batches of a name counted together."""
    least = round(job.rules.values["n_limit"].value)
    for name in dict.fromkeys(c.name for c in job.coupons if c.material in used):
        batches = [c for c in job.coupons if c.name == name]
        count = sum(len(c.strengths) for c in batches)
        if count < least:
            what = f"{count} {'coupon gives' if count == 1 else 'coupons give'} no lower limit"
            yield f"{batches[0].place}: set {name}: {what}. Break at least {least}"


def _file(place: Place | None) -> str:
    return str(place.file) if place else ""
