"""The TOML table [fill]: walls and infill."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from printworthy.inputs import LAW_RANGE
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
