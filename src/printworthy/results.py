"""Frozen records of what is computed. Lengths mm, forces N, stresses MPa, masses kg, temperatures degC, times s.

Everything here is plain data (strings, numbers, tuples, mappings), so that one JSON text holds it all.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from printworthy.inputs import Confidence, Consequence, Quantity, Vector

Word = Literal["print", "print with conditions", "do not print", "not decided"]
Mode = Literal[
    "between layers, tension with shear",
    "between layers, compression",
    "in the layer, tension",
    "in the layer, compression",
    "in the layer, shear",
    "largest principal stress",
    "von Mises against yield",
]


@dataclass(frozen=True, slots=True)
class BodyReport:
    """One body of a file: its number (from 1), volume [mm3], box [mm]."""

    number: int
    volume: float
    low: Vector
    high: Vector
    name: str = ""


@dataclass(frozen=True, slots=True)
class ShapeReport:
    """What a geometry file holds, what is wrong with it, what was mended. Triangles 0 for CAD, cad_faces 0 for meshes."""

    file: str
    sha256: str
    kind: str
    unit: str
    unit_source: str
    low: Vector
    high: Vector
    volume: float
    area: float
    triangles: int
    cad_faces: int
    bodies: tuple[BodyReport, ...]
    body: int
    found: tuple[str, ...]
    mended: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MeshReport:
    """The tetrahedra: count, unknowns, size [mm], thin wall [mm] and elements across it, quality (1 best), volume error [-]."""

    mesher: str
    elements: int
    unknowns: int
    element_size: float
    thickness: float
    across: float
    worst_quality: float
    mean_quality: float
    volume_error: float
    curved: bool
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One step from a measured value to a design value."""

    name: str
    factor: float
    source: str


@dataclass(frozen=True, slots=True)
class DesignValue:
    """A strength used in the criterion: start [MPa] times every step = value [MPa]. `n` coupons behind it (0: card)."""

    name: str
    value: float
    start: float
    steps: tuple[Step, ...]
    basis: str
    source: str
    confidence: Confidence
    n: int
    invented: bool = False


@dataclass(frozen=True, slots=True)
class DesignValues:
    """Strengths of one material in layer axes."""

    material: str
    in_layer: DesignValue  # X
    between: DesignValue  # Z
    shear_between: DesignValue  # S
    shear_in_layer: DesignValue  # S12
    compression_in_layer: DesignValue  # Xc
    compression_between: DesignValue  # Zc


@dataclass(frozen=True, slots=True)
class Deflection:
    """Largest movement of a named face in a case [mm] and its limit, if one is stated."""

    case: str
    face: str
    movement: float
    limit: float | None


@dataclass(frozen=True, slots=True)
class CaseResult:
    """One load case at one build direction. Utilisation includes `factor` on load; stress (6,) [MPa] in layer axes
    11, 22, 33, 23, 13, 12 (3 = build direction) at `point` [mm], without the factor."""

    case: str
    utilisation: float
    mode: Mode
    point: Vector
    stress: tuple[float, float, float, float, float, float]
    near_face: str
    at_support: bool
    by_mode: Mapping[str, float]
    max_displacement: float
    applied: Vector
    reaction: Vector
    imbalance: float


@dataclass(frozen=True, slots=True)
class MeshBracket:
    """The governing case of one direction while the mesh is refined where its utilisation peaks, coarse to fine.

    `values` utilisation with the factor on load, `inner` the same inside the elements only; `sizes` element size at the
    peak [mm]; `points` where it peaks [mm].
    `low`, `high`: where the converged value lies; `high` None: no upper end is known. `limit`: extrapolated value, only
    where the sequence contracts. `facet_length` [mm]: spacing of a hole's or fillet's facets at the peak, below which
    nothing was refined; None: no such facets there. `singular`: it grows at every step by a ratio that does not fall.
    """

    case: str
    direction: Vector
    mode: Mode
    values: tuple[float, ...]
    inner: tuple[float, ...]
    sizes: tuple[float, ...]
    points: tuple[Vector, ...]
    elements: tuple[int, ...]
    unknowns: tuple[int, ...]
    low: float
    high: float | None
    limit: float | None
    converging: bool
    singular: bool
    facet_length: float | None
    words: str

    @property
    def coarse(self) -> float:
        """Utilisation on the mesh as it was."""
        return self.values[0]

    @property
    def fine(self) -> float:
        """Utilisation on the finest mesh."""
        return self.values[-1]


