"""The TOML layout of vehicle.toml and parts/NAME.toml: every table, every key, and what must hold inside one table.

What must hold between tables and files is in `crosscheck`.
"""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from printworthy.inputs import CaseKind, Consequence, HeatSource
from printworthy.workspace import fields as f
from printworthy.workspace import joint_tables as j
from printworthy.workspace import making_tables as m
from printworthy.workspace.beads import RasterTable
from printworthy.workspace.duties import DutyTable
from printworthy.workspace.fields import Table, refuse
from printworthy.workspace.heat import HeatSourceTable, HeatTable
from printworthy.workspace.heat_fields import Hot
from printworthy.workspace.hollow import FillTable
from printworthy.workspace.ride_tables import (
    EventTable,
    FrameTable,
    JointsTable,
    MassTable,
    MetalTable,
    MountingTable,
    RiderTable,
    WheelTable,
)

# ---- vehicle ---------------------------------------------------------------------------------------------------------


class ServiceTable(Table):
    """Coldest and hottest state in which the machine is used."""

    low: f.Temperature
    high: f.Temperature

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        if self.low > self.high:
            raise refuse("low is above high", "Exchange the two temperatures")
        return self


class VehicleFile(Table):
    """vehicle.toml."""

    name: f.Name
    service: ServiceTable
    title: f.Text = ""
    invented: bool = False
    note: f.Text = ""
    printer: m.PrinterTable | None = None
    printers: list[m.PoolPrinterTable] = Field(default_factory=list)
    operator: m.OperatorTable | None = None
    demand: m.DemandTable | None = None
    consolidation: list[m.ConsolidationTable] = Field(default_factory=list)
    heat_source: list[HeatSourceTable] = Field(default_factory=list)
    frame: FrameTable | None = None
    front: WheelTable | None = None
    rear: WheelTable | None = None
    mass: list[MassTable] = Field(default_factory=list)
    rider: RiderTable | None = None
    joints: JointsTable = JointsTable()
    event: list[EventTable] = Field(default_factory=list)
    metal: list[MetalTable] = Field(default_factory=list)

    @model_validator(mode="after")
    def _whole_or_none(self) -> Self:
        if self.frame is not None and (self.front is None or self.rear is None or not self.mass):
            raise refuse("a [frame] without both wheels and a mass", "Add [front], [rear] and [[mass]]")
        if self.frame is None and (self.event or self.front or self.rear or self.mass or self.rider):
            raise refuse("a ride without [frame]", "Add [frame] with wheelbase, rake, offset and grip")
        return self


# ---- geometry and faces ----------------------------------------------------------------------------------------------


class GeometryTable(Table):
    """[geometry]."""

    file: f.FileName
    unit: f.LengthUnit | None = None
    body: int | None = Field(None, ge=1)
    mend: bool = False
    element_size: f.Length | None = None


class CylinderTable(Table):
    """cylinder = { ... }."""

    point: f.Point
    axis: f.Direction
    radius: f.Length
    low: f.Position | None = None
    high: f.Position | None = None
    tolerance: f.Length | None = None

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        if self.low is not None and self.high is not None and self.low >= self.high:
            raise refuse("low is not below high along the axis", "Exchange the two, or correct them")
        return self


class PlaneTable(Table):
    """plane = { ... }."""

    point: f.Point
    normal: f.Direction
    tolerance: f.Length | None = None


class PatchTable(Table):
    """patch = { ... }."""

    point: f.Point
    tolerance: f.Length | None = None


class NearestTable(Table):
    """nearest = { ... }."""

    point: f.Point


class BoxTable(Table):
    """box = { ... }."""

    low: f.Point
    high: f.Point

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        if any(low > high for low, high in zip(self.low, self.high, strict=True)):
            raise refuse("low is above high in one direction", "Give the corner of smallest x, y, z as low")
        return self


class FaceTable(Table):
    """[faces.NAME]: exactly one selector."""

    cylinder: CylinderTable | None = None
    plane: PlaneTable | None = None
    patch: PatchTable | None = None
    nearest: NearestTable | None = None
    box: BoxTable | None = None
    patches: int | None = Field(None, ge=1)
    deflection_limit: f.Length | None = None

    @model_validator(mode="after")
    def _one_selector(self) -> Self:
        _exactly_one(self, ("cylinder", "plane", "patch", "nearest", "box"), "selector")
        return self


# ---- supports and loads ----------------------------------------------------------------------------------------------


