"""The heat question answered by computed temperatures: passed with margin, refused when sure, else not decided."""

from __future__ import annotations

from printworthy.evidence.values import high_end, low_end, rule, rule_source
from printworthy.inputs import MaterialCard, Nearby, Part, Rules
from printworthy.results import HeatResult, Reason

METHOD = "conduction on the part's mesh in its layer axes, both ends of every stated range"


def computed_for(near: Nearby, part: Part, heat: tuple[HeatResult, ...]) -> HeatResult | str | None:
    """The hottest state that a source of this kind takes part in; None if none was stated; words if it was stated and
    not computed."""
    mine = [h for h in heat if any(s.kind == near.source for s in h.sources)]
    if mine:
        return max(mine, key=lambda h: h.hottest)
    return "its hot states are stated, but the card lacks what they need" if part.heat and not heat else None


def answered_by(near: Nearby, found: HeatResult | str, card: MaterialCard, rules: Rules) -> Reason:
    """The reason a computed temperature gives: passes when even the hot end keeps the margin below the low end of what
    the card bears, refuses when even the cool end is within it of the high end."""
    where = near.source + ("" if near.distance is None else f" at {near.distance:g} mm")
    if isinstance(found, str):
        return Reason("heat", f"{where}: {found} (conductivity, specific heat)", "not decided", f"card {card.name}")
    at = f" near {found.near_face}" if found.near_face else ""
    words = (
        f"{where}: computed {found.coolest:.0f} to {found.hottest:.0f} degC at the hottest place{at} in "
        f"'{found.state}' ({'steady' if found.duration is None else f'within {found.duration:g} s'})"
    )
    if "service_high" not in card.values:
        return Reason("heat", f"{words}; {card.name} states no hot end of service", "not decided", f"card {card.name}")
    top, margin = card.values["service_high"], rule(rules, "heat_margin")
    source = f"{METHOD}; card {card.name}: {top.source}; margin: {rule_source(rules, 'heat_margin')}"
    if found.hottest + margin <= low_end(top):
        words = f"{words}, {margin:g} K and more below {low_end(top):g} degC: keep gaps and shields as stated"
        return Reason("heat", words, "print with conditions", source)
    if found.coolest + margin > high_end(top):
        words = f"{words}, at best less than {margin:g} K below {high_end(top):g} degC of {card.name}"
        return Reason("heat", words, "do not print", source)
    words = (
        f"{words}; {card.name} bears {low_end(top):g} to {high_end(top):g} degC less {margin:g} K: measure it there, "
        "or state the ranges more narrowly"
    )
    return Reason("heat", words, "not decided", source)
