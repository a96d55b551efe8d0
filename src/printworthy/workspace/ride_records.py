"""Checked tables of the ride turned into records."""

from __future__ import annotations

from printworthy.inputs import (
    Carried,
    Joints,
    Machine,
    Mass,
    MetalLimit,
    Mounting,
    RideEvent,
    Rider,
    Suspension,
    Wheel,
)
from printworthy.workspace import ride_tables as t
from printworthy.workspace.duties import duty
from printworthy.workspace.files import Document
from printworthy.workspace.tables import VehicleFile

COMMON = {"name", "kind", "source", "factor", "duty", "judged"}


def machine(stated: VehicleFile, document: Document) -> Machine | None:
    """The vehicle as a mechanism; None where [frame] is left out."""
    if stated.frame is None:
        return None
    assert stated.front is not None  # the table asks for both
    assert stated.rear is not None
    return Machine(
        **stated.frame.model_dump(),
        front=_wheel(stated.front),
        rear=_wheel(stated.rear),
        masses=tuple(Mass(m.name, m.mass, m.centre, m.gyration or 0.0) for m in stated.mass),
        rider=Rider(**stated.rider.model_dump()) if stated.rider else None,
        joints=Joints(**stated.joints.model_dump()),
        place=document.place("frame"),
    )


def _wheel(stated: t.WheelTable) -> Wheel:
    suspension = Suspension(**stated.suspension.model_dump()) if stated.suspension else None
    return Wheel(**stated.model_dump(exclude={"suspension"}), suspension=suspension)


def events(stated: VehicleFile, document: Document) -> tuple[RideEvent, ...]:
    """The ride events, with the numbers and words each of them states."""
    return tuple(_event(n, e, document) for n, e in enumerate(stated.event))


def _event(number: int, stated: t.EventTable, document: Document) -> RideEvent:
    given = {k: v for k, v in stated.model_dump(exclude=COMMON).items() if v is not None}
    words = {k: v for k, v in given.items() if k in t.EVENT_WORDS}
    numbers = {k: float(v) for k, v in given.items() if k not in t.EVENT_WORDS}
    place = document.place("event", number)
    often = duty(stated.duty, document.place("event", number, "duty")) if stated.duty else None
    return RideEvent(
        stated.name, stated.kind, stated.source, numbers, words, stated.factor, place, often, stated.judged
    )


def metal(stated: VehicleFile) -> tuple[MetalLimit, ...]:
    """Stated limits of metal parts."""
    return tuple(MetalLimit(**m.model_dump()) for m in stated.metal)


def mounting(stated: t.MountingTable | None, document: Document) -> Mounting | None:
    """Where a part sits in the vehicle; None where it does not say."""
    if stated is None:
        return None
    plain = stated.model_dump(exclude={"faces", "carried", "events"})
    return Mounting(
        **plain,
        faces={port: tuple(names) for port, names in stated.faces.items()},
        carried=Carried(stated.carried.mass, stated.carried.face, stated.carried.wall or "")
        if stated.carried
        else None,
        events=None if stated.events is None else tuple(stated.events),
        place=document.place("ride"),
    )


def _carried(stated: t.CarriedTable | None) -> Carried | None:
    return Carried(stated.mass, stated.face, stated.wall or "") if stated else None