class SupportTable(Table):
    """[[support]]."""

    face: f.Stated
    kind: Literal["fixed", "sliding", "foundation", "bolt hole"]
    stiffness: f.Stiffness | None = None
    tangential: f.Stiffness | None = None

    @model_validator(mode="after")
    def _stiffness_belongs(self) -> Self:
        if self.kind == "foundation" and self.stiffness is None:
            raise refuse("a foundation has no stiffness", 'Add stiffness = "500 N/mm^3" (pressure per movement)')
        if self.kind in ("fixed", "sliding") and (self.stiffness or self.tangential):
            raise refuse(f"a {self.kind} support has no stiffness", "Leave it out, or make the kind a foundation")
        return self


WITH_FACE = ("force", "bearing", "moment", "bearing_moment", "pressure", "displacement")
WITHOUT_FACE = ("gravity", "acceleration", "warming")


class LoadTable(Table):
    """[[case.load]]: exactly one kind of load."""

    face: f.Stated | None = None
    force: f.ForceVector | None = None
    bearing: f.ForceVector | None = None
    moment: f.MomentVector | None = None
    bearing_moment: f.MomentVector | None = None
    pressure: f.Pressure | None = None
    displacement: f.Movement | None = None
    gravity: f.Acceleration | None = None
    acceleration: f.Acceleration | None = None
    warming: f.Warming | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        kind = _exactly_one(self, WITH_FACE + WITHOUT_FACE, "kind of load")
        if kind in WITH_FACE and self.face is None:
            raise refuse(f"a {kind} has no face to act on", 'Add face = "NAME" of one of [faces.NAME]')
        if kind in WITHOUT_FACE and self.face is not None:
            raise refuse(f"{kind} acts on the whole part, not on a face", "Leave the face out")
        return self


class CaseTable(Table):
    """[[case]]."""

    name: f.Stated
    kind: CaseKind
    source: f.Stated
    load: list[LoadTable] = Field(min_length=1)
    duty: DutyTable | None = None


# ---- surroundings ----------------------------------------------------------------------------------------------------


class NearTable(Table):
    """One entry of `near`."""

    source: HeatSource
    distance: f.Length | None = None
    temperature: Hot | None = None
    temperature_source: f.Text = ""
    live_terminals: bool = False

    @model_validator(mode="after")
    def _temperature_has_a_source(self) -> Self:
        if self.temperature is not None and not self.temperature_source:
            raise refuse(
                "a temperature is stated without its source",
                'Say how it was found: temperature_source = "thermocouple, 2 rides"',
            )
        return self


# ---- part ------------------------------------------------------------------------------------------------------------


class PartFile(Table):
    """parts/NAME.toml."""

    role: f.Stated
    material: f.Stated
    geometry: GeometryTable
    fill: FillTable | None = None
    raster: RasterTable | None = None
    faces: dict[str, FaceTable] = Field(default_factory=dict)
    support: list[SupportTable] = Field(default_factory=list)
    case: list[CaseTable] = Field(default_factory=list)
    name: f.Name | None = None
    title: f.Text = ""
    alternatives: list[f.Stated] = Field(default_factory=list)
    build_direction: f.Direction | None = None
    extra_directions: list[f.Direction] = Field(default_factory=list)
    near: list[NearTable] | None = None
    heat: list[HeatTable] = Field(default_factory=list)
    exposure: list[Literal["sunlight", "fuel", "rain"]] = Field(default_factory=list)
    service: ServiceTable | None = None
    fitting: bool = False
    inspection: f.Stated = "none"
    proof_test_each: bool = False
    retirement_life: f.Age = ""
    inspection_interval: f.Ride | None = None
    design_life: f.Ride | None = None
    lasting_load: f.Hours | None = None
    consequence: Consequence | None = None
    consequence_reason: f.Text = ""
    load_factor: f.Ratio | None = None
    load_factor_reason: f.Text = ""
    note: f.Text = ""
    bolt: list[j.BoltTable] = Field(default_factory=list)
    insert: list[j.InsertTable] = Field(default_factory=list)
    clamp: list[j.ClampTable] = Field(default_factory=list)
    press_fit: list[j.PressFitTable] = Field(default_factory=list)
    making: m.PartMakingTable | None = None
    ride: MountingTable | None = None


def _exactly_one(table: Table, names: tuple[str, ...], what: str) -> str:
    stated = [name for name in names if getattr(table, name) is not None]
    if len(stated) != 1:
        found = f"{' and '.join(stated)} stand together" if stated else f"no {what}"
        raise refuse(f"{found}", f"Write exactly one {what}: {', '.join(names)}")
    return stated[0]
