"""Frozen records of what is computed. Lengths mm, forces N, stresses MPa, masses kg, temperatures degC, times s.

Everything here is plain data (strings, numbers, tuples, mappings), so that one JSON text holds it all.
"""

from printworthy.results.decision import (
    Assessment,
    LayFigures,
    MetalOption,
    Option,
    PartAssessment,
    Reason,
    Refusal,
    Verdict,
    Word,
)
from printworthy.results.heat import HeatResult, SourceHeat
from printworthy.results.life import LONGEST, Life, LifeRow, SNCurve
from printworthy.results.pieces import Capability, Finding, Weighed, Weight
from printworthy.results.ride import DropLimit, FreeBody, Handling, PartDrop, Push, Ride
from printworthy.results.shape import (
    BodyReport,
    MeshReport,
    ShapeReport,
    SurfaceField,
)
from printworthy.results.strength import (
    CaseResult,
    Check,
    CriticalDistance,
    Deflection,
    DesignValue,
    DesignValues,
    DirectionCheck,
    DirectionResult,
    DirectionSearch,
    Influence,
    MeshBracket,
    Mode,
    Step,
    StepKind,
)

__all__ = [
    "LONGEST",
    "Assessment",
    "BodyReport",
    "Capability",
    "CaseResult",
    "Check",
    "CriticalDistance",
    "Deflection",
    "DesignValue",
    "DesignValues",
    "DirectionCheck",
    "DirectionResult",
    "DirectionSearch",
    "DropLimit",
    "Finding",
    "FreeBody",
    "Handling",
    "HeatResult",
    "Influence",
    "LayFigures",
    "Life",
    "LifeRow",
    "MeshBracket",
    "MeshReport",
    "MetalOption",
    "Mode",
    "Option",
    "PartAssessment",
    "PartDrop",
    "Push",
    "Reason",
    "Refusal",
    "Ride",
    "SNCurve",
    "ShapeReport",
    "SourceHeat",
    "Step",
    "StepKind",
    "SurfaceField",
    "Verdict",
    "Weighed",
    "Weight",
    "Word",
]
