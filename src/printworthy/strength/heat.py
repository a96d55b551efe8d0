"""The hot states of a part in one material: how warm it grows, at both ends of what is stated."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy import evidence
from printworthy.evidence.values import high_end, low_end
from printworthy.inputs import HeatBody, HeatState, Held, MaterialCard, Part, Quantity, Vehicle
from printworthy.results import DesignValues, HeatResult, SourceHeat
from printworthy.ride.heat import History, history
from printworthy.strength.conduction import Conductivity, Conductor, Flow, conductor
from printworthy.strength.criteria import Relief
from printworthy.strength.exchange import AIR_CONDUCTIVITY, Exchange, exchanges, free_skin, sunlight
from printworthy.strength.margin import near_face
from printworthy.strength.system import Model, Prepared

Array = NDArray[np.float64]
End = Callable[[Quantity], float]  # which end of a spread
STEPS = 40  # of a transient
CONDUCTIVITIES = ("conductivity_in_layer", "conductivity_through")


@dataclass(frozen=True, slots=True, eq=False)
class Warmth:
    """Hot states of one material and direction; `points` (p,) [degC] the hottest of all of them at every point where
    stress is judged, with everything at the end that makes it hot."""

    results: tuple[HeatResult, ...]
    points: Array

    @property
    def hottest(self) -> float:
        """Hottest temperature [degC] anywhere."""
        return max(r.hottest for r in self.results)


@dataclass(frozen=True, slots=True, eq=False)
class Heater:
    """A part's hot states in one material; flows are factored once and serve every direction."""

    conductor: Conductor
    part: Part
    vehicle: Vehicle
    card: MaterialCard
    air: float
    flows: dict[tuple[str, bool], Flow] = field(default_factory=dict)
    found: dict[tuple[float, ...], Warmth] = field(default_factory=dict)


def heater(c: Conductor, part: Part, vehicle: Vehicle, card: MaterialCard, air: float) -> Heater | None:
    """A part's hot states in a material, in air of `air` [degC] where a state does not say; None if it states none, or
    if the card lacks what they need."""
    return Heater(c, part, vehicle, card, air) if part.heat and not lacking(card, part) else None


@dataclass(frozen=True, slots=True, eq=False)
class Heating:
    """A part's hot states in every material that is looked at; `air` [degC] without any."""

    air: float
    heaters: Mapping[str, Heater | None]

    def of(self, material: str, direction: ArrayLike) -> Warmth | None:
        """Hot states of one material built along `direction` (3,); None without any, or if its card lacks something."""
        found = self.heaters.get(material)
        return warmth(found, direction) if found else None

    def hottest(self, material: str, ways: Iterable[ArrayLike]) -> float:
        """Hottest temperature [degC] over some directions, what the map of directions is made for; one that turns out
        hotter still loses strength point by point."""
        found = self.over(material, ways)
        return max(self.air, found.hottest) if found else self.air

    def over(self, material: str, ways: Iterable[ArrayLike]) -> Warmth | None:
        """Hot states of one material over some directions, at every point the hottest of them; None as `of`."""
        states = [w for w in (self.of(material, way) for way in ways) if w is not None]
        if not states:
            return None
        results = tuple(r for w in states for r in w.results)
        return Warmth(results, np.max([w.points for w in states], axis=0))


def heating(ready: Prepared, part: Part, vehicle: Vehicle, cards: Iterable[MaterialCard], air: float) -> Heating:
    """Hot states of a part in these materials; no work where it states none."""
    if not part.heat:
        return Heating(air, {})
    body = conductor(ready, part.fill)
    return Heating(air, {card.name: heater(body, part, vehicle, card, air) for card in cards})


def relief(w: Warmth | None, card: MaterialCard, design: DesignValues, hottest: float) -> Relief | None:
    """What every strength gains where the part is cooler than `hottest` [degC], for which `design` was made."""
    return evidence.relief(card, design, hottest, w.points) if w else None


def relieved(m: Model, gain: Relief | None) -> Model:
    """The model with its utilisation lessened where the part is cooler than its design values allow for, as the map of
    directions judges it: at every point by the `relief` of the strength that gains least there, so never by too much.
    Every criterion is in proportion to stress over strength, so one factor at a point is one factor on all of them."""
    if gain is None:
        return m
    least = np.min(list(gain.values()), axis=0)
    return replace(m, sampler=replace(m.sampler, worked=m.sampler.worked / least))


def lacking(card: MaterialCard, part: Part) -> str:
    """Name of the property without which the part's hot states cannot be computed in this material, or ''."""
    wanted = [*CONDUCTIVITIES] + (["specific_heat"] if any(s.duration is not None for s in part.heat) else [])
    return next((name for name in wanted if name not in card.values), "")


def warmth(h: Heater, direction: ArrayLike) -> Warmth:
    """Every hot state for a build direction (3,), kept for the next asker. Raises NotComputed."""
    n = np.asarray(direction, float)
    key = tuple(n.tolist())
    if key not in h.found:
        states = [_state(h, state, n) for state in h.part.heat]
        h.found[key] = Warmth(tuple(r for r, _ in states), np.max([t for _, t in states], axis=0))
    return h.found[key]


