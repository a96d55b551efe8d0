"""The TOML table [raster]: how the beads of a part lie; and what it must agree with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Self

from pydantic import BeforeValidator, Field, model_validator

from printworthy import units
from printworthy.errors import InputError, TextError
from printworthy.inputs import MaterialCard, Raster
from printworthy.workspace import fields as f
from printworthy.workspace.fields import Table, refuse
from printworthy.workspace.files import Document

CHOOSE = "choose"
HOW = 'Write angle = "30 deg", or angle = "choose" to have it chosen for each build direction'
MOST = 12  # layers before the pattern comes again


def _angle(text: object) -> float | None:
    """An angle [deg], or None for one that is to be chosen."""
    if text == CHOOSE:
        return None
    try:
        return units.quantity(text, "angle")
    except InputError as error:
        raise refuse(error.what, HOW) from error


class RasterTable(Table):
    """[raster]."""

    angle: Annotated[float | None, BeforeValidator(_angle)]
    layers: list[f.Angle] = Field(default_factory=lambda: [0.0], min_length=1, max_length=MOST)

    @model_validator(mode="after")
    def _turns(self) -> Self:
        if len(self.layers) > 1 and len({a % 180.0 for a in self.layers}) == 1:
            raise refuse("all layers lie alike", "Leave layers out, and state the angle alone")
        if len(self.layers) == 1 and self.layers[0] % 180.0:
            raise refuse("one layer that is turned by itself", "Leave layers out, and add its turn to the angle")
        return self


def raster(stated: RasterTable | None, document: Document) -> Raster | None:
    """How the beads lie, as stated."""
    if stated is None:
        return None
    return Raster(stated.angle, tuple(stated.layers), document.place("raster"))


def check_raster(document: Document, cards: Mapping[str, MaterialCard]) -> Iterator[InputError]:
    """Materials that tell along the beads from across them in a part that says nothing of them, and the reverse."""
    data: Mapping[str, Any] = document.data
    others = data.get("alternatives")
    named = [data.get("material"), *(others if isinstance(others, list) else [])]
    beaded = [name for name in named if isinstance(name, str) and name in cards and cards[name].orthotropic]
    known = [name for name in named if isinstance(name, str) and name in cards]
    if beaded and "raster" not in data:
        what = f"card {beaded[0]} tells along the beads from across them, and no [raster] says how they lie"
        yield TextError(what, where=document.place("material"), do=f"Add [raster]. {HOW}")
    if "raster" in data and known and not beaded:
        what = f"card {known[0]} is alike all round in its layers: [raster] would change nothing"
        yield TextError(
            what, where=document.place("raster"), do="Leave [raster] out, or name a card with nine constants"
        )