@dataclass(frozen=True, slots=True)
class CriticalDistance:
    """Utilisation of the stress averaged inwards from a peak over twice the card's length (line method) [-].

    `value` None: not available. `length` L [mm] of the governing mode; `at_half` the point method's value at L/2, beside;
    `raw` the value at the peak itself; `wall` [mm] along the line; `elements` crossed by it; `words`: line or why not.
    """

    case: str
    mode: Mode
    point: Vector
    method: str
    value: float | None
    at_half: float | None
    raw: float
    length: float | None
    wall: float
    elements: int
    valid: bool
    words: str


@dataclass(frozen=True, slots=True)
class DirectionResult:
    """One material, one build direction (unit vector; its opposite gives the same strength)."""

    material: str
    direction: Vector
    factor: float
    cases: tuple[CaseResult, ...]
    deflections: tuple[Deflection, ...]
    solver: str

    @property
    def governing(self) -> CaseResult:
        """The case with the highest utilisation."""
        return max(self.cases, key=lambda c: c.utilisation)

    @property
    def utilisation(self) -> float:
        """Utilisation of the governing case, factor on load included."""
        return self.governing.utilisation


@dataclass(frozen=True, slots=True)
class DirectionCheck:
    """One exact solution held against the map: governing utilisation without the load factor, estimated and exact."""

    why: str
    direction: Vector
    estimate: float
    exact: float
    error: float


@dataclass(frozen=True, slots=True)
class Check:
    """A check beside strength: demand against capacity in `unit`; utilisation = demand / capacity. `decided` False: an
    assumption is missing; `words` say which."""

    name: str
    demand: float
    capacity: float
    unit: str
    utilisation: float
    source: str
    words: str
    decided: bool = True


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason, in the order in which it was asked. `effect` is the best word it leaves possible."""

    screen: str
    words: str
    effect: Word
    source: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """The word for one material and one build direction, with all reasons in order and the conditions it carries."""

    word: Word
    material: str
    direction: Vector
    reasons: tuple[Reason, ...]
    conditions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Option:
    """One material and build direction: result, verdict, mass [kg]."""

    result: DirectionResult
    design: DesignValues
    checks: tuple[Check, ...]
    verdict: Verdict
    mass: float


@dataclass(frozen=True, slots=True)
class MetalOption:
    """The same solid in a metal: mass [kg], utilisation on yield with the same factor."""

    material: str
    mass: float
    utilisation: float
    case: str


@dataclass(frozen=True, slots=True)
class PartAssessment:
    """Everything about one part. `chosen` is the number of the option that answers for it."""

    part: str
    title: str
    role: str
    consequence: Consequence
    shape: ShapeReport
    mesh: MeshReport
    options: tuple[Option, ...]
    chosen: int
    metals: tuple[MetalOption, ...]
    factors: tuple[Step, ...]
    inputs: Mapping[str, Quantity]
    key: str
    seconds: float
    invented: bool

    @property
    def option(self) -> Option:
        """The option that answers for the part."""
        return self.options[self.chosen]

    @property
    def verdict(self) -> Verdict:
        """The verdict of the option that answers for the part."""
        return self.option.verdict


@dataclass(frozen=True, slots=True)
class Refusal:
    """A part that could not be computed: the one line that says why, and the word it gets."""

    part: str
    title: str
    role: str
    word: Word
    line: str
    wrong_input: bool = False


@dataclass(frozen=True, slots=True)
class Assessment:
    """A whole vehicle."""

    vehicle: str
    title: str
    invented: bool
    version: str
    libraries: Mapping[str, str]
    when: str
    parts: tuple[PartAssessment, ...]
    refusals: tuple[Refusal, ...]


@dataclass(frozen=True, slots=True)
class LayFigures:
    """What printing in one build direction costs; every figure is explained at `making.figures.DirectionFigures`.

    Lengths mm, areas mm2, volumes mm3, slopes [-], angles deg. `fits`: over_bed and over_height are not above 0.
    """

    direction: Vector
    height: float
    contact_area: float
    tip_slope: float
    tip_slope_supported: float
    rectangle: tuple[float, float]
    over_bed: float
    over_height: float
    overhang_area: float
    overhang_on: Mapping[str, float]
    support_volume: float
    support_error: float
    support_on_bed: float
    support_on_part: float
    round_angle: Mapping[str, float]

    @property
    def fits(self) -> bool:
        """Whether it fits the build space, turned about the build direction as fits best."""
        return self.over_bed <= 0 and self.over_height <= 0


@dataclass(frozen=True, slots=True, eq=False)
class SurfaceField:
    """The skin of the solid for pictures: points (n, 3) [mm], triangles (k, 3), utilisation (n,) over all cases of the
    chosen option, and for each named face its triangle numbers."""

    points: np.ndarray
    triangles: np.ndarray
    utilisation: np.ndarray
    faces: Mapping[str, np.ndarray]
