"""How hot a body grows that brakes, turns or stores: one lumped temperature, heated as stated, cooled by air.

    m c dT/dt = P(t) - A (h (T - Ta) + e s (T^4 - Ta^4))

Source: lumped capacitance, Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, ch. 5 (from memory); valid
while the body is warm throughout (Biot number h L / k below 0.1: discs and cases of metal are). What the part itself
draws from the body is left out, so the body is not cooler in truth than here for that reason.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from printworthy.inputs import Descent, HeatBody, Held, Losses, Span, Stops
from printworthy.units import G

Array = NDArray[np.float64]
STEFAN_BOLTZMANN = 5.670374419e-8  # [W/(m2 K4)] CODATA
KELVIN = 273.15
SAMPLES = 40  # times kept between two stops
ACCURACY = 1e-8


@dataclass(frozen=True, slots=True, eq=False)
class History:
    """Temperatures (n,) [degC] of a body at `times` (n,) [s]; at a stop a time stands twice, before and after."""

    times: Array
    temperatures: Array

    @property
    def peak(self) -> float:
        """Hottest temperature [degC]."""
        return float(self.temperatures.max())

    def at(self, time: float) -> float:
        """Temperature [degC] at a time [s]; before the first and after the last it stays."""
        return float(np.interp(time, self.times, self.temperatures))


def braking_energy(mass: float, speed: float) -> float:
    """Kinetic energy m v^2 / 2 [J] of `mass` [kg] at `speed` [mm/s]; wheels' spin left out."""
    return 0.5 * mass * (speed / 1000) ** 2


def temperature_rise(energy: float, mass: float, specific_heat: float) -> float:
    """E / (m c) [K]: `energy` [J] into `mass` [kg] of `specific_heat` [J/(kg K)] without cooling."""
    return energy / (mass * specific_heat)


def end(span: Span, hot: bool | None) -> float:
    """The high end of a span where `hot`, the low end where not; its middle for None."""
    return 0.5 * (span[0] + span[1]) if hot is None else span[1] if hot else span[0]


def history(body: HeatBody, air: float, hot: bool | None, lasts: float = 0.0) -> History:
    """Temperature of a body that starts at `air` [degC], at the hot end of what is stated about it (`hot` True), the
    cool end (False) or the middle (None); followed while it cools until `lasts` [s] if that is later than its drive."""
    if isinstance(body.drive, Held):
        return History(np.array([0.0, max(lasts, 1.0)]), np.full(2, body.drive.temperature))
    rise, power, spans = _drive(body.drive, hot)
    over = spans[-1][1]
    if lasts > over:
        spans.append((over, lasts))
    capacity = body.mass * end(body.specific_heat, _other(hot))
    times: list[Array] = []
    temperatures: list[Array] = []
    now = air
    for start, stop in spans:
        heating = start < over
        now += rise / capacity if heating else 0.0
        t, found = _warmed(body, air, now, power if heating else 0.0, capacity, (start, stop), hot)
        times.append(t)
        temperatures.append(found)
        now = float(found[-1])
    return History(np.concatenate([[0.0], *times]), np.concatenate([[air], *temperatures]))


def _other(hot: bool | None) -> bool | None:
    """The end of what cools: a body is hottest with little mass and a weak film."""
    return None if hot is None else not hot


def _drive(drive: Stops | Descent | Losses, hot: bool | None) -> tuple[float, float, list[Span]]:
    """Energy [J] put in at the start of every stretch, power [W] in it, and the stretches [s]."""
    if isinstance(drive, Stops):
        energy = end(drive.share, hot) * braking_energy(drive.mass, drive.speed)
        return energy, 0.0, list(_stretches(drive))
    if isinstance(drive, Descent):
        energy = drive.mass * G / 1000 * drive.height / 1000
        return 0.0, end(drive.share, hot) * energy / drive.duration, [(0.0, drive.duration)]
    return 0.0, end(drive.power, hot), [(0.0, drive.duration)]


def _stretches(drive: Stops) -> Iterator[Span]:
    for n in range(drive.count):
        yield n * drive.interval, (n + 1) * drive.interval


def _warmed(
    body: HeatBody, air: float, start: float, power: float, capacity: float, span: Span, hot: bool | None
) -> tuple[Array, Array]:
    """Times and temperatures over a stretch of even power; `capacity` [J/K]."""
    film, area = end(body.film, _other(hot)), body.area * 1e-6

    def slope(_: float, t: Array) -> Array:
        radiated = STEFAN_BOLTZMANN * body.emissivity * ((t + KELVIN) ** 4 - (air + KELVIN) ** 4)
        return np.asarray((power - area * (film * (t - air) + radiated)) / capacity)

    kept = np.linspace(*span, SAMPLES)
    found = solve_ivp(slope, span, [start], method="LSODA", t_eval=kept, rtol=ACCURACY, atol=1e-6)
    return kept, np.asarray(found.y[0])
