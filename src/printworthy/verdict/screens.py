"""Screens: questions asked before strength, each answered by evidence, never by silence. Every question leaves a
reason, also when it is passed, in the order in which it was asked."""

from __future__ import annotations

from collections.abc import Iterator

from printworthy.evidence.knockdown import is_moist, temperature_factor
from printworthy.evidence.values import high_end, low_end, rule, rule_source
from printworthy.inputs import BoltJoint, InsertJoint, MaterialCard, Nearby, Part, Rules, Vehicle
from printworthy.results import HeatResult, Reason, Word
from printworthy.verdict.warmth import answered_by, computed_for
from printworthy.verdict.words import consequence, service_range

# Flame classes of IEC 60695-11-10 / UL 94 that put themselves out without burning drips (from memory).
SELF_EXTINGUISHING = ("V-0", "V-1", "5VA", "5VB")
EXPOSURES = {
    "sunlight": "sunlight: paint it opaque or use a grade stabilised against it; look for chalking and cracks",
    "fuel": "fuel: keep it off, or break coupons that have been soaked in it; solvents crack stressed plastics",
    "rain": "rain: let no water stand on it; weigh a witness piece, water lowers the strength of polyamides",
    "moisture": "moisture: weigh a witness piece; water lowers the strength of polyamides",
    "cold": "cold: no shock loads below the cold end of the service range",
}


def screens(
    part: Part, card: MaterialCard, vehicle: Vehicle, rules: Rules, heat: tuple[HeatResult, ...] = (), *,
    blows: bool = False,
) -> tuple[Reason, ...]:  # fmt: skip
    """All screens of a part in one printed polymer, in order.

    `heat`: its hot states, where computed. `blows`: notched impact coupons at the cold end stand behind the design
    values. Errors as `words.consequence`.
    """
    return (
        _role(part, rules),
        *_near(part, card, rules, heat),
        *_exposure(part, card),
        *_through_plastic(part),
        *_service(part, card, vehicle, rules, heat),
        *_example(card),
        *_impact(part, rules, blows),
    )


def _role(part: Part, rules: Rules) -> Reason:
    if part.role in rules.metal_roles:
        words = f"a {part.role} stays metal: thread, bearing and fatigue are beyond printed polymers"
        return Reason("metal role", words, "do not print", "metal roles of rules.toml")
    return Reason("metal role", f"a {part.role} is not among the parts that stay metal", "print", "rules.toml")


def _near(part: Part, card: MaterialCard, rules: Rules, heat: tuple[HeatResult, ...]) -> Iterator[Reason]:
    if part.near is None:
        words = "nobody has said what heat source or live terminal is near: state near = [] if none is"
        yield Reason("heat", words, "not decided", "own rule: silence is not an answer")
        return
    if not part.near:
        yield Reason("heat", "no disc, motor, battery or controller near, as stated", "print", "stated for this part")
    for near in part.near:
        answered = computed_for(near, part, heat)
        if answered is None or near.temperature is not None:
            yield _heat(near, card, rules)
        if answered is not None:
            yield answered_by(near, answered, card, rules)
        if near.source in ("battery", "controller"):
            yield _flame(near, card, rules)
        if near.live_terminals or near.source in ("battery", "controller"):
            yield _terminals(near, card, rules)


def _is_far(near: Nearby, rules: Rules) -> bool:
    return near.distance is not None and near.distance > rule(rules, f"heat_distance_{near.source}")


def _heat(near: Nearby, card: MaterialCard, rules: Rules) -> Reason:
    name = f"heat_distance_{near.source}"
    source = rule_source(rules, name)
    where = f"{near.source}" + ("" if near.distance is None else f" at {near.distance:g} mm")
    if near.temperature is None:
        if _is_far(near, rules):
            return Reason("heat", f"{where}: farther than {rule(rules, name):g} mm", "print", source)
        if near.distance is None:
            return Reason("heat", f"{where}: state its distance, or the temperature there", "not decided", source)
        words = f"{where}: within {rule(rules, name):g} mm, refused until the temperature there is measured or computed"
        return Reason("heat", words, "do not print", source)
    if not near.temperature_source.strip():
        words = f"{where}: say where {near.temperature:g} degC comes from (temperature_source)"
        return Reason("heat", words, "not decided", source)
    return _hot(near.temperature, f"{where}: {near.temperature:g} degC ({near.temperature_source})", card, rules)


