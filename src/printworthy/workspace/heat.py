"""The TOML layout of heat: [[heat_source]] of vehicle.toml and [[heat]] of a part, and what must hold between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Self

from pydantic import Field, model_validator

from printworthy.errors import InputError, Place, TextError
from printworthy.inputs import Descent, HeatBody, HeatPath, HeatSource, HeatState, Held, Losses, Part, Stops, Vehicle
from printworthy.workspace import fields as f
from printworthy.workspace.fields import Table, refuse
from printworthy.workspace.files import Document
from printworthy.workspace.heat_fields import (
    Absorptance,
    Area,
    BodyMass,
    Emissivity,
    Film,
    Gap,
    Height,
    Hot,
    Irradiance,
    PowerSpan,
    Seconds,
    ShareSpan,
    SpecificHeat,
    Velocity,
    View,
    Weight,
)
from printworthy.workspace.validate import near_spelling

DRIVES = ("stops", "descent", "losses", "temperature")
BODY = ("mass", "specific_heat", "area", "film")
PATHS = ("contact", "gap", "view", "film")
SINKING = (20.0, 15e3)  # [mm/s] downwards of a descent: a walk on a slope of 2 %, and a fall


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
    height: Height
    share: ShareSpan
    duration: Seconds

    @model_validator(mode="after")
    def _ridden(self) -> Self:
        least, most = SINKING
        if not least <= self.height / self.duration <= most:
            what = f"a descent of {self.height / 1e3:g} m in {self.duration / 60:.3g} min is none that is ridden"
            raise refuse(what, "Check height and duration and their units")
        return self


class LossesTable(Table):
    """losses = { ... }."""

    power: PowerSpan
    duration: Seconds


class HeatSourceTable(Table):
    """[[heat_source]]: a body that grows hot, driven by exactly one thing."""

    name: f.Stated
    kind: HeatSource
    source: f.Stated
    emissivity: Emissivity
    stops: StopsTable | None = None
    descent: DescentTable | None = None
    losses: LossesTable | None = None
    temperature: Hot | None = None
    mass: BodyMass | None = None
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
    gap: Gap | None = None
    view: View | None = None
    film: Film | None = None
    shields: int = Field(0, ge=0, le=20)
    shield_emissivity: Emissivity | None = None

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
    emissivity: Emissivity
    air: f.Temperature | None = None
    sun: Irradiance = 0.0
    sun_from: f.Direction = (0.0, 0.0, 1.0)
    absorptance: Absorptance = 1.0
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


def check_cold(vehicle: Vehicle, parts: Sequence[Part]) -> Iterator[InputError]:
    """Measured temperatures of what is hot that are not above the hottest air: measured on another day."""
    for body in vehicle.heat_bodies:
        if isinstance(body.drive, Held) and body.drive.temperature < vehicle.service_high:
            what = f'"{body.name}" at {body.drive.temperature:g} degC'
            yield _cold(what, vehicle.service_high, body.place or "")
    for part in parts:
        high = vehicle.service_high if part.service_high is None else part.service_high
        for near in part.near or ():
            if near.temperature is not None and near.temperature < high:
                yield _cold(f"{near.temperature:g} degC near the {near.source}", high, part.place or "")


def _cold(what: str, high: float, where: Place | str) -> InputError:
    do = "State the temperature of the hottest day: what was measured plus the difference in air"
    return TextError(f"{what} is colder than the hot end of service, {high:g} degC", where=where, do=do)
