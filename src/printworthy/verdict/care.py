"""The conditions of a part's answer as figures."""

from __future__ import annotations

from collections.abc import Iterator

from printworthy.evidence.values import high_end, low_end, rule
from printworthy.inputs import BoltJoint, MaterialCard, Part, Rules, Vehicle
from printworthy.results import Care, CaseResult, KeepOut, Life, Option, Stage, Torque
from printworthy.verdict.proof import proofs
from printworthy.verdict.words import service_range

HOT = ("disc", "motor", "battery", "controller")
STAGES = (0.25, 0.5, 0.75, 1.0)  # shares of the largest utilisation that a stage may reach


def care(part: Part, card: MaterialCard, vehicle: Vehicle, rules: Rules, option: Option) -> Care:
    """Proof tests, inspection, retirement, temperatures, torques, distances and stages of the answering option."""
    life = option.life
    retire, retire_words = _retire(life, part)
    interval, interval_words = _interval(part, life, retire, rules)
    looked = part.inspection_interval.per if part.inspection_interval else None
    low, high = card.values.get("service_low"), card.values.get("service_high")
    return Care(
        proofs=proofs(part, card, rules, option.design, option.result, relieved=bool(option.heat)),
        per=life.per if life and life.per else looked,
        interval=interval,
        interval_words=interval_words,
        retire=retire,
        retire_words=retire_words,
        temperature=service_range(part, vehicle, option.heat),
        card=(None if low is None else high_end(low), None if high is None else low_end(high)),
        torques=tuple(_torques(part, rules)),
        keep_out=tuple(_keep_out(part, rules, option)),
        stages=tuple(_stages(option.result.cases, rules)),
    )


def _interval(part: Part, life: Life | None, retire: float | None, rules: Rules) -> tuple[float | None, str]:
    """A share of the age at which it retires where a crack shows before it is dangerous, or the stated interval if that
    is shorter; none between layers."""
    stated = part.inspection_interval
    if life is not None and life.between_layers:
        instead = f"; the stated one of {stated} does not either" if stated else ""
        return None, f"a crack between layers runs before it is seen: no interval stands in for retirement{instead}"
    if life is None or retire is None or life.low is None:
        why = "; ".join(life.missing) if life and life.missing else "no life was computed"
        if stated is None:
            return None, f"no interval is computed ({why}): look it over before every ride"
        same = life is None or life.per in (None, stated.per)
        return stated.value if same else None, f"every {stated}, as stated and not computed ({why})"
    looks = rule(rules, "looks_per_life")
    if stated is not None and stated.per == life.per and stated.value < retire / looks:
        return stated.value, f"as stated; {looks:g} looks before it retires would do"
    return retire / looks, f"{looks:g} looks before it retires"


def _retire(life: Life | None, part: Part) -> tuple[float | None, str]:
    """The life that the share of pieces of the rule reaches, or the wanted one if that is shorter."""
    stated = part.retirement_life.strip()
    if life is None or life.low is None:
        if stated:
            return None, f"as stated, not computed: {stated}"
        if life is not None and life.between_layers:
            return None, "layers govern and no age is known: state retirement_life before it is ridden, and keep to it"
        return None, "no life was computed: no age can be given"
    if life.wanted is not None and life.wanted.value < life.low:
        return life.wanted.value, "the life it was wanted for; the computed one is longer"
    layers = ", and layers govern: retire at this age, whatever it looks like" if life.between_layers else ""
    return life.low, f"computed life, low limit{layers}"


def _torques(part: Part, rules: Rules) -> Iterator[Torque]:
    """Torque T = K F d of a dry or lightly oiled thread (usual short form, K 0.15 to 0.25, from memory)."""
    nut = rules.values["nut_factor"]
    for joint in part.joints:
        if isinstance(joint, BoltJoint) and joint.preload > 0:
            turn = joint.preload * joint.diameter
            words = (
                "metal sleeve, as long as the part is thick there or up to 0.1 mm longer, carries the preload"
                if joint.sleeve
                else "no sleeve: the preload goes through plastic and creeps away; fit one, or tighten it again"
            )
            yield Torque(joint.name, nut.value * turn, low_end(nut) * turn, high_end(nut) * turn, words)


def _keep_out(part: Part, rules: Rules, option: Option) -> Iterator[KeepOut]:
    near = {n.source: n for n in part.near or ()}
    for source in HOT:
        distance = rule(rules, f"heat_distance_{source}")
        stated = near.get(source)  # type: ignore[call-overload]
        if stated is not None and (stated.temperature is not None or option.heat):
            at = "as drawn" if stated.distance is None else f"at {stated.distance:g} mm"
            words = f"{at}: answered by the temperature stated or computed there, and not for a nearer or hotter one"
            yield KeepOut(source, stated.distance or 0.0, words)
        else:
            yield KeepOut(source, distance, rules.values[f"heat_distance_{source}"].source)


def _stages(cases: tuple[CaseResult, ...], rules: Rules) -> Iterator[Stage]:
    """From what works the part least to all of it; a stage that would add no case is left out."""
    largest = max(c.utilisation for c in cases)
    done: set[str] = set()
    for share in STAGES:
        new = sorted((c for c in cases if c.utilisation <= share * largest and c.case not in done),
                     key=lambda c: -c.utilisation)  # fmt: skip
        if not new:
            continue
        done |= {c.case for c in new}
        look = tuple((c.near_face, c.point) for c in new)
        words = (
            "look for whitening, cracks and opened layers at the places named, with a lamp from the side; measure the "
            "lasting set; feel bolts and sleeves for play. Anything found: stop, and retire the piece"
        )
        reached = new[0].utilisation / largest
        yield Stage(tuple(c.case for c in new), reached, rule(rules, "stage_time"), look, words)
