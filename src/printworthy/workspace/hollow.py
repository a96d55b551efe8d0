"""The TOML table [fill]: walls and infill; and what a wall must hold."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Self

from pydantic import model_validator

from printworthy.errors import InputError, TextError
from printworthy.inputs import LAW_RANGE, Part, Vehicle, Workshop
from printworthy.workspace import fields as f
from printworthy.workspace.fields import Table, refuse


class FillTable(Table):
    """[fill]: walls and infill."""

    wall: f.Length
    density: f.Filled
    stiffness: f.Filled | None = None
    strength: f.Filled | None = None
    source: f.Text = ""

    @model_validator(mode="after")
    def _shares_known(self) -> Self:
        low, high = LAW_RANGE
        if (self.stiffness is None) != (self.strength is None):
            raise refuse("one share of the infill stands alone", "State stiffness and strength, or neither")
        if self.stiffness is not None and not self.source:
            raise refuse("measured shares stand without their source", 'Add source = "how they were measured"')
        if self.stiffness is None and not low <= self.density <= high:
            raise refuse(
                f"no law is known for infill of {self.density:.3g}: it holds from {low:g} to {high:g}",
                "Measure the infill's stiffness and strength as shares of the solid print and state them",
            )
        return self


def check_fill(part: Part, machine: Vehicle, workshop: Workshop) -> Iterator[InputError]:
    """Walls that cannot be laid: thinner than one bead, or than one layer."""
    fill, card = part.fill, workshop.printer_of(part.material)
    if fill is None:
        return
    bead, layer = card.number("bead_width") if card else None, machine.printer.layer_height
    if bead is not None and fill.wall < bead:
        what, do = f"a wall of {fill.wall:g} mm is thinner than a bead of {bead:g} mm", "State one bead or more"
        yield TextError(what, where=fill.place or "", do=do)
    elif fill.wall < layer:
        what, do = f"a wall of {fill.wall:g} mm is thinner than a layer of {layer:g} mm", "State one layer or more"
        yield TextError(what, where=fill.place or "", do=do)
