"""Frozen records of what a person states: cards, coupons, vehicle, parts, rules.

Inside: mm, N, MPa, s, degC, g/cm3 (density), kg (mass). Units people write are turned into these in `workspace`.
"""

from printworthy.inputs.faces import (
    BoltJoint,
    BoxSelector,
    CaseKind,
    ClampJoint,
    CylinderSelector,
    Face,
    InsertJoint,
    Joint,
    Load,
    LoadCase,
    NearestSelector,
    PatchSelector,
    PlaneSelector,
    Selector,
    Support,
    Vector,
)
from printworthy.inputs.materials import (
    PROPERTIES,
    Confidence,
    Consequence,
    CouponDirection,
    CouponSet,
    MaterialCard,
    Quantity,
    Rules,
)
from printworthy.inputs.vehicle import (
    Geometry,
    HeatSource,
    Job,
    Nearby,
    Part,
    Vehicle,
)

__all__ = [
    "PROPERTIES",
    "BoltJoint",
    "BoxSelector",
    "CaseKind",
    "ClampJoint",
    "Confidence",
    "Consequence",
    "CouponDirection",
    "CouponSet",
    "CylinderSelector",
    "Face",
    "Geometry",
    "HeatSource",
    "InsertJoint",
    "Job",
    "Joint",
    "Load",
    "LoadCase",
    "MaterialCard",
    "Nearby",
    "NearestSelector",
    "Part",
    "PatchSelector",
    "PlaneSelector",
    "Quantity",
    "Rules",
    "Selector",
    "Support",
    "Vector",
    "Vehicle",
]
