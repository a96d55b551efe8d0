"""Printed against other processes: specific strength and stiffness, and which claims of the trade hold for this part.

The claims are common practice without a source; they are inputs of `rules.toml` and decide nothing.
"""

from __future__ import annotations

from printworthy.dossier import words
from printworthy.dossier.document import Cell, Column, Row, Table
from printworthy.dossier.tables import figure
from printworthy.evidence.by_weight import METALS
from printworthy.evidence.claims import against, mean_ends, scatter_ends
from printworthy.evidence.coupons import SMALLEST, log_deviation
from printworthy.evidence.values import rule, rule_source
from printworthy.inputs import MaterialCard, Rules
from printworthy.results import DesignValue, PartAssessment

CAST = "al-a380-die-cast"
FEWEST = 5  # coupons behind a scatter worth comparing


def specific(part: PartAssessment, cards: dict[str, MaterialCard]) -> Table | None:
    """Strength and stiffness over density of the print and of the metals it was compared with; None without its card,
    as in a record read back from elsewhere."""
    x, card = part.option.design.in_layer, cards.get(part.option.result.material)
    if card is None:
        return None
    z = part.option.design.between
    rows = [
        _row(f"{card.title}, in the layer, mean or card", x.start, card, _scatter_of(x)),
        _row(f"{card.title}, in the layer, design value", x.value, card, _scatter_of(x)),
        _row(f"{card.title}, between layers, mean or card", z.start, card, _scatter_of(z), "modulus_through"),
        _row(f"{card.title}, between layers, design value", z.value, card, _scatter_of(z), "modulus_through"),
    ]
    for other in (cards[name] for name in METALS if name in cards):
        scatter = other.number("strength_scatter")
        rows.append(_row(f"{other.title}, yield", other.number("yield_strength") or float("nan"), other, scatter))
    columns = (
        Column("material"), Column("strength", "MPa", "number"), Column("strength / density", "kN m/kg", "number"),
        Column("modulus / density", "MN m/kg", "number"), Column("scatter", "%", "number"),
    )  # fmt: skip
    note = "Scatter: of the coupons, raised to the least believed; moduli are those of the card."
    return Table("Strength, stiffness and scatter by weight", columns, tuple(rows), note=note, stacked=True)


def _scatter_of(value: DesignValue) -> float | None:
    return value.cv if value.n >= SMALLEST else None


def _row(
    name: str, strength: float, card: MaterialCard, scatter: float | None, modulus: str = "modulus_in_layer"
) -> Row:
    density, stiff = card.number("density"), card.number(modulus)
    over = figure(strength / density) if density else Cell("no density")
    stiffness = figure(stiff / density / 1000) if density and stiff else Cell("not known")
    held = Cell("not known") if scatter is None else figure(100 * scatter, "%")
    return Row((Cell(name), figure(strength, "MPa"), over, stiffness, held))


def claims(part: PartAssessment, cards: dict[str, MaterialCard], rules: Rules) -> Table:
    """Each claim with what this part's own coupons and results say: holds, does not hold, or not decided and why."""
    rows = tuple(
        Row((Cell(claim), Cell(answer), Cell(why), Cell(rule_source(rules, name))))
        for claim, name, answer, why in (
            _moulded(part, cards, rules), _scatter(part, cards, rules), _peak(part, cards, rules)
        )
    )  # fmt: skip
    columns = (Column("claim"), Column("for this part"), Column("figures"), Column("source of the claim"))
    note = "Claims decide nothing here. A claim that holds for one part and one lot of coupons holds for them alone."
    return Table("Claims about printing, held against this part", columns, rows, note=note, stacked=True)


def _moulded(part: PartAssessment, cards: dict[str, MaterialCard], rules: Rules) -> tuple[str, str, str, str]:
    name, x = "claim_share_of_moulded", part.option.design.in_layer
    wanted = rule(rules, name)
    claim = f"in the layer at least {100 * wanted:g} % of the moulded strength"
    card = cards.get(part.option.result.material)
    moulded = card.number("moulded_strength") if card is not None else None
    if moulded is None or x.n < FEWEST:
        missing = "the card states no moulded_strength" if moulded is None else f"{x.n} coupons in the layer"
        return claim, name, "not decided", missing
    low, high = (v / moulded for v in mean_ends(x.start, x.cv, x.n))
    figures = f"mean of {x.n} coupons {words.number(x.start)} of {words.number(moulded)} MPa: {100 * low:.0f} to "
    return claim, name, against(low, high, wanted), f"{figures}{100 * high:.0f} % with 90 % confidence"


def _scatter(part: PartAssessment, cards: dict[str, MaterialCard], rules: Rules) -> tuple[str, str, str, str]:
    name, design = "claim_scatter", part.option.design
    claim = "more repeatable than die casting"
    other = cards[CAST].number("strength_scatter") if CAST in cards else None
    few = [v for v in (design.in_layer, design.between) if v.n < FEWEST]
    if other is None or few:
        missing = (
            f"card {CAST} states no strength_scatter" if other is None else "coupons of both directions: 5 or more"
        )
        return claim, name, "not decided", missing
    v = max(design.in_layer, design.between, key=lambda d: d.cv)
    low, high = scatter_ends(log_deviation(v.cv), v.n)
    figures = f"scatter {100 * v.cv:.1f} % (least believed included), {100 * low:.1f} to {100 * high:.1f} % with 90 % "
    answer = against(-high, -low, -rule(rules, name) * other)
    return claim, name, answer, f"{figures}confidence, against {100 * other:.1f} %"


def _peak(part: PartAssessment, cards: dict[str, MaterialCard], rules: Rules) -> tuple[str, str, str, str]:
    name = "claim_peak_load"
    claim = f"bears as much as wrought 6061-T6 at {rule(rules, name):.2g} of its mass"
    metal = next((m for m in part.metals if m.material == "al-6061-t6"), None)
    used = part.option.result.utilisation
    if metal is None or used <= 0:
        return claim, name, "not decided", "the same solid in al-6061-t6 was not compared"
    load, mass = metal.utilisation / used, part.option.mass / metal.mass
    held = "holds" if load >= 1 and mass <= rule(rules, name) else "does not hold"
    why = (
        f"the same solid bears {words.number(load)} of the metal's load (design values against yield, same factors) at "
        f"{words.number(mass)} of its mass"
    )
    return claim, name, held, why
