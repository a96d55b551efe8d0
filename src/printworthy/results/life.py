"""Frozen records of what is computed about life under repeated load."""

from __future__ import annotations

from dataclasses import dataclass

from printworthy.inputs import CouponDirection, LifeUnit, RideSpan

LONGEST = 1e9  # [h or km] lives beyond are given as this


@dataclass(frozen=True, slots=True)
class SNCurve:
    """log10(cycles) = intercept + slope log10(amplitude in MPa) + scatter, by maximum likelihood with run-outs.

    `deviation` of log10(cycles), corrected for the failures behind it; `leverage`: covariance of intercept and slope
    over the squared deviation (var intercept, covariance, var slope). `lowest`, `highest` amplitude tested [MPa];
    `longest` test [cycles].
    """

    name: str
    material: str
    direction: CouponDirection
    ratio: float
    intercept: float
    slope: float
    deviation: float
    leverage: tuple[float, float, float]
    tests: int
    failures: int
    lowest: float
    highest: float
    longest: float
    source: str
    invented: bool

    @property
    def exponent(self) -> float:
        """Basquin's b in amplitude = coefficient N^b [-]."""
        return 1 / self.slope

    @property
    def coefficient(self) -> float:
        """Amplitude at one cycle [MPa]."""
        return float(10 ** (-self.intercept / self.slope))


@dataclass(frozen=True, slots=True)
class LifeRow:
    """What one load case does in one direction: `stress` its largest [MPa] and `amplitude` of its largest cycle [MPa],
    both as the test on `curve` would have to make them; cycles per h or km; life of the case alone, low limit."""

    case: str
    direction: CouponDirection
    curve: str
    stress: float
    amplitude: float
    cycles: float
    life: float


@dataclass(frozen=True, slots=True)
class Life:
    """Life of one option in hours or kilometres of ride.

    `low`: reached by the share of pieces and with the confidence of the rules, every factor counted; `middle`: the most
    that half of the pieces may reach, no factor counted. None: not decided, `missing` says for want of what. `tested`
    False: the curves were stretched beyond what was tested. `assumed`: what the figures rest on.
    """

    per: LifeUnit | None
    wanted: RideSpan | None
    low: float | None
    middle: float | None
    tested: bool
    rows: tuple[LifeRow, ...]
    curves: tuple[SNCurve, ...]
    missing: tuple[str, ...]
    assumed: tuple[str, ...]
    between_layers: bool
