"""Frozen records of what is computed about strength: design values, load cases, directions, mesh error."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from printworthy.inputs import Confidence, Vector

Mode = Literal[
    "between layers, tension with shear",
    "between layers, compression",
    "in the layer, tension",
    "in the layer, compression",
    "in the layer, shear",
    "largest principal stress",
    "von Mises against yield",
]


# What a step takes off for: scatter of coupons, range of a card, a bound in place of a test, a share of another
# strength, or the conditions of service.
StepKind = Literal[
    "", "limit", "low end", "bound", "share", "beads", "moisture", "heat", "lasting load", "weathering", "impact"
]


@dataclass(frozen=True, slots=True)
class Step:
    """One step from a measured value to a design value."""

    name: str
    factor: float
    source: str
    kind: StepKind = ""


@dataclass(frozen=True, slots=True)
class DesignValue:
    """A strength used in the criterion: start [MPa] times every step = value [MPa]. `n` coupons behind it (0: card);
    `cv` [-] the scatter its limit was taken with, 0 without a limit."""

    name: str
    value: float
    start: float
    steps: tuple[Step, ...]
    basis: str
    source: str
    confidence: Confidence
    n: int
    invented: bool = False
    cv: float = 0.0


@dataclass(frozen=True, slots=True)
class DesignValues:
    """Strengths of one material in layer axes. `untaken`: knock-downs that were asked and not taken, factor 1, with the
    reason in place of a source; `impact`: cold, notched, fast coupons stand behind the tensions."""

    material: str
    in_layer: DesignValue  # X
    between: DesignValue  # Z
    shear_between: DesignValue  # S
    shear_in_layer: DesignValue  # S12
    compression_in_layer: DesignValue  # Xc
    compression_between: DesignValue  # Zc
    untaken: tuple[Step, ...] = ()
    impact: bool = False
    along: DesignValue | None = None  # X1, tension along the beads; X is then that across them
    compression_along: DesignValue | None = None  # Xc1
    shares: tuple[tuple[tuple[float, ...], ...], ...] = ()  # (k, 6, 6) of a lay-up, see `strength.lay.laid`

    @property
    def strengths(self) -> tuple[DesignValue, ...]:
        """The six strengths, in the order above, and the two along the beads where they are told apart."""
        beads = () if self.along is None or self.compression_along is None else (self.along, self.compression_along)
        return (
            self.in_layer, self.between, self.shear_between,
            self.shear_in_layer, self.compression_in_layer, self.compression_between, *beads,
        )  # fmt: skip


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

    def times(self, k: float) -> CaseResult:
        """The same case with its utilisation, stress and movement `k` times as large (linear elasticity)."""
        s11, s22, s33, s23, s13, s12 = (k * s for s in self.stress)
        return replace(
            self, utilisation=k * self.utilisation, stress=(s11, s22, s33, s23, s13, s12),
            by_mode={name: k * u for name, u in self.by_mode.items()}, max_displacement=k * self.max_displacement,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class MeshBracket:
    """The governing case of one direction while the mesh is refined where its utilisation peaks, coarse to fine.

    `values` utilisation with the factor on load, `inner` the same inside the elements only; `sizes` element size at the
    peak [mm]; `points` where it peaks [mm].
    `low`, `high`: where the converged value lies; `high` None: no upper end is known. `limit`: extrapolated value, only
    where the sequence contracts. `facet_length` [mm]: spacing of a hole's or fillet's facets at the peak, below which
    nothing was refined; None: no such facets there. `singular`: it grows at every step by a ratio that does not fall.
    `wall` [mm] behind the peak and `across`, elements through it on the coarse mesh; wall 0: not found.
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
    wall: float
    across: float
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

    `value` None: not available. `length` L [mm] of the governing mode; `at_half` the point method's value at L/2,
    beside; `raw` the value at the peak itself; `wall` [mm] along the line; `elements` crossed by it; `words`: line or
    why not.
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
    """One material, one build direction (unit vector; its opposite gives the same strength). `raster` [deg] of the
    beads as parts state it, `along` them in part axes; None in a material that is alike all round in its layers."""

    material: str
    direction: Vector
    factor: float
    cases: tuple[CaseResult, ...]
    deflections: tuple[Deflection, ...]
    solver: str
    raster: float | None = None
    along: Vector | None = None

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
    """One exact solution held against the map: governing utilisation without the load factor, estimated and exact.
    `raster` [rad]: angle of the beads in the layer; 0 where the print is the same all round."""

    why: str
    direction: Vector
    estimate: float
    exact: float
    error: float
    raster: float = 0.0


@dataclass(frozen=True, slots=True)
class Influence:
    """Utilisation when one input changes, all else equal: as it is, with the input lower, with it higher."""

    name: str
    change: str
    base: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class RasterCurve:
    """Utilisation with the factor on load over the raster angle at one build direction: `angles` (k,) [deg] as
    parts state them, `utilisation` (k,) from the map's model. `angle` taken, `along` its beads in part axes, `chosen`:
    by the program; `worst` the angle of most utilisation; `layers` [deg] of the part. `checks`: both solved exactly,
    and two angles between, at the angles `checked` [deg]; `error` the largest difference, relative."""

    direction: Vector
    angles: tuple[float, ...]
    utilisation: tuple[float, ...]
    angle: float
    along: Vector
    chosen: bool
    worst: float
    layers: tuple[float, ...]
    checks: tuple[DirectionCheck, ...]
    checked: tuple[float, ...]
    error: float


@dataclass(frozen=True, slots=True)
class DirectionSearch:
    """Every build direction of one material. `directions` (n) and their opposites, `utilisation` (n) with the factor on
    load. `error` is the largest of the exact checks, relative; `coverage` says what they cover; `reached` whether it is
    within `target`. `rule` and `choice` in words; `pareto` directions that nothing beats; `layer_strength`: share of
    the layer strengths at which the chosen direction would fail, None if layers do not decide it."""

    material: str
    directions: tuple[Vector, ...]
    utilisation: tuple[float, ...]
    checks: tuple[DirectionCheck, ...]
    target: float
    error: float
    reached: bool
    coverage: str
    fields: int
    hot_points: int
    shortlist_miss: float
    rule: str
    choice: str
    chosen: Vector
    pareto: tuple[Vector, ...]
    influences: tuple[Influence, ...]
    layer_strength: float | None
    raster: RasterCurve | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """A check beside strength: demand against capacity in `unit`; utilisation = demand / capacity. `decided` False: an
    assumption is missing; `words` say which. `of_strength` False: better strengths would not raise the capacity."""

    name: str
    demand: float
    capacity: float
    unit: str
    utilisation: float
    source: str
    words: str
    decided: bool = True
    of_strength: bool = True
