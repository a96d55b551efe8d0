"""The tables of joints in a part's file."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from printworthy.workspace import fields as f
from printworthy.workspace.fields import Table, refuse


class BoltTable(Table):
    """[[bolt]]."""

    name: f.Stated
    diameter: f.Length
    thickness: f.Length
    edge_distance: f.Length
    load: f.ForceOrNone
    preload: f.ForceOrNone = 0.0
    washer: f.Length | None = None
    sleeve: bool = False
    least_preload: f.Force | None = None


class InsertTable(Table):
    """[[insert]]."""

    name: f.Stated
    diameter: f.Length
    length: f.Length
    pull: f.Force
    pull_out: f.Force | None = None


class ClampTable(Table):
    """[[clamp]]."""

    name: f.Stated
    bore: f.Length
    width: f.Length
    bolts: int = Field(ge=1)
    preload: f.Force
    friction: f.Ratio
    torque: f.Moment


class PressFitTable(Table):
    """[[press_fit]]."""

    name: f.Stated
    diameter: f.Length
    outer: f.Length
    width: f.Length
    interference: f.Length
    friction: f.Ratio
    push: f.ForceOrNone = 0.0
    torque: f.Moment | None = None

    @model_validator(mode="after")
    def _has_a_wall(self) -> Self:
        if self.outer <= self.diameter:
            raise refuse("outer is not above diameter", "State the outer diameter of the plastic around the seat")
        if not self.push and not self.torque:
            raise refuse("neither push nor torque is stated", "State what the seat must hold")
        return self
