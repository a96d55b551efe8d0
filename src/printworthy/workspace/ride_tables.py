"""The TOML layout of the ride: the mechanism and its events in vehicle.toml, a part's place in parts/NAME.toml."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from printworthy.inputs import Carrier, EventKind, Side
from printworthy.workspace import fields as f
from printworthy.workspace import ride_fields as r
from printworthy.workspace.duties import DutyTable
from printworthy.workspace.fields import Table, refuse


class FrameTable(Table):
    """[frame]: the geometry of the single-track vehicle."""

    wheelbase: r.Wheelbase
    rake: f.Steep
    offset: r.Offset
    grip: r.Grip


class SuspensionTable(Table):
    """[front.suspension], [rear.suspension]: as felt at the wheel."""

    rate: r.SpringRate
    travel: r.Travel
    bump: r.Damping
    rebound: r.Damping
    stop_rate: r.StopRate
    stop_length: f.Length

    @model_validator(mode="after")
    def _stop_inside(self) -> Self:
        if self.stop_length >= self.travel:
            raise refuse("the bump stop is as long as the travel", "Give the last part of the travel as stop_length")
        return self


class WheelTable(Table):
    """[front], [rear]."""

    radius: r.Radius
    mass: r.Unsprung
    tyre_rate: r.TyreRate | None = None
    tyre_damping: r.Damping = 0.0
    rigid: bool = False
    suspension: SuspensionTable | None = None

    @model_validator(mode="after")
    def _one_of_them(self) -> Self:
        if self.rigid and self.suspension is not None:
            raise refuse("a rigid wheel has no suspension", "Leave one of the two out")
        return self


class MassTable(Table):
    """[[mass]]: what the springs carry, without the rider."""

    name: f.Stated
    mass: r.Sprung
    centre: r.Place
    gyration: r.Gyration | None = None


class RiderTable(Table):
    """[rider]."""

    mass: r.RiderMass
    seated: r.Place
    standing: r.Place
    leg_rate: r.BodyRate | None = None
    leg_damping: r.Damping = 0.0
    seat_rate: r.BodyRate | None = None
    seat_damping: r.Damping = 0.0


class JointsTable(Table):
    """[joints]: of a pair, the left one."""

    pegs: r.Place | None = None
    seat: r.Place | None = None
    grips: r.Place | None = None
    risers: r.Place | None = None
    pivot: r.Place | None = None
    damper_low: r.Place | None = None
    damper_high: r.Place | None = None
    lower_bearing: r.BearingHeight | None = None
    upper_bearing: r.BearingHeight | None = None
    leg_spacing: r.Spacing | None = None
    disc_radius: r.Disc | None = None
    sprocket_radius: r.Disc | None = None
    front_sprocket: r.Place | None = None

    @model_validator(mode="after")
    def _left(self) -> Self:
        wrong = [n for n in ("pegs", "grips", "risers") if (at := getattr(self, n)) is not None and at[1] <= 0]
        if wrong:
            raise refuse(f"{wrong[0]} must be the place of the left one, y above 0", "The right one mirrors it")
        return self


class EventTable(Table):
    """[[event]]: which keys belong to which kind, the ride itself knows."""

    name: f.Stated
    kind: EventKind
    source: f.Stated
    factor: r.EventFactor = 1.0
    judged: bool = True
    posture: f.Text | None = None
    brakes: f.Text | None = None
    wheel: f.Text | None = None
    lands_on: f.Text | None = None
    test: f.Text | None = None
    multiple: f.Ratio | None = None
    severity: f.Ratio | None = None
    deceleration: f.Gain | None = None
    acceleration: f.Gain | None = None
    lateral: f.Gain | None = None
    sprung: f.Gain | None = None
    unsprung: f.Gain | None = None
    level: f.Gain | None = None
    height: f.Length | None = None
    length: f.Length | None = None
    gap: f.Length | None = None
    speed: f.Speed | None = None
    slope: f.Angle | None = None
    angle: f.Angle | None = None
    down: f.Ratio | None = None
    rearward: f.Share | None = None
    across: f.Share | None = None
    rolling: f.Share | None = None
    share: f.Ratio | None = None
    stiffness: f.Rate | None = None
    force: f.Force | None = None
    mass: f.Mass | None = None
    straps: int | None = Field(None, ge=1)
    duty: DutyTable | None = None


EVENT_WORDS = ("posture", "brakes", "wheel", "lands_on", "test")


class MetalTable(Table):
    """[[metal]]: what a metal part in the load path bears."""

    name: f.Stated
    at: Literal["front wheel", "rear wheel", "pegs", "seat"]
    limit: r.MetalForce
    source: f.Stated


class CarriedTable(Table):
    """carried = { ... }."""

    mass: r.Sprung
    face: f.Stated
    wall: f.Stated | None = None


class MountingTable(Table):
    """[ride] of a part."""

    origin: r.Place
    x: f.Direction
    z: f.Direction
    on: Carrier = "frame"
    side: Side = "left"
    faces: dict[str, list[f.Stated]] = Field(default_factory=dict)
    carried: CarriedTable | None = None
    events: list[f.Stated] | None = None
    share: r.ShareOfJoint = 1.0
    share_reason: f.Text = ""
    enters: r.Place | None = None
    pull: f.Direction | None = None
    across: f.Direction | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if abs(sum(a * b for a, b in zip(self.x, self.z, strict=True))) > 1e-3:
            raise refuse("x and z are not square to each other", "State two axes of the part that are")
        if self.share != 1.0 and not self.share_reason:
            raise refuse("a share without its reason", "Add share_reason: who bears the rest, and why")
        return self
