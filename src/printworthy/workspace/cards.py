"""Material cards: one TOML file each, shipped with the package or kept in a workspace, where the same name wins."""

from __future__ import annotations

import math
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal

from pydantic import Field

from printworthy import units
from printworthy.errors import CardError, InputError
from printworthy.inputs import PROPERTIES, Confidence, MaterialCard, Quantity
from printworthy.workspace import fields as f
from printworthy.workspace.fields import Table
from printworthy.workspace.files import Document, read_toml
from printworthy.workspace.orthotropic import completed, faults
from printworthy.workspace.problems import WorkspaceProblems
from printworthy.workspace.validate import near_spelling, validate

SHIPPED = Path(str(files("printworthy"))) / "cards"

# The dimension of `units` behind each unit of PROPERTIES.
_DIMENSIONS: Mapping[str, str] = {
    "MPa": "stress",
    "": "ratio",
    "g/cm3": "density",
    "degC": "temperature",
    "1/K": "expansion",
    "MPa m^0.5": "toughness",
    "W/(m K)": "conductivity",
    "J/(kg K)": "specific heat",
    "s": "time",
}
_MAY_BE_NEGATIVE = ("temperature", "expansion")
_NOT_FOR_METALS = (
    "toughness",
    "through",
    "between_layers",
    "shear_in_layer",
    "compression_in_layer",
    "strength_in_layer",
    "along",
    "across",
    "shear_modulus",
)


class ValueTable(Table):
    """A number with its source: [values.NAME]."""

    value: Any
    source: f.Stated
    confidence: Confidence
    low: Any = None
    high: Any = None
    date: f.Text = ""


class CardFile(Table):
    """A material card."""

    name: f.Name
    title: f.Stated
    kind: Literal["printed polymer", "metal"]
    values: dict[str, ValueTable] = Field(min_length=1)
    moisture_state: f.Text = ""
    electrically_conductive: bool = False
    flame_rating: f.Text = ""
    example_only: bool = False
    notes: list[f.Stated] = Field(default_factory=list)


def read_cards(root: Path | None = None) -> dict[str, MaterialCard]:
    """Shipped cards, and those of the workspace at `root`, which override by name.

    Raises:
        WorkspaceProblems: everything that is wrong in any card.
    """
    cards, problems = collect_cards(root)
    if problems:
        raise WorkspaceProblems(root or SHIPPED, problems)
    return cards


def collect_cards(root: Path | None = None) -> tuple[dict[str, MaterialCard], list[InputError]]:
    """Every sound card by name, and every problem."""
    cards: dict[str, MaterialCard] = {}
    problems: list[InputError] = []
    places = [(SHIPPED / "materials", None)] + ([(root / "cards", root)] if root else [])
    for folder, inside in places:
        for path in sorted(folder.glob("*.toml")):
            try:
                document = read_toml(path, inside)
            except InputError as error:
                problems.append(error)
                continue
            card, wrong = read_card(document)
            problems += wrong
            if card is not None:
                cards[card.name] = card
    return cards, problems


def read_card(document: Document) -> tuple[MaterialCard | None, list[InputError]]:
    """The card in a document, or None and everything that is wrong with it."""
    table, wrong = validate(document, CardFile)
    problems: list[InputError] = list(wrong)
    if table is None:
        return None, problems
    if table.name != document.path.stem:
        do = "Rename the file or the card"
        problems.append(CardError(f'the card is called "{table.name}"', where=document.place("name"), do=do))
    values: dict[str, Quantity] = {}
    for name, stated in table.values.items():
        try:
            values[name] = _property(document, table.kind, name, stated)
        except InputError as error:
            problems.append(error)
    if not problems and (impossible := elastic_fault(table.kind, {name: q.value for name, q in values.items()})):
        do = "Correct the modulus or the Poisson ratio"
        problems.append(CardError(impossible, where=document.place("values"), do=do))
    if not problems:
        wrongs = faults(values)
        problems += [CardError(x.what, where=document.place("values", *x.at), do=x.do) for x in wrongs]
    if problems:
        return None, problems
    values = completed(values)
    rest = table.model_dump(exclude={"values", "notes"})
    return MaterialCard(values=values, notes=tuple(table.notes), **rest), []


