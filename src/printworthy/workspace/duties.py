"""How often a case or a ride event comes: its table and its record."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from printworthy.errors import Place
from printworthy.inputs import Cycle, Duty, LifeUnit
from printworthy.workspace import fields as f
from printworthy.workspace.fields import Table, refuse


class LevelTable(Table):
    """One entry of `levels`: cycles of a share of the case's load."""

    level: f.Level
    cycles: f.Count
    ratio: f.Swing = 0.0


class DutyTable(Table):
    """[case.duty]: how often the case comes, each time up to its load or along a course of it."""

    per: LifeUnit
    source: f.Stated
    cycles: f.Count | None = None
    ratio: f.Swing | None = None
    history: list[f.Turning] = Field(default_factory=list)
    levels: list[LevelTable] = Field(default_factory=list)

    @model_validator(mode="after")
    def _something_repeats(self) -> Self:
        if self.cycles is None and not self.levels:
            raise refuse("a duty says neither cycles nor levels", "Add cycles = 40 (0 for a case that never repeats)")
        if self.history and (self.cycles is None or self.ratio is not None):
            do = "State cycles, how often the history is run through, and no ratio: the history has its own"
            raise refuse("a history needs cycles and has no ratio", do)
        return self


def duty(stated: DutyTable, place: Place) -> Duty:
    """A checked duty as a record."""
    times = stated.cycles or 0.0
    cycles = [] if stated.history else [Cycle.swing(1.0, stated.ratio or 0.0, times)]
    cycles += [Cycle.swing(level.level, level.ratio, level.cycles) for level in stated.levels]
    passes = times if stated.history else 0.0
    return Duty(stated.per, tuple(cycles), stated.source, tuple(stated.history), passes, place)
