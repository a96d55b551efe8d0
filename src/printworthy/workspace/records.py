"""Checked tables turned into the records that every stage shares."""

from __future__ import annotations

from printworthy.inputs import (
    BoltJoint,
    BoxSelector,
    ClampJoint,
    CylinderSelector,
    Face,
    Fill,
    Geometry,
    InsertJoint,
    Joint,
    Load,
    LoadCase,
    Nearby,
    NearestSelector,
    Part,
    PatchSelector,
    PlaneSelector,
    PressFit,
    Printer,
    Selector,
    Support,
    Vehicle,
)
from printworthy.workspace import ride_records
from printworthy.workspace import tables as t
from printworthy.workspace.beads import raster
from printworthy.workspace.duties import duty
from printworthy.workspace.files import Document
from printworthy.workspace.heat import heat_body, heat_state
from printworthy.workspace.making_tables import PrinterTable
from printworthy.workspace.workshop import part_making


def vehicle(stated: t.VehicleFile, document: Document) -> Vehicle:
    """The machine; without a title it is called by its name."""
    return Vehicle(
        name=stated.name,
        title=stated.title or stated.name,
        service_low=stated.service.low,
        service_high=stated.service.high,
        invented=stated.invented,
        note=stated.note,
        printer=printer(stated.printer),
        heat_bodies=tuple(heat_body(source, n, document) for n, source in enumerate(stated.heat_source)),
        machine=ride_records.machine(stated, document),
        events=ride_records.events(stated, document),
        metal=ride_records.metal(stated),
    )


def printer(stated: PrinterTable | None) -> Printer:
    """What can be printed in: as stated, else what is common practice."""
    if stated is None:
        return Printer()
    return Printer(stated.build_space, stated.layer_height, stated.overhang_angle, stated=True)


def part_name(stated: t.PartFile, document: Document) -> str:
    """The stated name, else the stem of the file."""
    return stated.name or document.path.stem


def part(stated: t.PartFile, document: Document) -> Part:
    """One part with the places of all that stands in its file."""
    service = stated.service
    name = part_name(stated, document)
    return Part(
        name=name,
        title=stated.title or name,
        geometry=_geometry(stated.geometry, document),
        role=stated.role,
        material=stated.material,
        faces={name: _face(name, face, document) for name, face in stated.faces.items()},
        supports=tuple(_support(n, support, document) for n, support in enumerate(stated.support)),
        cases=tuple(_case(n, case, document) for n, case in enumerate(stated.case)),
        alternatives=tuple(stated.alternatives),
        build_direction=stated.build_direction,
        extra_directions=tuple(stated.extra_directions),
        consequence=stated.consequence,
        consequence_reason=stated.consequence_reason,
        near=None if stated.near is None else tuple(Nearby(**near.model_dump()) for near in stated.near),
        heat=tuple(heat_state(state, n, document) for n, state in enumerate(stated.heat)),
        exposure=tuple(stated.exposure),
        service_low=service.low if service else None,
        service_high=service.high if service else None,
        joints=_joints(stated, document),
        inspection=stated.inspection,
        load_factor=stated.load_factor,
        load_factor_reason=stated.load_factor_reason,
        fitting=stated.fitting,
        proof_test_each=stated.proof_test_each,
        retirement_life=stated.retirement_life,
        inspection_interval=stated.inspection_interval,
        design_life=stated.design_life,
        lasting_load=stated.lasting_load,
        element_size=stated.geometry.element_size,
        fill=Fill(**stated.fill.model_dump(), place=document.place("fill")) if stated.fill else None,
        raster=raster(stated.raster, document),
        note=stated.note,
        mounting=ride_records.mounting(stated.ride, document),
        place=document.place(),
        making=part_making(stated.making, document),
    )


def _geometry(stated: t.GeometryTable, document: Document) -> Geometry:
    path = document.path.parent / stated.file
    return Geometry(path, stated.unit, stated.body, stated.mend, place=document.place("geometry"))


def _face(name: str, stated: t.FaceTable, document: Document) -> Face:
    place = document.place("faces", name)
    return Face(name, _selector(stated), stated.patches, stated.deflection_limit, place)


def _selector(stated: t.FaceTable) -> Selector:
    if stated.cylinder:
        return CylinderSelector(**stated.cylinder.model_dump())
    if stated.plane:
        return PlaneSelector(**stated.plane.model_dump())
    if stated.patch:
        return PatchSelector(**stated.patch.model_dump())
    if stated.box:
        return BoxSelector(**stated.box.model_dump())
    assert stated.nearest is not None  # the table holds exactly one selector
    return NearestSelector(**stated.nearest.model_dump())


def _support(number: int, stated: t.SupportTable, document: Document) -> Support:
    return Support(**stated.model_dump(), place=document.place("support", number))


def _case(number: int, stated: t.CaseTable, document: Document) -> LoadCase:
    loads = tuple(_load(load, document, number, inner) for inner, load in enumerate(stated.load))
    made = duty(stated.duty, document.place("case", number, "duty")) if stated.duty else None
    return LoadCase(stated.name, loads, stated.kind, stated.source, document.place("case", number), made)


def _load(stated: t.LoadTable, document: Document, case: int, number: int) -> Load:
    place, face = document.place("case", case, "load", number), stated.face or ""
    if stated.pressure is not None:
        return Load("pressure", face, value=stated.pressure, place=place)
    if stated.force is not None:
        return Load("force", face, stated.force, place=place)
    if stated.bearing is not None:
        return Load("bearing", face, stated.bearing, place=place)
    if stated.moment is not None:
        return Load("moment", face, stated.moment, place=place)
    if stated.bearing_moment is not None:
        return Load("bearing moment", face, stated.bearing_moment, place=place)
    if stated.displacement is not None:
        return Load("displacement", face, stated.displacement, place=place)
    if stated.warming is not None:
        return Load("temperature", value=stated.warming, place=place)
    if stated.gravity is not None:
        return Load("gravity", vector=stated.gravity, place=place)
    assert stated.acceleration is not None  # the table holds exactly one kind of load
    return Load("acceleration", vector=stated.acceleration, place=place)


def _joints(stated: t.PartFile, document: Document) -> tuple[Joint, ...]:
    bolts = [
        BoltJoint(**bolt.model_dump(exclude={"washer"}), washer=bolt.washer or 0.0, place=document.place("bolt", n))
        for n, bolt in enumerate(stated.bolt)
    ]
    inserts = [InsertJoint(**i.model_dump(), place=document.place("insert", n)) for n, i in enumerate(stated.insert)]
    clamps = [ClampJoint(**c.model_dump(), place=document.place("clamp", n)) for n, c in enumerate(stated.clamp)]
    fits = [
        PressFit(**p.model_dump(exclude={"torque"}), torque=p.torque or 0.0, place=document.place("press_fit", n))
        for n, p in enumerate(stated.press_fit)
    ]
    return (*bolts, *inserts, *clamps, *fits)
