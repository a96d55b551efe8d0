"""docs/workspace.md says what the reader does: its examples are read, and no key, unit or column is left unsaid."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest
from pydantic import BaseModel
from sound import Sound

from printworthy import workspace
from printworthy.inputs import PROPERTIES, Confidence, CouponDirection
from printworthy.units import DIMENSIONS
from printworthy.workspace.cards import CardFile
from printworthy.workspace.coupons import MEASURED, OPTIONAL, REQUIRED
from printworthy.workspace.crosscheck import FORMATS
from printworthy.workspace.tables import PartFile, VehicleFile

PAGE = (Path(__file__).parents[2] / "docs" / "workspace.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL)


def test_the_examples_of_the_page_are_a_sound_workspace(sound: Sound) -> None:
    machine, part, card = blocks("toml")
    (sound.root / "vehicle.toml").write_text(machine, encoding="utf-8")
    (sound.root / "parts/foot-peg.toml").write_text(part, encoding="utf-8")
    (sound.root / "parts/foot-peg.stl").write_bytes(b"stands for a solid; the text alone is read here")
    other = (sound.root / "parts/lamp-bracket.toml").read_text(encoding="utf-8")
    for name in ("battery-tray", "tray-left", "tray-right"):  # parts that the machine's text names
        text = other.replace('name = "lamp-bracket"', f'name = "{name}"')
        (sound.root / f"parts/{name}.toml").write_text(text, encoding="utf-8")
    (sound.root / "cards").mkdir()
    (sound.root / "cards/my-petg.toml").write_text(card, encoding="utf-8")
    for number, table in enumerate(blocks("csv")):
        (sound.root / f"evidence/{number}.csv").write_text(table, encoding="utf-8")
    (sound.root / "evidence/petg.csv").unlink()
    assert sound.lines() == []
    job = workspace.read(sound.root)
    peg = next(part for part in job.parts if part.name == "foot-peg")
    assert len(peg.faces) == 5
    assert {load.kind for case in peg.cases for load in case.loads} == {
        "force", "bearing", "moment", "bearing moment", "pressure", "displacement", "gravity", "acceleration",
        "temperature",
    }  # fmt: skip
    assert {coupons.name: len(coupons.strengths) for coupons in job.coupons} == {"petg-up-1": 2, "petg-flat-1": 2}


def keys(table: type[BaseModel]) -> Iterator[str]:
    """Every key of a table and of the tables inside it."""
    for name, field in table.model_fields.items():
        yield name
        for inner in nested(field.annotation):
            yield from keys(inner)


def nested(annotation: object) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in get_args(annotation):
        yield from nested(part)


@pytest.mark.parametrize("table", [VehicleFile, PartFile, CardFile])
def test_every_key_stands_on_the_page(table: type[BaseModel]) -> None:
    code = "\n".join(blocks("toml"))
    assert [key for key in keys(table) if not re.search(rf"(?<![\w-]){key}(?![\w-])", code)] == []


@pytest.mark.parametrize("words", [REQUIRED, MEASURED, OPTIONAL, FORMATS, tuple(PROPERTIES), get_args(Confidence)])
def test_every_word_stands_on_the_page(words: tuple[str, ...]) -> None:
    assert [word for word in words if word not in PAGE] == []


def test_every_coupon_direction_stands_on_the_page() -> None:
    assert [word for word in get_args(CouponDirection) if f"`{word}`" not in PAGE] == []


def test_the_units_of_the_page_are_those_taken() -> None:
    table = dict(re.findall(r"^\| ([a-z, ]+) \| (.*) \|$", PAGE.split("## vehicle.toml")[0], re.MULTILINE))
    names = {"stress, pressure": "stress", "bedding stiffness": "stiffness_per_area"}
    for row, text in table.items():
        if row not in ("kind", "ratio"):
            taken = set(DIMENSIONS[names.get(row, row)].accepted)
            assert set(re.split(r",? \(.*?\)|, | or ", text)) - {""} == taken, row