def _hot(temperature: float, words: str, card: MaterialCard, rules: Rules) -> Reason:
    if "service_high" not in card.values:
        return Reason("heat", f"{words}; {card.name} states no hot end of service", "not decided", f"card {card.name}")
    top, margin = low_end(card.values["service_high"]), rule(rules, "heat_margin")
    source = f"card {card.name}: {card.values['service_high'].source}; margin: {rule_source(rules, 'heat_margin')}"
    if temperature + margin <= top:
        return Reason("heat", f"{words}, {margin:g} K and more below {top:g} degC", "print with conditions", source)
    return Reason("heat", f"{words}, less than {margin:g} K below {top:g} degC of {card.name}", "do not print", source)


def _flame(near: Nearby, card: MaterialCard, rules: Rules) -> Reason:
    source = "flame classes of IEC 60695-11-10 (from memory)"
    if _is_far(near, rules):
        return Reason(
            "flame", f"{near.source} is far enough", "print", rule_source(rules, f"heat_distance_{near.source}")
        )
    rating = card.flame_rating.strip()
    if rating.upper().startswith(SELF_EXTINGUISHING):
        words = f"next to the {near.source}, flame rating {rating}: true for the tested thickness and colour only"
        return Reason("flame", words, "print with conditions", source)
    have = f"flame rating {rating}" if rating else "no stated flame rating"
    words = f"next to the {near.source} with {have}: {' or '.join(SELF_EXTINGUISHING)} is needed"
    return Reason("flame", words, "do not print", source)


def _terminals(near: Nearby, card: MaterialCard, rules: Rules) -> Reason:
    clearance, source = rule(rules, "terminal_clearance"), rule_source(rules, "terminal_clearance")
    if not near.live_terminals:
        words = f"no live terminals open at the {near.source}, as stated: keep them covered"
        close = card.electrically_conductive and not _is_far(near, rules)
        return Reason("terminals", words, "print with conditions" if close else "print", "stated for this part")
    if near.distance is None:
        return Reason(
            "terminals", f"state the distance to the live terminals of the {near.source}", "not decided", source
        )
    if card.electrically_conductive and not _is_far(near, rules):
        words = f"{card.name} conducts and live terminals of the {near.source} are {near.distance:g} mm away"
        return Reason("terminals", words, "do not print", f"card {card.name}")
    if near.distance < clearance:
        words = f"{near.distance:g} mm to live terminals of the {near.source}, {clearance:g} mm needed"
        return Reason("terminals", words, "do not print", source)
    words = f"{near.distance:g} mm to live terminals of the {near.source}: cover them"
    return Reason("terminals", words, "print with conditions", source)


def _exposure(part: Part, card: MaterialCard) -> Iterator[Reason]:
    for name in part.exposure:
        known = EXPOSURES.get(name)
        words = (
            known
            or f"exposure '{name}' is not known here: one of {', '.join(EXPOSURES)}, or bring coupons exposed to it"
        )
        effect: Word = "print with conditions" if known else "not decided"
        yield Reason("exposure", words, effect, "common practice, no source")
    if card.electrically_conductive:
        words = "carbon conducts and eats bare aluminium in the wet: insulate it from aluminium"
        yield Reason("exposure", words, "print with conditions", "galvanic series, common practice")


