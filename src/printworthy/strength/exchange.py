"""Heat through the skin of a part: free air, radiation, sun, joints, air gaps, heat shields. In W/m2, m, degC.

Each is a function of the skin's own temperature, evaluated at every surface point at once; slopes go with the values,
so that the conduction solver can step by Newton.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from printworthy.inputs import HeatBody, HeatPath, HeatState
from printworthy.ride.heat import KELVIN, STEFAN_BOLTZMANN, end

Array = NDArray[np.float64]
AIR_CONDUCTIVITY = 0.0241  # [W/(m K)] at 0 degC, grows with absolute temperature ^ 0.9 (tables, from memory)
AIR_DIFFUSION = 1.33e-5 * 1.88e-5  # [m4/s2] kinematic viscosity times thermal diffusivity of air at 0 degC, from memory


@dataclass(frozen=True, slots=True)
class Exchange:
    """q = u (Ts - T) + s f ((Ts + 273)^4 - (T + 273)^4) into a skin at T, plus `sun` absorbed: `u` [W/(m2 K)] and
    exchange factor `f` [-] with surroundings at Ts = `outside`(t) [degC]; on the surface points `where`."""

    where: NDArray[np.intp]
    u: float
    f: float
    outside: Callable[[float], float]

    def flux(self, skin: Array, time: float) -> tuple[Array, Array]:
        """Flux into the part [W/m2] and minus its slope [W/(m2 K)] at skin temperatures (k,) [degC]."""
        outside = self.outside(time)
        warm = np.maximum(skin, -KELVIN) + KELVIN
        radiated = STEFAN_BOLTZMANN * self.f
        q = self.u * (outside - skin) + radiated * ((outside + KELVIN) ** 4 - warm**4)
        return q, self.u + 4 * radiated * warm**3


def still_air(gap: float, warm: float, cold: float) -> float:
    """Conductance [W/(m2 K)] of a layer of still air of `gap` [mm] between faces at `warm` and `cold` [degC].

    k / d times the Nusselt number of a level layer heated from below, the position that carries most: Hollands et al.
    1976, Nu = 1 + 1.44 [1 - 1708/Ra]+ + [(Ra/5830)^(1/3) - 1]+ (from memory). Up to Ra 1e7, beyond which it is used
    as it stands.
    """
    kelvin = 0.5 * (warm + cold) + KELVIN
    hot = kelvin / KELVIN
    metres = gap / 1000
    rayleigh = 9.81 / kelvin * abs(warm - cold) * metres**3 / (AIR_DIFFUSION * hot**3.5)
    onset = max(0.0, 1 - 1708 / rayleigh) if rayleigh > 0 else 0.0
    nusselt = 1 + 1.44 * onset + max(0.0, np.cbrt(rayleigh / 5830) - 1)
    return float(AIR_CONDUCTIVITY * hot**0.9 * nusselt / metres)


def radiation_factor(body: float, skin: float, view: float = 1.0, shields: int = 0, shield: float = 1.0) -> float:
    """Exchange factor [-] between a body and a skin of these emissivities across `shields` thin sheets.

    Resistances in series, (1-e)/e at a surface and 1/F across a space: Incropera and DeWitt, ch. 13 (from memory). All
    spaces are given the resistance of the least one, so that the factor is not below the true one when air conducts
    between the sheets as well.
    """
    if not shields:
        return 1 / ((1 - body) / body + 1 / view + (1 - skin) / skin)
    open_side = (1 - body) / body + 1 / view + (1 - shield) / shield
    between = 2 / shield - 1
    part_side = (1 - skin) / skin + 1 + (1 - shield) / shield
    spaces = [open_side, part_side] + ([between] if shields > 1 else [])
    return 1 / ((shields + 1) * min(spaces))


def exchanges(
    state: HeatState, path: HeatPath, body: HeatBody | None, where: NDArray[np.intp],
    hot: bool, air: float, temperature: Callable[[float], float], peak: float,
) -> list[Exchange]:  # fmt: skip
    """What one stated path brings to its face. `temperature` of the body over time, `peak` its hottest [degC]."""

    def outside(_: float) -> float:
        return air

    skin = state.emissivity
    cooling = end(state.film if path.film is None else path.film, not hot)
    if body is None:
        return [Exchange(where, cooling, skin, outside)]
    if path.contact is not None:
        return [Exchange(where, end(path.contact, hot), 0.0, temperature)]
    if path.gap is not None:
        spaces = path.shields + 1
        u = still_air(path.gap / spaces, peak, air) / spaces
        return [Exchange(where, u, radiation_factor(body.emissivity, skin, 1.0, path.shields, path.shield_emissivity),
                         temperature)]  # fmt: skip
    view = 1.0 if path.view is None else path.view
    seen = radiation_factor(body.emissivity, skin, view, path.shields, path.shield_emissivity)
    return [
        Exchange(where, 0.0, seen, temperature),
        Exchange(where, cooling, skin * (1 - view), outside),
    ]


def free_skin(state: HeatState, where: NDArray[np.intp], hot: bool, air: float) -> Exchange:
    """Skin on no path: film to the air, radiation to surroundings as warm as the air."""
    cooling = end(state.film, not hot)
    return Exchange(where, cooling, state.emissivity, lambda _: air)


def sunlight(state: HeatState, normals: Array) -> Array:
    """Sun absorbed [W/m2] by skin of outward unit `normals` (p, 3); what shades it is left out."""
    toward = np.array(state.sun_from) / np.linalg.norm(state.sun_from)
    return state.absorptance * state.sun * np.maximum(normals @ toward, 0.0)
