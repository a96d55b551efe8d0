"""The four words, how they combine, and what a part is to the rules."""

from __future__ import annotations

from collections.abc import Iterable

from printworthy.errors import CardError, TextError
from printworthy.evidence.values import rule, rule_source
from printworthy.inputs import Consequence, Part, Rules, Vehicle
from printworthy.results import HeatResult, Reason, Step, Word

BEST_FIRST: tuple[Word, ...] = ("print", "print with conditions", "not decided", "do not print")
MILD_FIRST: tuple[Consequence, ...] = ("harmless", "may injure", "single point of failure")


def worst(words: Iterable[Word]) -> Word:
    """The word that all reasons together leave possible.

    A refusal stands although something else is not decided: a part that is known to fail is not saved by what is
    unknown. Not decided outweighs conditions: a condition cannot be kept in place of evidence.
    """
    return max(words, key=BEST_FIRST.index, default="print")


def consequence(part: Part, rules: Rules) -> Consequence:
    """What a failure of the part does: as stated for the part, else by its role.

    TextError for a role the rules do not know, and for a milder consequence than the role's without a reason.
    """
    if part.role not in rules.roles:
        known = ", ".join(sorted(rules.roles))
        raise TextError(f"role '{part.role}' is not known", where=part.place or part.name, do=f"Use one of: {known}")
    usual = rules.roles[part.role]
    stated = part.consequence or usual
    if MILD_FIRST.index(stated) < MILD_FIRST.index(usual) and not part.consequence_reason.strip():
        raise TextError(
            f"'{stated}' is milder than '{usual}', the consequence of role '{part.role}'",
            where=part.place or part.name,
            do="State consequence_reason, or leave the consequence out",
        )
    return stated


def consequence_reason(part: Part, rules: Rules) -> Reason:
    """The consequence as a reason: which one, and who says so."""
    usual, used = rules.roles[part.role], consequence(part, rules)
    if used == usual:
        return Reason("consequence", f"failure of a {part.role}: {used}", "print", "roles of rules.toml")
    why = part.consequence_reason.strip()
    words = f"failure stated as {used}, where the role {part.role} says {usual}" + (f": {why}" if why else "")
    return Reason("consequence", words, "print", "stated for this part")


def service_range(part: Part, vehicle: Vehicle, heat: tuple[HeatResult, ...] = ()) -> tuple[float, float]:
    """Coldest and hottest temperature [degC] the part must bear: its own range, else the vehicle's, widened by every
    temperature stated near a heat source and by the hottest computed one. Design values belong to this range."""
    low = vehicle.service_low if part.service_low is None else part.service_low
    high = vehicle.service_high if part.service_high is None else part.service_high
    near = [n.temperature for n in part.near or () if n.temperature is not None]
    near += [h.hottest for h in heat]
    return min(low, *near, high), max(high, *near, low)


def factors(part: Part, rules: Rules) -> tuple[Step, ...]:
    """Factors on load; their product is the factor used.

    The factor from expected-maximum to ultimate load (14 CFR 25.303) times the HIGHEST of the special factors that
    apply (25.619): fitting (25.625), and process by inspection class (idea of 25.621). A person may state a larger
    load factor; a smaller one only with a reason. TextError otherwise; CardError for an unknown inspection class.
    """
    usual = rule(rules, "load_factor")
    load = Step("load factor", usual, rule_source(rules, "load_factor"))
    if part.load_factor is not None and part.load_factor != usual:
        reason = part.load_factor_reason.strip()
        if part.load_factor < usual and not reason:
            raise TextError(
                f"load factor {part.load_factor:g} is smaller than {usual:g}",
                where=part.place or part.name,
                do="State load_factor_reason, or leave the factor out",
            )
        load = Step("load factor, stated", part.load_factor, f"stated for this part{': ' + reason if reason else ''}")
    return load, _special(part, rules)


def _special(part: Part, rules: Rules) -> Step:
    if part.inspection not in rules.inspection_factors:
        known = ", ".join(rules.inspection_factors)
        raise CardError(
            f"inspection class '{part.inspection}' is not known",
            where=part.place or part.name,
            do=f"Use one of: {known}",
        )
    process = rules.inspection_factors[part.inspection]
    fitting = rule(rules, "fitting_factor")
    rest = "only the highest special factor is applied (14 CFR 25.619)"
    if part.fitting and fitting > process.value:
        return Step("fitting factor", fitting, f"{rule_source(rules, 'fitting_factor')}; {rest}")
    name = f"process factor, inspection '{part.inspection}'"
    return Step(name, process.value, f"{process.source} ({process.confidence})" + (f"; {rest}" if part.fitting else ""))