def _state(h: Heater, state: HeatState, n: Array) -> tuple[HeatResult, Array]:
    """One state: hot end of everything at both ends of the conductivity, pointwise the hotter; the cool end at its
    middle, since where a part is hottest its surroundings count more than its own conductivity."""
    spread = h.part.fill or any(low_end(h.card.values[k]) != high_end(h.card.values[k]) for k in CONDUCTIVITIES)
    ends: tuple[End, ...] = (low_end, high_end) if spread else (_stated,)
    hot, gap = zip(*(_solved(h, state, n, True, end) for end in ends), strict=True)
    cool, _ = _solved(h, state, n, False, _stated)
    points = np.max(hot, axis=0)
    sampler = h.conductor.ready.sampler
    place = sampler.points[int(np.argmax(points))]
    inner = points[: len(sampler.weights)]
    result = HeatResult(
        state=state.name,
        material=h.card.name,
        direction=(float(n[0]), float(n[1]), float(n[2])),
        air=_air(h, state),
        sources=tuple(source_heat(b, _air(h, state), state) for b in _bodies(h, state).values()),
        hottest=float(points.max()),
        coolest=float(cool.max()),
        mean=float(inner @ sampler.weights / sampler.weights.sum()),
        point=(float(place[0]), float(place[1]), float(place[2])),
        near_face=near_face(h.conductor.ready.space, place),
        balance=max(gap),
        duration=state.duration,
        unknowns=h.conductor.unknowns,
        source=state.source,
    )
    return result, points


def _air(h: Heater, state: HeatState) -> float:
    return h.air if state.air is None else state.air


def _bodies(h: Heater, state: HeatState) -> dict[str, HeatBody]:
    """Bodies the state's paths name; that they are stated was checked when the workspace was read."""
    named = {b.name: b for b in h.vehicle.heat_bodies}
    return {p.source: named[p.source] for p in state.paths if p.source}


def _stated(quantity: Quantity) -> float:
    return quantity.value


def _solved(h: Heater, state: HeatState, n: Array, hot: bool, end: End) -> tuple[Array, float]:
    """Temperatures (p,) [degC] at the judged points and the heat that does not add up."""
    key = (state.name, hot)
    if key not in h.flows:
        h.flows[key] = _flow(h, state, hot)
    flow, c, k = h.flows[key], h.conductor, _conductivity(h, hot, end)
    if state.duration is not None:
        return flow.transient(k, n, _air(h, state), state.duration, STEPS), 0.0
    t = flow.steady(k, n)
    return np.asarray(c.judged @ t), flow.balance(t)


def _conductivity(h: Heater, hot: bool, end: End) -> Conductivity:
    card = h.card
    k1, k3 = (end(card.values[name]) for name in CONDUCTIVITIES)
    infill = 1.0 if h.part.fill is None else infill_share(h.part.fill.density, (k1, k3), least=end is low_end)
    if "specific_heat" not in card.values:
        return Conductivity(k1, k3, infill=infill)
    # A part that stores little is hot sooner.
    store = low_end if hot else high_end
    return Conductivity(k1, k3, 1e-3 * card.values["density"].value * store(card.values["specific_heat"]), infill)


def infill_share(density: float, solid: Sequence[float], *, least: bool) -> float:
    """Conductivity [-] of infill of a relative density [-], as a share of the solid print's `solid` [W/(m K)].

    Bounds of any mix of polymer and still air: the least with both in series, the most side by side (Wiener 1912, from
    memory). Heat radiated across the cells is not in it.
    """
    if least:
        return 1 / (density + (1 - density) * max(solid) / AIR_CONDUCTIVITY)
    return density + (1 - density) * AIR_CONDUCTIVITY / min(solid)


def _flow(h: Heater, state: HeatState, hot: bool) -> Flow:
    c, air = h.conductor, _air(h, state)
    left = np.ones(len(c.area), dtype=bool)
    found: list[Exchange] = []
    bodies = _bodies(h, state)
    for path in state.paths:
        where = c.points_of(c.ready.faces[path.face])
        left[where] = False
        body = bodies.get(path.source)
        past = None if body is None else history(body, air, hot, state.duration or 0.0)
        peak = air if past is None else past.peak
        found += exchanges(state, path, body, where, hot, air, _over_time(past, state, air), peak)
    found.append(free_skin(state, np.flatnonzero(left), hot, air))
    return Flow(c, found, sunlight(state, c.normals) * left, air)


def _over_time(past: History | None, state: HeatState, air: float) -> Callable[[float], float]:
    """Temperature of a body over time; of a steady state its peak."""
    if past is None:
        return lambda _: air
    return past.at if state.duration is not None else lambda _: past.peak


def source_heat(body: HeatBody, air: float, state: HeatState) -> SourceHeat:
    """A body's peak at both ends and the middle of what is stated."""
    low, middle, high = (history(body, air, hot, state.duration or 0.0).peak for hot in (False, None, True))
    words = "temperature as measured" if isinstance(body.drive, Held) else "one lumped temperature, cooled by air"
    return SourceHeat(body.name, body.kind, low, middle, high, f"{words}; {body.source}")
