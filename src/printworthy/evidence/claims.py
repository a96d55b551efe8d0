"""Three claims of the trade held against a person's own coupons and part. They decide nothing.

Each threshold is an input of `rules.toml`, common practice without a source; what it is compared with is stated by the
person (`Compared`) or stands on a card.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.special import chdtri, stdtrit

from printworthy.evidence.coupons import SMALLEST
from printworthy.evidence.study import Study
from printworthy.evidence.values import rule, rule_source
from printworthy.inputs import MaterialCard, Rules

Answer = Literal["holds", "does not hold", "not decided"]
CAST, WROUGHT = "al-a380-die-cast", "al-6061-t6"
SURE = 0.90  # two-sided confidence of the intervals


@dataclass(frozen=True, slots=True)
class Compared:
    """What the claims are compared with, each None where not stated: moulded strength [MPa], scatter of castings [-],
    mass of the print and of the metal part [kg], peak load each bore [N]."""

    moulded: float | None = None
    cast_scatter: float | None = None
    mass: float | None = None
    metal_mass: float | None = None
    peak: float | None = None
    metal_peak: float | None = None


@dataclass(frozen=True, slots=True)
class Claim:
    """A claim, the answer for these coupons, the figures behind it, and where the claim comes from."""

    claim: str
    answer: Answer
    figures: str
    source: str


def coupon_claims(
    studies: Sequence[Study], cards: Mapping[str, MaterialCard], rules: Rules, compared: Compared
) -> tuple[Claim, ...]:
    """The claims for each group of coupons they speak of: pulls in the layer; scatter also of pulls between layers."""
    slow = [s for s in studies if not s.impact]
    flat = [s for s in slow if s.direction == "in layer"]
    return (
        *(_moulded(s, cards, rules, compared) for s in flat),
        *(_scatter(s, cards, rules, compared) for s in slow if s.direction in ("in layer", "between layers")),
        *(_peak(s, cards, rules, compared) for s in flat),
    )


def mean_interval(values: Sequence[float]) -> tuple[float, float]:
    """Interval of the mean (n,) with 90 % confidence, normal values: mean -+ t s / sqrt(n). Needs two values."""
    x = np.asarray(values, dtype=float)
    return mean_ends(float(x.mean()), float(x.std(ddof=1) / x.mean()), len(x))


def mean_ends(mean: float, cv: float, n: int) -> tuple[float, float]:
    """Interval of the mean with 90 % confidence, from mean, scatter `cv` [-] and number of normal values."""
    half = float(stdtrit(n - 1, (1 + SURE) / 2)) * cv / math.sqrt(n)
    return mean * (1 - half), mean * (1 + half)


def scatter_interval(values: Sequence[float]) -> tuple[float, float]:
    """Interval of the coefficient of variation [-] with 90 % confidence: sd of ln x by chi-square, lognormal values."""
    logs = np.log(np.asarray(values, dtype=float))
    return scatter_ends(float(logs.std(ddof=1)), len(logs))


def scatter_ends(deviation: float, n: int) -> tuple[float, float]:
    """The same from the standard deviation of ln x [-] of `n` values."""
    ends = [deviation * math.sqrt((n - 1) / float(chdtri(n - 1, above)))
            for above in ((1 - SURE) / 2, (1 + SURE) / 2)]  # fmt: skip
    low, high = (math.sqrt(math.expm1(s * s)) for s in ends)
    return low, high


def _moulded(s: Study, cards: Mapping[str, MaterialCard], rules: Rules, compared: Compared) -> Claim:
    name = "claim_share_of_moulded"
    wanted = rule(rules, name)
    claim = f"{s.title}: at least {100 * wanted:g} % of the moulded strength"
    card = cards.get(s.material)
    moulded = compared.moulded or (card.number("moulded_strength") if card is not None else None)
    if moulded is None or len(s.values) < SMALLEST:
        missing = "no moulded strength is stated" if moulded is None else f"{len(s.values)} coupons"
        return Claim(claim, "not decided", missing, rule_source(rules, name))
    low, high = (v / moulded for v in mean_interval(s.values))
    figures = f"mean {100 * s.mean / moulded:.0f} % of {moulded:.4g} MPa, {100 * low:.0f} to {100 * high:.0f} %"
    return Claim(claim, against(low, high, wanted), f"{figures} with 90 % confidence", rule_source(rules, name))


def _scatter(s: Study, cards: Mapping[str, MaterialCard], rules: Rules, compared: Compared) -> Claim:
    name = "claim_scatter"
    claim = f"{s.title}: more repeatable than die casting"
    stated = cards[CAST].number("strength_scatter") if CAST in cards else None
    other = compared.cast_scatter if compared.cast_scatter is not None else stated
    if other is None or len(s.values) < SMALLEST or s.deviation == 0:
        missing = "no scatter of castings is stated" if other is None else f"{len(s.values)} coupons show no scatter"
        return Claim(claim, "not decided", missing, rule_source(rules, name))
    low, high = scatter_interval(s.values)
    figures = f"scatter {100 * s.cv:.1f} %, {100 * low:.1f} to {100 * high:.1f} % with 90 % confidence, castings "
    answer = against(-high, -low, -rule(rules, name) * other)
    return Claim(claim, answer, f"{figures}{100 * other:.1f} %", rule_source(rules, name))


def _peak(s: Study, cards: Mapping[str, MaterialCard], rules: Rules, compared: Compared) -> Claim:
    name = "claim_peak_load"
    share = rule(rules, name)
    stated = compared.mass is not None and compared.metal_mass is not None
    if compared.mass is not None and compared.metal_mass is not None:
        share = compared.mass / compared.metal_mass
    claim = f"{s.title}: bears as much as wrought 6061-T6 at {share:.3g} of its mass"
    source = rule_source(rules, name) + (", masses stated" if stated else "")
    if compared.peak is not None and compared.metal_peak is not None:
        ratio = compared.peak / compared.metal_peak
        figures = f"stated peak loads {compared.peak:.4g} of {compared.metal_peak:.4g} N, {ratio:.2f}"
        return Claim(claim, "holds" if ratio >= 1 else "does not hold", figures, source)
    card, metal = cards.get(s.material), cards.get(WROUGHT)
    density = card.number("density") if card is not None else None
    other, strength = (metal.number("density"), metal.number("ultimate_strength")) if metal else (None, None)
    if density is None or other is None or strength is None:
        missing = f"no card gives the density of {s.material}: state both peak loads"
        return Claim(claim, "not decided", missing, source)
    pulled, bent = bar_ratios(share, s.mean / strength, density / other)
    answer: Answer = "not decided"
    if max(pulled, bent) < 1:
        answer = "does not hold"
    elif min(pulled, bent) >= 1:
        answer = "holds"
    figures = (
        f"a plain bar of one length and that mass bears {pulled:.2f} of the metal's pull and {bent:.2f} of its bending "
        f"moment (mean {s.mean:.4g} against {strength:.4g} MPa); a part shaped for printing may do better: state its "
        "peak load"
    )
    return Claim(claim, answer, figures, source)


def bar_ratios(mass: float, strength: float, density: float) -> tuple[float, float]:
    """Peak pull and peak bending moment [-] of a bar against another of the same length and similar section, from the
    ratios of mass, strength and density [-].

    Area goes as mass/density and section modulus as area^(3/2) for similar sections (Ashby, Materials Selection in
    Mechanical Design, indices sigma/rho and sigma^(2/3)/rho, from memory)."""
    area = mass / density
    return strength * area, strength * area**1.5


def against(low: float, high: float, wanted: float) -> Answer:
    """Whether an interval reaches what is claimed; one that holds it decides nothing."""
    return "holds" if low >= wanted else "does not hold" if high < wanted else "not decided"
