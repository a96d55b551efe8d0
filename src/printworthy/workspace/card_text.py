"""A material card written anew with other values: comments, order and all else as they stood."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import tomlkit

from printworthy.errors import CardError, Place
from printworthy.inputs import Quantity
from printworthy.workspace.cards import SHIPPED
from printworthy.workspace.files import read_text

_WRITTEN = {"g/cm3": "g/cm^3"}  # units as a card writes them, where they differ from those inside


def card_path(name: str, root: Path) -> Path:
    """The file that a card of the workspace `root` is read from: its own, else the shipped one. CardError where neither
    is there."""
    for folder in (root / "cards", SHIPPED / "materials"):
        if (folder / f"{name}.toml").is_file():
            return folder / f"{name}.toml"
    raise CardError(f"there is no card '{name}'", where=Place(root / "cards"), do="Name a card that parts use")


def free_name(name: str, root: Path) -> str:
    """A name under which the workspace has no file yet: `name` itself, which then goes before the shipped card, else
    `name-as-made`, `name-as-made-2`."""
    taken = [p.stem for p in (root / "cards").glob("*.toml")]
    names = [name, f"{name}-as-made", *(f"{name}-as-made-{n}" for n in range(2, len(taken) + 3))]
    return next(n for n in names if n not in taken)


def restated(path: Path, name: str, values: Mapping[str, Quantity]) -> str:
    """The text of the card in `path`, called `name`, with these values, each with source, range and standing."""
    document = tomlkit.parse(read_text(path))
    document["name"] = name
    for key, quantity in values.items():
        table = document["values"][key]
        unit = _WRITTEN.get(quantity.unit, quantity.unit)
        for field, number in (("value", quantity.value), ("low", quantity.low), ("high", quantity.high)):
            if number is not None:
                table[field] = f"{number:.5g} {unit}".strip()
        table["source"] = quantity.source
        table["confidence"] = quantity.confidence
    return tomlkit.dumps(document)
