"""Frozen records of the conditions a verdict carries, as figures: proof test, inspection, retirement, first rides."""

from __future__ import annotations

from dataclasses import dataclass

from printworthy.inputs import LifeUnit, Vector


@dataclass(frozen=True, slots=True)
class ProofTest:
    """How one case is proved on a bench, dry and at room temperature.

    `level`: times the stated loads of the case (without the load factor), between `lowest` (a piece that passes bears
    the expected maximum in service) and `highest` (what no good piece is hurt by); None where no such level exists or
    the loads cannot be put on. `kept`: share of the bench strength left in service. `finds`: pieces weaker than this
    share of the mean coupon break or crack; `good_lost`: share of pieces like the coupons that would (None: no
    coupons). `hold` [s]. `movement` [mm] of `face` at the level, by finite elements, `soft` and `stiff` ends of the
    card's moduli; `lasting` [mm]: the most that may stay after unloading.
    """

    case: str
    level: float | None
    lowest: float
    highest: float
    kept: float
    finds: float | None
    good_lost: float | None
    hold: float
    face: str
    movement: float | None
    stiff: float | None
    soft: float | None
    lasting: float | None
    words: str


@dataclass(frozen=True, slots=True)
class Torque:
    """Tightening torque [N mm] of one bolt for its stated preload, between the ends of friction; sleeve in words."""

    joint: str
    torque: float
    low: float
    high: float
    words: str


@dataclass(frozen=True, slots=True)
class KeepOut:
    """Least distance [mm] to a kind of hot body, and what stands behind it."""

    source: str
    distance: float
    words: str


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of first riding: cases that may come, the share of the largest utilisation they reach, how long [s],
    and where to look before the next one."""

    cases: tuple[str, ...]
    share: float
    time: float
    look: tuple[tuple[str, Vector], ...]
    words: str


@dataclass(frozen=True, slots=True)
class Care:
    """Conditions as figures. `interval` and `retire` in `per` of ride; None with the reason in their words.
    `temperature`, `card`: range of service and of the card [degC]; an open end of the card is None."""

    proofs: tuple[ProofTest, ...]
    per: LifeUnit | None
    interval: float | None
    interval_words: str
    retire: float | None
    retire_words: str
    temperature: tuple[float, float]
    card: tuple[float | None, float | None]
    torques: tuple[Torque, ...]
    keep_out: tuple[KeepOut, ...]
    stages: tuple[Stage, ...]
