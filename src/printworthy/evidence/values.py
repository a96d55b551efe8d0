"""How evidence reads numbers from cards and rules: never a default, always one line when something is missing."""

from __future__ import annotations

from printworthy.errors import CardError
from printworthy.inputs import MaterialCard, Quantity, Rules

ROOM = (
    23.0  # [degC] temperature of card values and of coupons that state none; ISO 291 standard atmosphere, from memory
)


def rule(rules: Rules, name: str) -> float:
    """Value of a decision rule in its unit. CardError where `rules.toml` lacks it."""
    if name not in rules.values:
        raise CardError(f"the rule '{name}' is missing", where="rules.toml", do=f"State [values.{name}]")
    return rules.values[name].value


def rule_source(rules: Rules, name: str) -> str:
    """Where a decision rule comes from, with how far it can be trusted."""
    rule(rules, name)
    quantity = rules.values[name]
    return f"{quantity.source} ({quantity.confidence})"


def needed(card: MaterialCard, name: str) -> Quantity:
    """A property the calculation cannot do without. CardError where the card lacks it."""
    if name not in card.values:
        raise CardError(
            f"the card has no {name.replace('_', ' ')}",
            where=f"card {card.name}",
            do=f"State [values.{name}] with its source, or bring coupons",
        )
    return card.values[name]


def low_end(quantity: Quantity) -> float:
    """Lowest value the source leaves possible, in the unit of the quantity."""
    return quantity.value if quantity.low is None else quantity.low


def high_end(quantity: Quantity) -> float:
    """Highest value the source leaves possible, in the unit of the quantity."""
    return quantity.value if quantity.high is None else quantity.high
