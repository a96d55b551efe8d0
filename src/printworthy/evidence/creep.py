"""What is left of a force that was set once: bolts tightened on plastic, clamps, bearings pressed in.

Findley's law, strain(t) = strain(0) (1 + m t^n) under a steady stress, turned into the fall of stress under a steady
strain. The law is linear in stress and holds at the temperature it was measured at.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import integrate

from printworthy.errors import CardError
from printworthy.evidence.service import LONGEST
from printworthy.evidence.values import ROOM, high_end, low_end
from printworthy.inputs import MaterialCard

REACH = 10.0  # times the length of a test for which its law is believed (common practice, no source)
WARMER = 3.0  # [K] by which service may exceed the creep test: no more than its temperature was held to, assumed
SETTLED = 20.0  # (x u)^(1/n) beyond which the integrand is nothing
FEW, TERMS = 0.1, 20  # the series is then good to 1e-16
SLEEVE = "put a metal sleeve through the part"
NEED = f"state creep_amplitude, creep_exponent, creep_temperature and creep_duration on the card, or {SLEEVE}"


@dataclass(frozen=True, slots=True)
class Kept:
    """Share [-] of a set force that is left, `low` to `high` over the card's range, after `hours` [h] at `temperature`
    [degC]. `decided` False: not known, low 0 and high 1; `words` say what is missing, `source` says where m and n
    are from."""

    low: float
    high: float
    hours: float | None
    temperature: float
    decided: bool
    words: str
    source: str


def relaxed_share(hours: float, amplitude: float, exponent: float) -> float:
    """Share [-] of the stress left after `hours` [h] at a steady strain in a solid that creeps by 1 + m t^n.

    Exact in linear viscoelasticity: E_n(-m Gamma(1 + n) t^n), with E_n the Mittag-Leffler function (the Laplace
    transform of creep and relaxation multiply to 1/s^2: W. N. Findley, J. S. Lai, K. Onaran, Creep and Relaxation of
    Nonlinear Viscoelastic Materials, 1976, ch. 5, from memory). 1 / (1 + m t^n) lies above it. CardError for a negative
    time or constants out of 0 < n < 1, m >= 0.
    """
    if hours < 0 or amplitude < 0 or not 0 < exponent < 1:
        raise CardError("creep needs t >= 0, m >= 0 and 0 < n < 1", do="Correct creep_amplitude and creep_exponent")
    return mittag_leffler(exponent, amplitude * math.gamma(1 + exponent) * hours**exponent)


def mittag_leffler(n: float, x: float) -> float:
    """E_n(-x) [-] for 0 < n < 1 and x >= 0.

    Its series sum (-x)^k / Gamma(n k + 1) below 0.1; above, sin(n pi)/(n pi) int exp(-(x u)^(1/n)) / (u^2 +
    2 u cos(n pi) + 1) du over u >= 0 (R. Gorenflo and F. Mainardi 1997, from memory).
    """
    if x < FEW:
        return math.fsum((-x) ** k / math.gamma(n * k + 1) for k in range(TERMS))
    end = SETTLED**n * 2 / x
    turn = math.cos(n * math.pi)

    def inside(u: np.ndarray | float) -> float:
        return math.exp(-((x * float(u)) ** (1 / n))) / (float(u) ** 2 + 2 * float(u) * turn + 1)

    places = sorted(p for p in (1.0, 1 / x) if p < end)
    total, _ = integrate.quad(inside, 0.0, end, points=places or None, limit=400)
    return float(math.sin(n * math.pi) / (n * math.pi) * total)


def kept_share(card: MaterialCard, hours: float | None, temperature: float) -> Kept:
    """What is left of a force set once after `hours` [h] (None: nobody stated them) at `temperature` [degC].

    Not decided beyond ten times the card's creep tests, or hotter than they were by more than 3 K.

    The metal of bolt or ring is taken as rigid, which loses the most. Low: the high ends of the card's m and n; high:
    their low ends. Cold gives no credit.
    """
    m, n = card.values.get("creep_amplitude"), card.values.get("creep_exponent")
    if m is None or n is None:
        return _unknown(hours, temperature, f"the card {card.name} has no creep figures: {NEED}")
    source = f"Findley m = {m.value:g}, n = {n.value:g}: {m.source} ({m.confidence})"
    if hours is None:
        return _unknown(hours, temperature, "how long a force must hold is not stated: state lasting_load, the time "
                        "between two tightenings", source)  # fmt: skip
    if hours > LONGEST:
        return _unknown(hours, temperature, f"{hours:g} h is longer than {LONGEST:g} h", source)
    beyond = _beyond(card, hours)
    if beyond:
        return _unknown(hours, temperature, beyond, source)
    tested = card.values.get("creep_temperature")
    warm = ROOM if tested is None else high_end(tested)
    if temperature > warm + WARMER:
        words = f"creep was measured at {warm:g} degC, service reaches {temperature:g} degC: test creep there"
        return _unknown(hours, temperature, f"{words}, or {SLEEVE}", source)
    ends = [relaxed_share(hours, a, b) for a, b in ((high_end(m), high_end(n)), (low_end(m), low_end(n)))]
    low, high = min(ends), max(ends)
    words = f"{100 * low:.0f} to {100 * high:.0f} % is left after {hours:g} h at up to {temperature:g} degC"
    return Kept(low, high, hours, temperature, True, words, source)


def _beyond(card: MaterialCard, hours: float) -> str:
    """Why the card's creep tests do not speak for `hours` [h], in words; "" where they do."""
    tested = card.values.get("creep_duration")
    longer = (
        f"creep three coupons for {hours / REACH:.3g} h or more, tighten again more often (lasting_load), or {SLEEVE}"
    )
    if tested is None:
        return f"the card does not say how long its creep tests lasted (creep_duration): state it, or {longer}"
    length = low_end(tested) / 3600
    if hours <= REACH * length * (1 + 1e-9):
        return ""
    believed = f"creep was tested for {length:.4g} h and is believed to ten times that, {REACH * length:.4g} h"
    return f"{believed}; {hours:g} h are asked: {longer}"


def _unknown(hours: float | None, temperature: float, words: str, source: str = "no creep data") -> Kept:
    return Kept(0.0, 1.0, hours, temperature, False, words, source)
