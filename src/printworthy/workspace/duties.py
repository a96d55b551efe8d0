"""How often a case or a ride event comes: its table and its record."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any, Self, get_args

from pydantic import Field, model_validator

from printworthy import units
from printworthy.errors import InputError, Place
from printworthy.inputs import (
    Cycle,
    Density,
    Duty,
    Full,
    Gravity,
    LifeUnit,
    LoadQuantity,
    Log,
    Shaking,
    SpectrumModel,
    Trials,
)
from printworthy.workspace import fields as f
from printworthy.workspace.fields import Table, refuse


def _ends(dimension: str) -> Any:
    """A quantity or a range of it, "2.3 to 4.2 m/s^2", above zero."""
    return f._reader(lambda text: units.span(text, dimension), lambda ends: "" if ends[0] > 0 else "is not above zero")


def _full(text: object) -> str | Full:
    """A number of the event by its key, or an acceleration or a force."""
    if isinstance(text, str) and text.replace("_", "").isalpha():
        return text
    for dimension in get_args(LoadQuantity):
        try:
            return Full(units.quantity(text, dimension), dimension)
        except InputError:
            continue
    do = 'Write a number of the event by its key ("sprung", "force"), or where the load acts in full ("3 g", "220 N")'
    raise refuse(f'"{text}" is neither an acceleration nor a force', do)


def _above_one(value: float) -> str:
    return "" if value >= 1.0 else "is below 1"


FullText = Annotated[str | Full, f._reader(_full)]
Rms = Annotated[tuple[float, float], _ends("acceleration")]
Crossings = Annotated[tuple[float, float], _ends("frequency")]
Crest = Annotated[tuple[float, float], _ends("ratio")]
Spread = Annotated[float, f._reader(f._quantity("ratio"), _above_one)]


class LevelTable(Table):
    """One entry of `levels`: cycles of a share of the case's load."""

    level: f.Level
    cycles: f.Count
    ratio: f.Swing = 0.0


class LogTable(Table):
    """log = { ... }: a measured course."""

    file: f.FileName
    column: f.Stated
    full: FullText
    gravity: Gravity | None = None
    covers: f.Ride | None = None


class TrialsTable(Table):
    """trials = { ... }: statistics of rides, one a row."""

    file: f.FileName
    rms: f.Stated
    crossings: f.Stated
    peak: f.Stated | None = None
    duration: f.Stated | None = None
    units: dict[str, f.Stated] = Field(default_factory=dict)
    only: dict[str, f.Stated] = Field(default_factory=dict)


class DensityTable(Table):
    """density = { ... }: a table of spectral density."""

    file: f.FileName
    column: f.Stated
    spread: Spread
    units: dict[str, f.Stated] = Field(default_factory=dict)


PEAKED = ("rms", "crossings", "crest", "over")
NEEDS = {"Rayleigh": PEAKED[:2], "Rayleigh and peaks": PEAKED, "Weibull": PEAKED, "Dirlik": ("density",)}


class ShakingTable(Table):
    """shaking = { ... }: statistics, and the model that is to make cycles of them."""

    model: SpectrumModel
    full: FullText
    gravity: Gravity
    share: f.Fraction
    speed: f.Speed | None = None
    rms: Rms | None = None
    crossings: Crossings | None = None
    crest: Crest | None = None
    over: f.Time | None = None
    trials: TrialsTable | None = None
    density: DensityTable | None = None

    @model_validator(mode="after")
    def _what_the_model_needs(self) -> Self:
        if self.gravity == "in it":
            raise refuse('statistics about their mean have no gravity "in it"', 'Write "to add", or "none"')
        needs = ("trials",) if self.trials is not None and self.model != "Dirlik" else NEEDS[self.model]
        given = [k for k in (*PEAKED, "trials", "density") if getattr(self, k) is not None]
        missing, odd = [k for k in needs if k not in given], [k for k in given if k not in needs]
        if missing:
            raise refuse(f"the model {self.model} has no {missing[0]}", f"It needs {', '.join(needs)}, or trials")
        if odd:
            raise refuse(f"the model {self.model} makes no use of {odd[0]}", f"It takes {', '.join(needs)}")
        wants_peaks = NEEDS[self.model] == PEAKED and self.trials is not None
        if self.trials is not None and wants_peaks != (self.trials.peak is not None):
            raise refuse(
                "peak and duration belong to the models that know peaks", "Name both columns there, and nowhere else"
            )
        if self.trials is not None and (self.trials.peak is None) != (self.trials.duration is None):
            raise refuse("peak and duration belong together", "Name the columns of both")
        return self


