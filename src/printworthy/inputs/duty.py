"""Frozen records of what repeats: how often a load case comes, and tests to failure under repeated load."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, NamedTuple

from printworthy.errors import Place
from printworthy.inputs.materials import BeadDirection, CouponDirection

LifeUnit = Literal["h", "km"]  # hours of ride, kilometres of ride
LoadQuantity = Literal["acceleration", "force"]
Gravity = Literal["in it", "to add", "none"]  # a sensor at rest shows 1 g, or 0 g of a weight that acts; none acts
SpectrumModel = Literal["Rayleigh", "Rayleigh and peaks", "Weibull", "Dirlik"]
Ends = tuple[float, float]  # low, high


class Full(NamedTuple):
    """A value at which a case's load acts in full [mm/s2 or N]."""

    value: float
    quantity: LoadQuantity = "acceleration"


@dataclass(frozen=True, slots=True)
class Cycle:
    """`count` cycles of one size; `range` and `mean` as shares of the load of the case they belong to [-]."""

    range: float
    mean: float
    count: float

    @classmethod
    def swing(cls, level: float, ratio: float, count: float) -> Cycle:
        """Cycles between `level` and `ratio` times `level`."""
        return cls(level * (1 - ratio), level * (1 + ratio) / 2, count)


@dataclass(frozen=True, slots=True)
class RideSpan:
    """A length of ride: `value` hours or kilometres."""

    value: float
    per: LifeUnit

    def __str__(self) -> str:
        return f"{self.value:g} {self.per}"


@dataclass(frozen=True, slots=True)
class Log:
    """A measured course of load: a `column` of a CSV `file`.

    `full`: the value at which the case's load acts in full, as a number of its event or in figures.
    `covers`: the ride it stands for; None: as long as it lasts. Once read: turning points `turning` (n,) [mm/s2 or N],
    of which `quantity`, over how many `seconds`.
    """

    file: Path
    column: str
    full: str | Full
    gravity: Gravity | None
    covers: RideSpan | None = None
    place: Place | None = None
    turning: tuple[float, ...] = ()
    quantity: LoadQuantity = "acceleration"
    seconds: float = 0.0


@dataclass(frozen=True, slots=True)
class Trials:
    """A table with the statistics of one ride a row: the columns that hold them (by what they mean: rms, crossings,
    peak, duration), units stated for columns whose heading has none, and which rows count, by column and word."""

    file: Path
    columns: Mapping[str, str]
    units: Mapping[str, str]
    only: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Density:
    """A table of spectral density over frequency: column, unit where the heading has none, and the `spread` by which
    the root mean square may be larger or smaller [-]."""

    file: Path
    column: str
    units: Mapping[str, str]
    spread: float


@dataclass(frozen=True, slots=True)
class Shaking:
    """Statistics of a shaking, of which a `model` makes cycles; low and high ends of what is known.

    `rms` about the mean [mm/s2], upward `crossings` of the mean [1/s], `crest` largest value over rms [-] in `over`
    [s]; `share` of the ride that shakes so [-]; `speed` [mm/s], for cycles per km. Dirlik: `frequencies` (n,) [1/s] and
    `densities` (n,) [(mm/s2)^2 s]. `trials` or `density`: where it is read from.
    """

    model: SpectrumModel
    full: str | Full
    gravity: Gravity
    share: float
    speed: float | None = None
    rms: Ends = (0.0, 0.0)
    crossings: Ends = (0.0, 0.0)
    crest: Ends | None = None
    over: float | None = None
    frequencies: tuple[float, ...] = ()
    densities: tuple[float, ...] = ()
    trials: Trials | None = None
    density: Density | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Duty:
    """What a load case repeats in one h or km of ride: `cycles`, and `passes` times the course `history` of the load,
    turning points as shares of the case's load.

    `gentle`: the cycles at the low end of what is known, where there are two ends. Still to be turned into cycles by
    the ride: a `log`, a `shaking`, the course of the load that the event's model computes (`computed`).
    """

    per: LifeUnit
    cycles: tuple[Cycle, ...]
    source: str
    history: tuple[float, ...] = ()
    passes: float = 0.0
    place: Place | None = None
    gentle: tuple[Cycle, ...] = ()
    log: Log | None = None
    shaking: Shaking | None = None
    computed: bool = False


@dataclass(frozen=True, slots=True)
class FatigueSet:
    """Coupons of one material, loaded one way again and again between a stress and `ratio` times it.

    `amplitudes` (n,) [MPa] half the range; `cycles` (n,); `run_outs` (n,): taken off unbroken at that many cycles.
    """

    name: str
    material: str
    direction: CouponDirection
    ratio: float
    amplitudes: tuple[float, ...]
    cycles: tuple[float, ...]
    run_outs: tuple[bool, ...]
    temperature: float  # [degC]
    moisture: str
    source: str
    invented: bool
    place: Place
    beads: BeadDirection = ""

    @property
    def maxima(self) -> tuple[float, ...]:
        """Largest stress of each test (n,) [MPa]."""
        return tuple(2 * a / (1 - self.ratio) for a in self.amplitudes)
