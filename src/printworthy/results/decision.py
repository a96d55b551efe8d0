"""Frozen records of what is computed about the decision: reasons, options, a part, a vehicle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from printworthy.inputs import Consequence, Quantity, Vector
from printworthy.results.care import Care
from printworthy.results.heat import HeatResult
from printworthy.results.life import Life
from printworthy.results.making import Making, Printing
from printworthy.results.pieces import Capability, Weight
from printworthy.results.ride import Ride, Yardstick
from printworthy.results.shape import MeshReport, ShapeReport
from printworthy.results.strength import (
    Check,
    CriticalDistance,
    DesignValues,
    DirectionResult,
    DirectionSearch,
    MeshBracket,
    Step,
)

Word = Literal["print", "print with conditions", "do not print", "not decided"]


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


@dataclass(frozen=True, slots=True)
class Option:
    """One material and build direction: result, verdict, mass [kg]; where made: mesh error, critical distance, life,
    weighed pieces, hot states, and what printing that way costs."""

    result: DirectionResult
    design: DesignValues
    checks: tuple[Check, ...]
    verdict: Verdict
    mass: float
    lay: LayFigures | None = None
    bracket: MeshBracket | None = None
    distance: CriticalDistance | None = None
    life: Life | None = None
    weight: Weight | None = None
    heat: tuple[HeatResult, ...] = ()


@dataclass(frozen=True, slots=True)
class MetalOption:
    """The same solid in a metal: mass [kg], utilisation on yield with the same factor, worst case and by case."""

    material: str
    mass: float
    utilisation: float
    case: str
    by_case: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class SolidOption:
    """The answering option of a part with infill, printed solid: result, mass [kg], print where a printer is stated."""

    result: DirectionResult
    mass: float
    printing: Printing | None = None


@dataclass(frozen=True, slots=True)
class PartAssessment:
    """Everything about one part. `chosen` is the number of the option that answers for it; `dimensions`: how well each
    measured one is held; `yardsticks`: component tests held against the answering option; `solid`: the same print
    without its infill, where it has one; `care`: the conditions as figures."""

    part: str
    title: str
    role: str
    consequence: Consequence
    shape: ShapeReport
    mesh: MeshReport
    options: tuple[Option, ...]
    chosen: int
    search: DirectionSearch | None
    metals: tuple[MetalOption, ...]
    factors: tuple[Step, ...]
    inputs: Mapping[str, Quantity]
    key: str
    seconds: float
    invented: bool
    printing: Printing | None = None
    dimensions: Mapping[str, Capability] = field(default_factory=dict)
    solid: SolidOption | None = None
    yardsticks: tuple[Yardstick, ...] = ()
    care: Care | None = None

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
    making: Making | None = None
    ride: Ride | None = None