class DutyTable(Table):
    """[case.duty]: how often the case comes, each time up to its load or along a course of it."""

    per: LifeUnit
    source: f.Stated
    cycles: f.Count | None = None
    ratio: f.Swing | None = None
    history: list[f.Turning] = Field(default_factory=list)
    levels: list[LevelTable] = Field(default_factory=list)
    computed: bool = False
    log: LogTable | None = None
    shaking: ShakingTable | None = None

    @model_validator(mode="after")
    def _something_repeats(self) -> Self:
        if self.cycles is None and not (self.levels or self.log or self.shaking):
            do = "Add cycles = 40 (0 for a case that never repeats), levels, a log or a shaking"
            raise refuse("a duty says neither cycles nor levels", do)
        if self.history and (self.cycles is None or self.ratio is not None):
            do = "State cycles, how often the history is run through, and no ratio: the history has its own"
            raise refuse("a history needs cycles and has no ratio", do)
        courses = [k for k in ("history", "computed", "log") if getattr(self, k)]
        if len(courses) > 1:
            raise refuse(f"{' and '.join(courses)} are two courses of one load", "Keep one of them")
        if self.computed and (self.cycles is None or self.ratio is not None):
            raise refuse("a computed course needs cycles and has no ratio", "State cycles, how often the event comes")
        if self.log is not None and self.cycles is not None:
            raise refuse("a log says itself how often what comes", "Take cycles out, or the log")
        if self.log is not None and self.per == "km" and (self.log.covers is None or self.log.covers.per != "km"):
            raise refuse("how many km the log stands for is not stated", 'Add covers = "2.4 km" to the log')
        if self.shaking is not None and self.per == "km" and self.shaking.speed is None:
            raise refuse("cycles per km need the speed of the shaking", 'Add speed = "15 km/h" to it')
        return self


def duty(stated: DutyTable, place: Place) -> Duty:
    """A checked duty as a record; files that it names are still to be read."""
    times = stated.cycles or 0.0
    along = bool(stated.history or stated.computed)
    cycles = [] if along or stated.cycles is None else [Cycle.swing(1.0, stated.ratio or 0.0, times)]
    cycles += [Cycle.swing(level.level, level.ratio, level.cycles) for level in stated.levels]
    return Duty(
        stated.per, tuple(cycles), stated.source, tuple(stated.history), times if along else 0.0, place,
        log=_log(stated.log, place), shaking=_shaking(stated.shaking, place), computed=stated.computed,
    )  # fmt: skip


def _log(stated: LogTable | None, place: Place) -> Log | None:
    if stated is None:
        return None
    return Log(Path(stated.file), stated.column, stated.full, stated.gravity, stated.covers, place)


def _shaking(stated: ShakingTable | None, place: Place) -> Shaking | None:
    if stated is None:
        return None
    t, d = stated.trials, stated.density
    columns = {k: v for k in ("rms", "crossings", "peak", "duration") if (v := getattr(t, k, None)) is not None}
    return Shaking(
        stated.model, stated.full, stated.gravity, stated.share, stated.speed,
        stated.rms or (0.0, 0.0), stated.crossings or (0.0, 0.0), stated.crest, stated.over,
        trials=Trials(Path(t.file), columns, t.units, t.only) if t else None,
        density=Density(Path(d.file), d.column, d.units, d.spread) if d else None,
        place=place,
    )  # fmt: skip