def _property(document: Document, kind: str, name: str, stated: ValueTable) -> Quantity:
    """One property of a card in the unit of PROPERTIES."""
    where = document.place("values", name)
    if name not in PROPERTIES:
        do = near_spelling(name, PROPERTIES) or f"Known are: {', '.join(PROPERTIES)}"
        raise CardError(f'"{name}" is not a property', where=where, do=do)
    if kind == "metal" and any(word in name for word in _NOT_FOR_METALS):
        do = "A metal has modulus_in_layer, poisson_in_layer, yield_strength, ultimate_strength and the like"
        raise CardError(f'a metal has no "{name}"', where=where, do=do)
    dimension = _DIMENSIONS[PROPERTIES[name]]
    quantity = sourced(document, ("values", name), stated, dimension, PROPERTIES[name])
    smallest = quantity.value if quantity.low is None else min(quantity.value, quantity.low)
    if smallest <= 0.0 and dimension not in _MAY_BE_NEGATIVE and not name.startswith("poisson"):
        raise CardError("is not above zero", where=where, do="Leave a property out that is not known")
    return quantity


def sourced(document: Document, path: tuple[str, ...], stated: ValueTable, dimension: str, unit: str) -> Quantity:
    """A stated value with its source; value, low and high in `unit`, which must be the inside unit of `dimension`.

    Raises:
        CardError: not a quantity of the dimension, or low <= value <= high does not hold.
    """
    numbers: dict[str, float | None] = {}
    for key in ("value", "low", "high"):
        text = getattr(stated, key)
        try:
            numbers[key] = None if text is None else units.quantity(text, dimension)
        except InputError as error:
            raise CardError(error.what, where=document.place(*path, key), do=error.do) from error
    value, low, high = numbers["value"], numbers["low"], numbers["high"]
    if value is None or (low is not None and low > value) or (high is not None and high < value):
        do = "low <= value <= high must hold"
        raise CardError("the value is outside its own low and high", where=document.place(*path, "value"), do=do)
    return Quantity(value, unit, stated.source, stated.confidence, low, high, stated.date)


def elastic_fault(kind: str, values: Mapping[str, float]) -> str:
    """Which condition for positive strain energy fails, or "" when none does or constants are missing.

    Transversely isotropic about axis 3, with nu13 the contraction along 3 when pulled along 1 (so nu31 = nu13 E3 / E1):
    the compliance is positive definite exactly if the moduli are positive, |nu12| < 1 and
    1 - nu12 - 2 nu13^2 E3 / E1 > 0. Source: Lempriere, AIAA Journal 6 (1968) 2226, from memory; the isotropic limit
    E1 = E3, nu12 = nu13 gives the known -1 < nu < 1/2.
    """
    nu12, nu13 = values.get("poisson_in_layer"), values.get("poisson_through")
    if kind == "metal":
        return "" if nu12 is None or -1.0 < nu12 < 0.5 else f"-1 < nu < 1/2 fails: poisson_in_layer = {nu12:g}"
    if nu12 is not None and not abs(nu12) < 1.0:
        return f"|nu12| < 1 fails: poisson_in_layer = {nu12:g}"
    in_layer, through = values.get("modulus_in_layer"), values.get("modulus_through")
    if nu12 is None or nu13 is None or in_layer is None or through is None:
        return ""
    if not abs(nu13) < math.sqrt(in_layer / through):
        return f"|nu13| < sqrt(E1 / E3) fails: {abs(nu13):g} against {math.sqrt(in_layer / through):.4g}"
    left = 1.0 - nu12 - 2.0 * nu13**2 * through / in_layer
    return "" if left > 0.0 else f"1 - nu12 - 2 nu13^2 E3 / E1 > 0 fails: it is {left:.4g}"
