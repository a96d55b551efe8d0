"""Printer, process and price cards, shipped or of a workspace, and what vehicle.toml says about making.

A workspace may hold printers/NAME.toml, processes/NAME.toml and prices.toml; the same name wins, value by value for
prices.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from pathlib import Path

from pydantic import Field

from printworthy import units
from printworthy.errors import CardError, InputError, TextError
from printworthy.inputs import (
    PRICE_VALUES,
    PRINTER_VALUES,
    PROCESS_VALUES,
    Bought,
    Consolidation,
    Demand,
    MakingCard,
    MaterialCard,
    Operator,
    PartMaking,
    PoolPrinter,
    Prices,
    Quantity,
    Quote,
    Vehicle,
    Workshop,
)
from printworthy.workspace import fields as f
from printworthy.workspace import tables as t
from printworthy.workspace.cards import SHIPPED, ValueTable, sourced
from printworthy.workspace.fields import Table
from printworthy.workspace.files import Document, read_toml
from printworthy.workspace.making_tables import DemandTable, PartMakingTable
from printworthy.workspace.validate import near_spelling, validate

DEFAULT_PRINTER = "closed-machine"


class MakingFile(Table):
    """printers/NAME.toml, processes/NAME.toml."""

    name: f.Name
    title: f.Stated
    values: dict[str, ValueTable] = Field(default_factory=dict)
    material: f.Text = ""
    notes: list[f.Stated] = Field(default_factory=list)


class PricesFile(Table):
    """prices.toml."""

    values: dict[str, ValueTable] = Field(default_factory=dict)
    materials: dict[str, ValueTable] = Field(default_factory=dict)


def collect(
    root: Path, document: Document, stated: t.VehicleFile, vehicle: Vehicle, cards: Mapping[str, MaterialCard],
    names: Collection[str],
) -> tuple[Workshop, list[InputError]]:  # fmt: skip
    """The workshop of a workspace whose parts are called `names`, and every problem in its files."""
    problems: list[InputError] = []
    printers = _cards(root, "printers", PRINTER_VALUES, problems)
    processes = _cards(root, "processes", PROCESS_VALUES, problems)
    prices = _prices(root, cards, problems)
    for card in processes.values():
        if card.material not in cards:
            do = near_spelling(card.material, cards) or "Name a material card"
            problems.append(CardError(f'process "{card.name}" names the material "{card.material}"', do=do))
    pool = tuple(_pool(document, stated, printers, cards, problems))
    if not pool:
        pool = (PoolPrinter("printer", DEFAULT_PRINTER, vehicle.printer.build_space),)
    operator = Operator(stated.operator.start, stated.operator.end, stated.operator.days) if stated.operator else None
    demand = _demand(stated.demand, document) if stated.demand else None
    merged = tuple(
        Consolidation(
            **{**c.model_dump(), "parts": tuple(c.parts), "bought": tuple(Bought(**b.model_dump()) for b in c.bought)},
            place=document.place("consolidation", n),
        )
        for n, c in enumerate(stated.consolidation)
    )
    densities = {name: card.values["density"] for name, card in cards.items() if "density" in card.values}
    problems += [problem for n, one in enumerate(merged) for problem in _merged(document, n, one, names)]
    made = Workshop(printers, processes, prices, densities, pool, operator or Operator(), demand, merged)
    return made, problems


def _merged(document: Document, n: int, stated: Consolidation, names: Collection[str]) -> Iterator[InputError]:
    """Parts that a consolidation names and that are not there."""
    for key, named in (("into", (stated.into,)), ("parts", stated.parts)):
        for name in named:
            if name not in names:
                do = near_spelling(name, names) + f"Parts are: {', '.join(names)}"
                yield TextError(f'there is no part "{name}"', where=document.place("consolidation", n, key), do=do)


def _demand(stated: DemandTable, document: Document) -> Demand:
    """What is wanted; `model_dump` would take a span of ride apart."""
    rest = stated.model_dump(exclude={"ride_a_year"})
    return Demand(**rest, ride_a_year=stated.ride_a_year, place=document.place("demand"))


def part_making(stated: PartMakingTable | None, document: Document) -> PartMaking:
    """How a part is made and wanted; as usual where nothing is stated."""
    if stated is None:
        return PartMaking()
    quotes = tuple(
        Quote(**q.model_dump(), place=document.place("making", "quote", n)) for n, q in enumerate(stated.quote)
    )
    rest = stated.model_dump(exclude={"quote"})
    return PartMaking(**rest, quotes=quotes, place=document.place("making"))


def _cards(root: Path, folder: str, known: Mapping[str, str], problems: list[InputError]) -> dict[str, MakingCard]:
    found: dict[str, MakingCard] = {}
    for place, inside in ((SHIPPED / folder, None), (root / folder, root)):
        for path in sorted(place.glob("*.toml")):
            try:
                document = read_toml(path, inside)
            except InputError as error:
                problems.append(error)
                continue
            table, wrong = validate(document, MakingFile)
            problems += wrong
            if table is None:
                continue
            if table.name != path.stem:
                what = f'the card is called "{table.name}"'
                problems.append(CardError(what, where=document.place("name"), do="Rename the file or the card"))
            values = dict(_values(document, "values", table.values, known, problems))
            found[table.name] = MakingCard(table.name, table.title, values, table.material, tuple(table.notes))
    return found


def _values(
    document: Document, group: str, tables: Mapping[str, ValueTable], known: Mapping[str, str],
    problems: list[InputError],
) -> Iterator[tuple[str, Quantity]]:  # fmt: skip
    """Values of a card by name, each in the inside unit of its dimension."""
    for name, stated in tables.items():
        where = document.place(group, name)
        if name not in known:
            do = near_spelling(name, known) or f"Known are: {', '.join(known)}"
            problems.append(CardError(f'"{name}" is not a value of this card', where=where, do=do))
            continue
        try:
            quantity = sourced(document, (group, name), stated, known[name], units.DIMENSIONS[known[name]].unit)
        except InputError as error:
            problems.append(error)
            continue
        if min(quantity.value, quantity.value if quantity.low is None else quantity.low) < 0:
            problems.append(CardError("is below zero", where=where, do="Leave a value out that is not known"))
            continue
        yield name, quantity


def _prices(root: Path, cards: Mapping[str, MaterialCard], problems: list[InputError]) -> Prices:
    values: dict[str, Quantity] = {}
    materials: dict[str, Quantity] = {}
    for path, inside in ((SHIPPED / "prices.toml", None), (root / "prices.toml", root)):
        if inside is not None and not path.exists():
            continue
        try:
            document = read_toml(path, inside)
        except InputError as error:
            problems.append(error)
            continue
        table, wrong = validate(document, PricesFile)
        problems += wrong
        if table is not None:
            values.update(_values(document, "values", table.values, PRICE_VALUES, problems))
            by_name = dict.fromkeys(cards, "money by mass")
            materials.update(_values(document, "materials", table.materials, by_name, problems))
    return Prices(values, materials)


def _pool(
    document: Document, stated: t.VehicleFile, printers: Mapping[str, MakingCard], cards: Mapping[str, MaterialCard],
    problems: list[InputError],
) -> Iterator[PoolPrinter]:  # fmt: skip
    names: set[str] = set()
    for n, p in enumerate(stated.printers):
        if p.card not in printers:
            do = near_spelling(p.card, printers) + f"Known are: {', '.join(printers)}"
            where = document.place("printers", n, "card")
            problems.append(CardError(f'there is no printer card "{p.card}"', where=where, do=do))
            continue
        if p.name in names:
            where = document.place("printers", n, "name")
            problems.append(CardError(f'two printers are called "{p.name}"', where=where, do="Rename one"))
        names.add(p.name)
        for material in p.materials:
            if material not in cards:
                where = document.place("printers", n, "materials")
                do = near_spelling(material, cards) or "Name material cards"
                problems.append(CardError(f'material "{material}" is not known', where=where, do=do))
        place = document.place("printers", n)
        yield PoolPrinter(p.name, p.card, p.build_space, p.count, tuple(p.materials), place)
