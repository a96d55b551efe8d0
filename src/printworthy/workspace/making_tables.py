"""The TOML layout of what a workspace says about making: printers, people, demand, offers."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from printworthy.workspace import fields as f
from printworthy.workspace.fields import Table, refuse


class PrinterTable(Table):
    """[printer]: what can be printed in."""

    build_space: f.Sizes
    layer_height: f.Length
    overhang_angle: f.Overhang = 45.0


class PoolPrinterTable(Table):
    """[[printers]]: one kind of machine in the pool."""

    name: f.Name
    build_space: f.Sizes
    card: f.Stated = "closed-machine"
    count: int = Field(1, ge=1)
    materials: list[f.Stated] = Field(default_factory=list)


class OperatorTable(Table):
    """[operator]: when somebody is there."""

    start: f.TimeOfDay = 8 * 3600.0
    end: f.TimeOfDay = 17 * 3600.0
    days: int = Field(5, ge=1, le=7)

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        if self.start >= self.end:
            raise refuse("start is not before end", "Give hours of one day")
        return self


class DemandTable(Table):
    """[demand]: what is wanted of the vehicle and its spares."""

    vehicles: int = Field(1, ge=0)
    a_year: f.YearlyRate = 0.0
    fleet: int = Field(0, ge=0)
    years: f.Years = 0.0
    design_changes: f.YearlyRate = 0.0
    absence: f.Time | None = None
    kit_mass: f.Mass | None = None
    printer_mass: f.Mass | None = None
    printer_works: f.Fraction | None = None
    due: f.Time | None = None
    ride_a_year: f.Ride | None = None


class BoughtTable(Table):
    """[[consolidation.bought]]: a piece that is not printed and goes."""

    name: f.Stated
    source: f.Stated
    mass: f.Mass | None = None
    price: f.Money | None = None


class ConsolidationTable(Table):
    """[[consolidation]]: several parts made as one."""

    name: f.Stated
    into: f.Stated
    parts: list[f.Stated] = Field(default_factory=list)
    bought: list[BoughtTable] = Field(default_factory=list)
    fasteners: int = Field(0, ge=0)
    seals: int = Field(0, ge=0)
    fastener_mass: f.Mass | None = None
    fastener_price: f.Money | None = None
    seal_price: f.Money | None = None
    assembly: f.Time | None = None

    @model_validator(mode="after")
    def _something_goes(self) -> Self:
        if not self.parts and not self.bought:
            raise refuse("nothing is made into one", "State parts, or [[consolidation.bought]]")
        return self


class QuoteTable(Table):
    """[[making.quote]]: an offer."""

    process: f.Stated
    source: f.Stated
    tooling: f.Money | None = None
    piece: f.Money | None = None
    lead_time: f.Time | None = None
    pieces: f.YearlyRate | None = None
    minimum_order: int | None = Field(None, ge=1)


class PartMakingTable(Table):
    """[making] of a part."""

    quantity: int = Field(1, ge=0)
    due: f.Time | None = None
    walls: int = Field(3, ge=1)
    failure_rate: f.YearlyRate | None = None
    failure_source: f.Text = ""
    quote: list[QuoteTable] = Field(default_factory=list)

    @model_validator(mode="after")
    def _rate_has_a_source(self) -> Self:
        if self.failure_rate is not None and not self.failure_source:
            raise refuse("a failure rate is stated without its source", 'Add failure_source = "..."')
        return self
