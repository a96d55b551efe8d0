"""From a day of use to cycles: a log, statistics or a computed course of a duty, as shares of the load of its case.

A measured course is divided by the value at which the case's load acts in full, so that mass and lever arms are those
of the case. Statistics become cycles through a named model of the distribution of amplitudes, never without one:

Rayleigh  narrow-band Gaussian shaking: share of cycles above z times the rms exp(-z^2 / 2), one cycle for each upward
          crossing of the mean (J. W. Miles 1954; J. S. Bendat 1964; from memory). Too many large cycles for a broad
          band, too few for shaking with blows in it.
Rayleigh and peaks: Rayleigh, and once in each record its peak, as a cycle of twice that range: for shaking out of which
          single blows stand (own model; smaller blows of a record are in its rms alone).
Weibull   exp(-(z / c)^k), for shaking with blows: c from the rms (mean of z^2 is 2), k from the crest factor, the
          value reached once in the cycles of the record (largest of N, ln N = (z / c)^k). k = 2 is Rayleigh. Weibull
          long-term ranges are usual for waves on structures (from memory); that they hold for rides is assumed.
Dirlik    ranges of rainflow cycles of Gaussian shaking with a stated spectral density (T. Dirlik, thesis, Warwick 1985;
          constants from memory, checked in the tests against counted time histories).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from printworthy.errors import InputError
from printworthy.inputs import Cycle, Duty, Full, LoadQuantity, Log, RideEvent, Shaking
from printworthy.units import G

Array = NDArray[np.float64]
Above = Callable[[Array], Array]
CLASSES = 120
HORIZON = 1e3  # [h or km of ride] in which the largest counted cycle comes once
SHAPES = np.linspace(0.4, 6.0, 113)  # exponents k of the Weibull model that are believed
G_KEYS = ("multiple",)  # numbers of events that count in gravities
KEYS = ("sprung", "unsprung", "level", "force", "multiple")


@dataclass(frozen=True, slots=True)
class Spectrum:
    """Amplitudes: `above` gives the share of cycles larger than z times `rms`, `rate` how many come [1/s]."""

    rms: float
    rate: float
    above: Above
    blow: tuple[float, float] = (0.0, 0.0)  # a single amplitude [rms] and how often it comes beside the rest [1/s]


def settled(duty: Duty | None, event: RideEvent | None = None, course: Array | None = None) -> Duty | None:
    """A duty in cycles and turning points alone; `course` (n,): the load that the event's model computes, as shares.

    Raises InputError where a duty asks for what the event does not have.
    """
    if duty is None or (duty.log is None and duty.shaking is None and not duty.computed):
        return duty
    made = replace(duty, log=None, shaking=None, computed=False)
    if duty.computed:
        if course is None:
            what = "no course of the load is computed for this event, or for this part"
            raise InputError(
                what, where=duty.place or "", do="Computed are bump and landing; else state ratio or history"
            )
        return replace(made, history=tuple(float(v) for v in course), source=f"{duty.source}; computed course")
    if duty.log is not None:
        made = _logged(made, duty.log, _full(duty.log.full, duty, event, duty.log.quantity))
    if duty.shaking is not None:
        made = _shaken(made, duty.shaking, _full(duty.shaking.full, duty, event, "acceleration"))
    return made


def _full(stated: str | Full, duty: Duty, event: RideEvent | None, wanted: LoadQuantity) -> float:
    """The value at which the case's load acts in full [mm/s2 or N]: an acceleration for a record of accelerations, a
    force for one of forces."""
    found = stated if isinstance(stated, Full) else _of_event(stated, duty, event)
    if found.quantity != wanted:
        words = {"acceleration": "accelerations", "force": "forces"}
        what = f"the record holds {words[wanted]}, and full is given in {words[found.quantity]}"
        raise InputError(what, where=duty.place or "", do="State full in what the record holds, or correct its unit")
    return found.value


def _of_event(key: str, duty: Duty, event: RideEvent | None) -> Full:
    known = [k for k in KEYS if event is not None and event.numbers.get(k)]
    if event is None or key not in known:
        do = f"Event numbers are: {', '.join(known)}" if known else 'Write it in figures: full = "3 g"'
        raise InputError(f'full = "{key}" is no number of the event', where=duty.place or "", do=do)
    quantity: LoadQuantity = "force" if key == "force" else "acceleration"
    return Full(event.numbers[key] * (G if key in G_KEYS else 1.0), quantity)


def _logged(duty: Duty, log: Log, full: float) -> Duty:
    """Turning points as shares; the log stands for the ride it covers."""
    span = log.covers.value if log.covers is not None else log.seconds / 3600
    if log.covers is not None and log.covers.per != duty.per:
        what = f"the log covers {log.covers}, and the duty counts by {duty.per}"
        raise InputError(what, where=duty.place or "", do="State both in hours, or both in kilometres")
    if log.covers is not None and log.covers.per == "h" and span * 3600 < 0.99 * log.seconds:
        what = f"{log.file.name} lasts {log.seconds / 3600:.3g} h and is said to cover {log.covers}"
        raise InputError(what, where=duty.place or "", do="Let it cover at least its own length; check both units")
    words = f"{log.file.name} '{log.column}', {log.seconds:.3g} s, {len(log.turning)} turning points, rainflow"
    shares = tuple(float(v) / full for v in log.turning)
    return replace(duty, history=shares, passes=1 / span, source=f"{duty.source}; {words}")


def _shaken(duty: Duty, s: Shaking, full: float) -> Duty:
    """Cycles at the high end of what is known, and at its low end."""
    per = 3600.0 if duty.per == "h" else 1e6 / (s.speed or 1.0)
    mean = (G if s.gravity == "to add" else 0.0) / full
    hard, mild = spectrum_of(s, 1), spectrum_of(s, 0)
    cycles, gentle = (
        tuple(Cycle(2 * a / full, mean, n) for a, n in zip(*classes(x, s.share * per), strict=True))
        for x in (hard, mild)
    )
    largest = full * (mean + max(c.range for c in cycles) / 2) / G
    words = f"{s.model} model, rms {mild.rms / G:.3g} to {hard.rms / G:.3g} g, {mild.rate:.3g} to {hard.rate:.3g} per s"
    if s.crest is not None:
        words += f", crest factor {s.crest[0]:.3g} to {s.crest[1]:.3g}"
    words += f", up to {largest:.3g} g"
    return replace(
        duty, cycles=(*duty.cycles, *cycles), gentle=(*duty.cycles, *gentle),
        source=f"{duty.source}; {words}, on {100 * s.share:.3g} % of the ride",
    )  # fmt: skip


def spectrum_of(s: Shaking, end: int) -> Spectrum:
    """The distribution at one end (0 low, 1 high) of what is known. Raises InputError."""
    if s.model == "Dirlik":
        found = dirlik(np.array(s.frequencies), np.array(s.densities))
        spread = s.density.spread if s.density is not None else 1.0
        return replace(found, rms=found.rms * (spread if end else 1 / spread))
    if s.model == "Rayleigh":
        return Spectrum(s.rms[end], s.crossings[end], rayleigh)
    assert s.crest is not None
    assert s.over is not None
    if s.model == "Rayleigh and peaks":
        return Spectrum(s.rms[end], s.crossings[end], rayleigh, (s.crest[end], 1 / s.over))
    return Spectrum(s.rms[end], s.crossings[end], weibull(s.crest[end], s.crossings[end] * s.over, s))


def rayleigh(z: Array) -> Array:
    """Share of cycles with an amplitude above z times the rms (module text)."""
    return np.asarray(np.exp(-(z**2) / 2))


def weibull(crest: float, cycles: float, of: Shaking | None = None) -> Above:
    """The Weibull model whose largest of `cycles` is `crest` times the rms. Raises InputError where no exponent from
    0.4 to 6 does it: the figures do not belong together, or single blows stand out of the shaking."""

    def off(k: float) -> float:
        return _scale(k) * math.log(cycles) ** (1 / k) - crest

    # Of few cycles the crest first rises with k; the root on the falling side is the one with the lighter tail.
    first = SHAPES[int(np.argmax([off(float(k)) for k in SHAPES]))] if cycles > 1 else SHAPES[-1]
    if cycles <= 1 or off(float(first)) < 0 or off(float(SHAPES[-1])) > 0:
        what = f"a crest factor of {crest:.3g} in {cycles:.3g} cycles is none that the Weibull model can have"
        place = of.place if of is not None and of.place is not None else ""
        raise InputError(
            what,
            where=place,
            do='Check rms, peak and duration; for single blows take "Rayleigh and peaks", levels or a log',
        )
    k = float(brentq(off, float(first), float(SHAPES[-1])))
    return lambda z: np.asarray(np.exp(-((z / _scale(k)) ** k)))


def _scale(k: float) -> float:
    """c of the Weibull model for a mean square of z of 2: c^2 Gamma(1 + 2/k) = 2."""
    return math.sqrt(2 / math.gamma(1 + 2 / k))


def moments(frequencies: Array, densities: Array) -> tuple[float, float, float, float]:
    """Spectral moments 0, 1, 2, 4 of a one-sided density over frequency [1/s], by the trapezoidal rule."""
    m0, m1, m2, m4 = (float(np.trapezoid(frequencies**k * densities, frequencies)) for k in (0, 1, 2, 4))
    return m0, m1, m2, m4


def dirlik(frequencies: Array, densities: Array) -> Spectrum:
    """Dirlik's distribution of rainflow ranges, as amplitudes; cycles come at the rate of peaks sqrt(m4 / m2)."""
    m0, m1, m2, m4 = moments(frequencies, densities)
    g = m2 / math.sqrt(m0 * m4)  # irregularity: zero crossings over peaks
    x = m1 / m0 * math.sqrt(m2 / m4)
    d1 = 2 * (x - g**2) / (1 + g**2)
    r = (g - x - d1**2) / (1 - g - d1 + d1**2)
    d2 = (1 - g - d1 + d1**2) / (1 - r)
    d3 = 1 - d1 - d2
    q = 1.25 * (g - d3 - d2 * r) / d1

    def above(z: Array) -> Array:
        return np.asarray(d1 * np.exp(-z / q) + d2 * np.exp(-(z**2) / (2 * r**2)) + d3 * np.exp(-(z**2) / 2))

    return Spectrum(math.sqrt(m0), math.sqrt(m4 / m2), above)


def classes(s: Spectrum, seconds: float) -> tuple[Array, Array]:
    """Amplitudes (n,) [unit of the rms] and how often each comes (n,) in so many seconds: equal classes up to the
    amplitude that comes once in `HORIZON` times as long; what is rarer is left out."""
    total = s.rate * seconds
    rarest = 1 / (total * HORIZON)
    top = float(brentq(lambda z: float(s.above(np.array(z))) - rarest, 0.0, 1e4)) if rarest < 1 else 1.0
    edges = np.linspace(0.0, top, CLASSES + 1)
    shares = -np.diff(s.above(edges))
    blow, often = s.blow
    amplitudes, counts = (edges[1:] + edges[:-1]) / 2, total * shares
    return s.rms * np.append(amplitudes, blow), np.append(counts, often * seconds)
