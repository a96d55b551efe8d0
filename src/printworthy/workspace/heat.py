"""The TOML layout of heat: [[heat_source]] of vehicle.toml and [[heat]] of a part, and what must hold between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated, Any, Self

from pydantic import Field, model_validator

from printworthy import units
from printworthy.errors import InputError, TextError
from printworthy.inputs import Descent, HeatBody, HeatPath, HeatSource, HeatState, Held, Losses, Span, Stops
from printworthy.workspace import fields as f
from printworthy.workspace.fields import Table, refuse
from printworthy.workspace.files import Document
from printworthy.workspace.validate import near_spelling


def _span(dimension: str, least: float = 0.0, most: float = float("inf")) -> Any:
    """A quantity or a range of it, "8 to 20 W/(m^2*K)"."""

    def check(value: Span) -> str:
        return "" if least <= value[0] and value[1] <= most else f"does not lie from {least:g} to {most:g}"

    return f._reader(lambda text: units.span(text, dimension), check)


def _share(value: float) -> str:
    return "" if 0 < value <= 1 else "is not above 0 and at most 1"


Film = Annotated[Span, _span("film")]
ShareSpan = Annotated[Span, _span("ratio", 0.0, 1.0)]
PowerSpan = Annotated[Span, _span("power")]
SpecificHeat = Annotated[Span, _span("specific heat", 1.0)]
Share = Annotated[float, f._reader(f._quantity("ratio"), _share)]
Seconds = Annotated[float, f._reader(f._quantity("time"), f._positive)]
Velocity = Annotated[float, f._reader(f._quantity("speed"), f._positive)]
Weight = Annotated[float, f._reader(f._quantity("mass"), f._positive)]
Area = Annotated[float, f._reader(f._quantity("area"), f._positive)]
Irradiance = Annotated[float, f._reader(f._quantity("irradiance"), f._not_negative)]

DRIVES = ("stops", "descent", "losses", "temperature")
BODY = ("mass", "specific_heat", "area", "film")
PATHS = ("contact", "gap", "view", "film")


class StopsTable(Table):
    """stops = { ... }."""

    mass: Weight
    speed: Velocity
    share: ShareSpan
    count: int = Field(ge=1)
    interval: Seconds


class DescentTable(Table):
    """descent = { ... }."""

    mass: Weight
    height: f.Length
    share: ShareSpan
    duration: Seconds


class LossesTable(Table):
    """losses = { ... }."""

    power: PowerSpan
    duration: Seconds


class HeatSourceTable(Table):
    """[[heat_source]]: a body that grows hot, driven by exactly one thing."""

    name: f.Stated
    kind: HeatSource
    source: f.Stated
    emissivity: Share
    stops: StopsTable | None = None
    descent: DescentTable | None = None
    losses: LossesTable | None = None
    temperature: f.Temperature | None = None
    mass: Weight | None = None
    specific_heat: SpecificHeat | None = None
    area: Area | None = None
    film: Film | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if sum(getattr(self, name) is not None for name in DRIVES) != 1:
            raise refuse("a heat source is not driven by exactly one thing", f"Write one of {', '.join(DRIVES)}")
        missing = [name for name in BODY if getattr(self, name) is None]
        if self.temperature is None and missing:
            raise refuse(
                f"a heat source that is computed lacks {', '.join(missing)}", "Add it, or a measured temperature"
            )
        return self


class PathTable(Table):
    """[[heat.path]]: how heat reaches one face, by exactly one way."""

    face: f.Stated
    source: f.Text = ""
    contact: Film | None = None
    gap: f.Length | None = None
    view: Share | None = None
    film: Film | None = None
    shields: int = Field(0, ge=0, le=20)
    shield_emissivity: Share | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        ways = [name for name in PATHS if getattr(self, name) is not None]
        if len(ways) != 1:
            raise refuse(f"a path has {len(ways)} ways", f"Write exactly one of {', '.join(PATHS)}")
        if (ways[0] == "film") == bool(self.source):
            raise refuse(
                "film is to the air; contact, gap and view are to a heat source",
                "Leave the source out beside film, name one beside the others",
            )
        if self.shields and ways[0] not in ("gap", "view"):
            raise refuse(f"shields stand in a gap or a view, not in {ways[0]}", "Leave them out, or state the gap")
        if bool(self.shields) != (self.shield_emissivity is not None):
            raise refuse("shields and shield_emissivity belong together", "Write both or none")
        return self


class HeatTable(Table):
    """[[heat]]: one hot state of the part."""

    name: f.Stated
    source: f.Stated
    film: Film
    emissivity: Share
    air: f.Temperature | None = None
    sun: Irradiance = 0.0
    sun_from: f.Direction = (0.0, 0.0, 1.0)
    absorptance: Share = 1.0
    duration: Seconds | None = None
    path: list[PathTable] = Field(default_factory=list)

    @model_validator(mode="after")
    def _cooled(self) -> Self:
        if not self.film[0] > 0:
            raise refuse("the film coefficient of the free skin is zero", 'Write its range: film = "8 to 15 W/(m^2*K)"')
        return self


def heat_body(stated: HeatSourceTable, number: int, document: Document) -> HeatBody:
    """The record of a [[heat_source]]."""
    place = document.place("heat_source", number)
    drive: Stops | Descent | Losses | Held
    if stated.temperature is not None:
        drive = Held(stated.temperature)
        return HeatBody(stated.name, stated.kind, drive, stated.source, stated.emissivity, place=place)
    if stated.stops is not None:
        drive = Stops(**stated.stops.model_dump())
    elif stated.descent is not None:
        drive = Descent(**stated.descent.model_dump())
    else:
        assert stated.losses is not None  # the table holds exactly one drive
        drive = Losses(**stated.losses.model_dump())
    assert stated.mass is not None and stated.specific_heat is not None  # noqa: PT018  the table saw to all four
    assert stated.area is not None and stated.film is not None  # noqa: PT018
    return HeatBody(
        stated.name, stated.kind, drive, stated.source, stated.emissivity, stated.mass, stated.specific_heat,
        stated.area, stated.film, place,
    )  # fmt: skip


def heat_state(stated: HeatTable, number: int, document: Document) -> HeatState:
    """The record of a [[heat]]."""
    paths = tuple(
        HeatPath(
            **path.model_dump(exclude={"shield_emissivity"}),
            shield_emissivity=path.shield_emissivity or 1.0,
            place=document.place("heat", number, "path", inner),
        )
        for inner, path in enumerate(stated.path)
    )
    return HeatState(**stated.model_dump(exclude={"path"}), paths=paths, place=document.place("heat", number))


def check_heat(part: Document, machine: Document | None) -> Iterator[InputError]:
    """What must hold between a part's hot states and its faces, what is near it, and the vehicle's heat sources."""
    sources = {s.get("name"): s.get("kind") for s in _tables(machine.data if machine else {}, "heat_source")}
    near = part.data.get("near")
    kinds = {n.get("source") for n in near if isinstance(n, dict)} if isinstance(near, list) else set()
    faces = [name for name in part.data.get("faces", {}) if isinstance(name, str)]
    names: list[object] = []
    for i, state in enumerate(_tables(part.data, "heat")):
        if state.get("name") in names:
            do = "Give each hot state its own name"
            yield TextError(f'"{state.get("name")}" stands twice', where=part.place("heat", i, "name"), do=do)
        names.append(state.get("name"))
        seen: list[object] = []
        for j, path in enumerate(_tables(state, "path")):
            face, source = path.get("face"), path.get("source", "")
            at = part.place("heat", i, "path", j, "face")
            if face not in faces:
                do = f"{near_spelling(str(face), faces)}Name one of the part's faces"
                yield TextError(f'face "{face}" is not stated', where=at, do=do)
            if face in seen:
                yield TextError(
                    f'face "{face}" has two paths in one state', where=at, do="Join them, or split the face"
                )
            seen.append(face)
            at = part.place("heat", i, "path", j, "source")
            if source and source not in sources:
                do = f"{near_spelling(str(source), map(str, sources))}State it as [[heat_source]] in vehicle.toml"
                yield TextError(f'heat source "{source}" is not in vehicle.toml', where=at, do=do)
            elif source and sources[source] not in kinds:
                what = f'heat comes from "{source}", and near names no {sources[source]}'
                yield TextError(what, where=at, do=f'Add {{ source = "{sources[source]}", distance = "..." }} to near')


def _tables(data: Any, key: str) -> Sequence[dict[str, Any]]:
    """The tables of a repeated key; what is of another kind is reported by `validate`."""
    found = data.get(key)
    return [t for t in found if isinstance(t, dict)] if isinstance(found, list) else []


def check_sources(machine: Document) -> Iterator[InputError]:
    """Heat sources that share a name."""
    names: list[object] = []
    for i, source in enumerate(_tables(machine.data, "heat_source")):
        if source.get("name") in names:
            what = f'heat source "{source.get("name")}" stands twice'
            yield TextError(what, where=machine.place("heat_source", i, "name"), do="Give each its own name")
        names.append(source.get("name"))