def _through_plastic(part: Part) -> Iterator[Reason]:
    for joint in part.joints:
        if isinstance(joint, BoltJoint) and joint.preload > 0 and not joint.sleeve:
            words = f"{joint.name}: the preload goes through plastic, which creeps: put a metal sleeve under the bolt"
            yield Reason("bolts", words, "print with conditions", "common practice, no source")
        if isinstance(joint, InsertJoint) and joint.pull_out is None:
            words = f"{joint.name}: pull one insert out of a printed test piece and state pull_out"
            yield Reason("inserts", words, "not decided", "own rule: an insert needs a pull-out test")


def _service(
    part: Part, card: MaterialCard, vehicle: Vehicle, rules: Rules, heat: tuple[HeatResult, ...]
) -> Iterator[Reason]:
    low, high = service_range(part, vehicle, heat)
    sure = max(service_range(part, vehicle)[1], *(h.coolest for h in heat), low)
    yield _hot_end(card, high, sure)
    yield _cold_end(part, card, rules, low)
    if "moisture_factor" in card.values and not is_moist(card.moisture_state):
        words = f"{card.name} takes up water and its values are not stated as moist"
        yield Reason("moisture", words, "not decided", f"card {card.name}")


def _hot_end(card: MaterialCard, high: float, sure: float) -> Reason:
    """The hot end asked for, `high` [degC], of which `sure` is reached whatever end of the heat is true."""
    if "service_high" not in card.values:
        words = f"{card.name} states no hot end of service, {high:g} degC is asked"
        return Reason("service temperature", words, "not decided", f"card {card.name}")
    top = card.values["service_high"]
    source = f"card {card.name}: {top.source} ({top.confidence})"
    if sure > high_end(top):
        words = f"{sure:.4g} degC is above all that {card.name} bears ({high_end(top):g} degC)"
        return Reason("service temperature", words, "do not print", source)
    if high > low_end(top):
        words = f"{high:.4g} degC lies where {card.name} starts to fail (from {low_end(top):g} degC) or beyond"
        return Reason("service temperature", words, "not decided", source)
    kept = temperature_factor(card, high)
    if not kept.decided:
        return Reason("service temperature", f"{card.name}: {kept.words}", "not decided", source)
    words = f"up to {high:.4g} degC, {card.name} bears {low_end(top):g} degC"
    return Reason("service temperature", words, "print", source)


def _cold_end(part: Part, card: MaterialCard, rules: Rules, low: float) -> Reason:
    harmless = consequence(part, rules) == "harmless"
    if "service_low" not in card.values:
        words = f"{card.name} states no cold end of service, {low:g} degC is asked"
        return Reason("cold", words, "print with conditions" if harmless else "not decided", f"card {card.name}")
    cold = card.values["service_low"]
    source = f"card {card.name}: {cold.source} ({cold.confidence})"
    if low < high_end(cold):
        words = (
            f"{low:g} degC is below {high_end(cold):g} degC, the cold end of {card.name}: nothing was broken that cold"
        )
        return Reason("cold", words, "print with conditions" if harmless else "not decided", source)
    return Reason("cold", f"down to {low:g} degC, {card.name} bears {high_end(cold):g} degC", "print", source)


def _example(card: MaterialCard) -> Iterator[Reason]:
    if card.example_only:
        words = f"card {card.name} is an example without a source: nothing can be decided with it"
        yield Reason("example card", words, "not decided", f"card {card.name}")


def _impact(part: Part, rules: Rules, blows: bool) -> Iterator[Reason]:
    cases = [case.name for case in part.cases if case.kind == "impact"]
    if not cases:
        return
    if blows:
        words = f"impact in {', '.join(cases)}: notched, fast coupons at the cold end of service lower the tensions"
        yield Reason("impact", f"{words}; replace the part after a blow", "print with conditions", "own rule")
        return
    harmless = consequence(part, rules) == "harmless"
    words = f"impact in {', '.join(cases)}: coupons here are slow, smooth and at their own temperature; " + (
        "replace the part after a blow" if harmless else "notched ones, broken cold and fast, are needed to decide"
    )
    yield Reason("impact", words, "print with conditions" if harmless else "not decided", "own rule")
