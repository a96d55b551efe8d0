"""Critical-distance value: what decides where the elastic peak has no limit, or none that the file can tell.

The theory of critical distances (D. Taylor, book of that name, 2007, from memory) compares with the strength not the
peak but the stress averaged over a length of the material, L = (K_Ic / strength)^2 / pi. Here by the line method: the
mean over 2 L inwards from the peak; the point method, the stress at L / 2, is given beside it.

It holds for tension and shear that open or slide a crack; compression keeps its raw value. L is taken short, from the
low end of the card's toughness and the strength before any knock-down, which averages less away.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import ngsolve as ng
import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.errors import NotComputed
from printworthy.evidence.values import low_end
from printworthy.inputs import MaterialCard
from printworthy.results import CriticalDistance, DesignValues, MeshBracket
from printworthy.strength.criteria import MODES, Strengths, by_mode
from printworthy.strength.elastic import strain_rotation
from printworthy.strength.lay import frame_at, vector
from printworthy.strength.margin import layer_stress
from printworthy.strength.seat import Seat, seat, wall_along
from printworthy.strength.solution import Solution
from printworthy.strength.space import strain
from printworthy.strength.system import Model

Array = NDArray[np.float64]
METHOD = "line method, mean over 2 L"
PLACES = 96  # on the line, denser towards the peak
NEAR = 2.0  # the peak is looked for on the skin within this many element sizes of the place given
FEWEST = 2  # elements that the line must cross
RESOLVED = 0.5  # of L: largest element size at the peak, so that four lie along the line
REMESH = "Mesh it again with another element_size"
OF_WALL = 0.25  # of the wall: longest line. On plain bending its mean then lies a quarter below the skin's stress.
ACROSS = 0.5  # a way inward that has less than this in the plane of the crack is not followed
TILT = 0.02  # towards the mean inward normal, about 1 degree: a way along another face then runs inside, not on it
BETWEEN, IN_LAYER = (0,), (2, 4, 5)  # modes by the crack that L belongs to; the others are compression


@dataclass(frozen=True, slots=True)
class Lengths:
    """L [mm] of a crack between layers and of one across them; None where the card has no toughness."""

    between: float | None
    in_layer: float | None

    def of_modes(self) -> dict[int, float]:
        """L by number of the mode, where there is one."""
        pairs = [(BETWEEN, self.between), (IN_LAYER, self.in_layer)]
        return {mode: length for modes, length in pairs if length is not None for mode in modes}


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """Layer stress (n, 6) [MPa] on a line inwards at `places` (n,) [mm] from the peak, in `elements` (n,), through a
    `wall` [mm]. Places are squares of evenly spread numbers, so that an even mean weighs them by their root."""

    places: Array
    stress: Array
    elements: NDArray[np.int64]
    wall: float


def critical_length(toughness: float, strength: float) -> float:
    """L [mm] of a toughness [MPa m^0.5] and a strength [MPa]: (K / strength)^2 / pi, Taylor 2007 (from memory)."""
    return 1000.0 * (toughness / strength) ** 2 / pi


def lengths(card: MaterialCard, design: DesignValues) -> Lengths:
    """L of both cracks: low end of the card's toughness, strength as measured, before knock-downs."""

    def one(name: str, strength: float) -> float | None:
        return critical_length(low_end(card.values[name]), strength) if name in card.values else None

    return Lengths(one("toughness_between", design.between.start), one("toughness_in_layer", design.in_layer.start))


def critical_value(
    m: Model, s: Solution, case: int, point: ArrayLike, design: DesignValues, factor: float, card: MaterialCard
) -> CriticalDistance:
    """Utilisation by critical distance at the peak near `point` (3,) [mm] of a case (its number), `factor` included.

    The value is None where the card has no toughness. Not valid, with the reason, where elements are larger than L / 2,
    where 2 L is more than a quarter of the wall, or where compression governs.
    """
    strengths = Strengths.of(design)
    at = _skin_peak(m, s, case, np.asarray(point, float), strengths)
    here = layer_stress(m, s, case)[len(m.sampler.weights) + int(np.searchsorted(m.sampler.skin, at.vertex))]
    raw = by_mode(here, strengths)
    known = lengths(card, design).of_modes()
    first = int(np.argmax(raw))
    if not known:
        words = f"no critical-distance value: card {card.name} has no toughness"
        return _record(m, case, at, first, factor * raw, None, None, None, None, words)
    line = _steepest(m, s, case, at, first, 2 * max(known.values()), strengths)
    values, half, faults = raw.copy(), raw.copy(), {}
    for mode, length in known.items():
        fault = fault_of(line, length, at.size)
        if fault:
            faults[mode] = fault
            continue
        values[mode] = by_mode(mean_over(line, 2 * length), strengths)[mode]
        half[mode] = by_mode(stress_at(line, 0.5 * length), strengths)[mode]
    mode = int(np.argmax(values))
    used = known.get(mode)
    why = faults.get(mode, "" if used is not None else _unaveraged(mode, card))
    words = f"not valid: {why}" if why else f"{METHOD}, L = {used:.2g} mm"
    return _record(m, case, at, mode, factor * raw, factor * values, factor * half, used, line, words, valid=not why)


def _unaveraged(mode: int, card: MaterialCard) -> str:
    if mode in BETWEEN + IN_LAYER:
        return f"{MODES[mode]} governs and card {card.name} has no toughness for it"
    return f"{MODES[mode]} governs, for which critical distances say nothing"


def _record(
    m: Model, case: int, at: Seat, mode: int, raw: Array, values: Array | None, half: Array | None,
    length: float | None, line: Line | None, words: str, *, valid: bool = False,
) -> CriticalDistance:  # fmt: skip
    return CriticalDistance(
        case=m.part.cases[case].name,
        mode=MODES[mode],
        point=vector(at.point),
        method=METHOD,
        value=None if values is None else float(values[mode]),
        at_half=None if half is None else float(half[mode]),
        raw=float(raw.max()),
        length=length,
        wall=0.0 if line is None else line.wall,
        elements=0 if line is None or length is None else crossed(line, 2 * length),
        valid=valid,
        words=words,
    )


def _skin_peak(m: Model, s: Solution, case: int, point: Array, strengths: Strengths) -> Seat:
    """The most highly worked skin vertex within `NEAR` element sizes of a point, or the nearest one."""
    solid, skin = m.space.solid, m.sampler.skin
    distance = np.linalg.norm(solid.points[skin] - point, axis=1)
    nearest = int(np.argmin(distance))
    close = distance <= max(NEAR * seat(solid, int(skin[nearest])).size, distance[nearest])
    worked = by_mode(layer_stress(m, s, case)[len(m.sampler.weights) :], strengths).max(axis=1)
    return seat(solid, int(skin[np.argmax(np.where(close, worked, -1.0))]))


def _steepest(m: Model, s: Solution, case: int, at: Seat, mode: int, reach: float, strengths: Strengths) -> Line:
    """The line along which the governing mode falls fastest, of those with enough wall: the notch's own at an edge.

    Ways: the inward normals, laid in the plane of the crack (the layer, or across the largest principal stress of the
    mean along the mean normal, since the stress at the peak itself turns with the mesh).
    """
    middle = sampled(m, s, case, at, at.inward[0], reach)
    opening = _opening(m, s, mean_over(middle, reach), mode)
    ways = []
    for way in at.inward:
        flat = way - (way @ opening) * opening
        length = float(np.linalg.norm(flat))
        if length > ACROSS:
            flat = flat / length + TILT * at.inward[0]
            ways.append(flat / np.linalg.norm(flat))
    every = [sampled(m, s, case, at, way, reach) for way in ways] or [middle]
    lines = [line for line in every if reach <= OF_WALL * line.wall] or every
    return min(lines, key=lambda line: float(by_mode(mean_over(line, reach), strengths)[mode]))


def _opening(m: Model, s: Solution, here: Array, mode: int) -> Array:
    """Unit normal (3,) of the crack, part axes: the build direction, or that of the largest principal stress."""
    frame = frame_at(m.part, s.direction)
    if mode in BETWEEN:
        return frame[2]
    x, y, z, yz, xz, xy = here
    _, axes = np.linalg.eigh(np.array([[x, xy, xz], [xy, y, yz], [xz, yz, z]]))
    return frame.T @ axes[:, -1]


def sampled(m: Model, s: Solution, case: int, at: Seat, way: Array, reach: float) -> Line:
    """Layer stress along a unit vector `way` (3,) up to `reach` [mm] or to the end of the wall.

    Raises NotComputed if no place on it is found in the mesh.
    """
    wall = wall_along(m.space.solid, at, way)
    if m.part.fill is not None:  # a mean may not reach into the infill
        wall = min(wall, m.part.fill.wall)
    places = min(reach, max(wall, at.size)) * ((np.arange(PLACES) + 0.5) / PLACES) ** 2
    x, y, z = (at.start + places[:, None] * way).T
    found = m.space.mesh(x, y, z)
    inside = found["nr"] >= 0  # beside a curved skin the first places may lie outside by rounding
    if not inside.any():
        raise NotComputed(f"no element of the mesh holds the line inwards from {vector(at.point)} mm", do=REMESH)
    moved = ng.GridFunction(m.space.vector)
    moved.vec.FV().NumPy()[:] = s.displacements[case]
    turn = strain_rotation(frame_at(m.part, s.direction))
    strains = np.asarray(strain(moved)(found[inside]))
    stress = (strains @ turn.T - m.warming[case] * m.expansion) @ m.stiffness
    return Line(places[inside], stress, found["nr"][inside].astype(np.int64), wall)


def mean_over(line: Line, length: float) -> Array:
    """Mean stress (6,) [MPa] over the first `length` [mm] of a line, or all of a shorter one; midpoints in the root of
    the place."""
    on = line.places <= max(length, line.places[0])
    weights = np.sqrt(line.places[on])
    return np.asarray(weights @ line.stress[on] / weights.sum())


def stress_at(line: Line, place: float) -> Array:
    """Stress (6,) [MPa] at a distance [mm] from the peak, between the places sampled."""
    return np.array([np.interp(place, line.places, line.stress[:, i]) for i in range(6)])


def crossed(line: Line, length: float) -> int:
    """How many elements the first `length` [mm] of a line crosses."""
    return len(np.unique(line.elements[line.places <= length]))


def fault_of(line: Line, length: float, size: float) -> str:
    """Why a length L [mm] cannot be used on a line with elements of `size` [mm] at the peak; empty if it can."""
    if 2 * length > OF_WALL * line.wall:
        return f"2 L = {2 * length:.2g} mm is more than a quarter of the wall of {line.wall:.2g} mm"
    if size > RESOLVED * length * (1 + 1e-9) or crossed(line, 2 * length) < FEWEST:
        return f"elements of {size:.2g} mm do not resolve 2 L = {2 * length:.2g} mm"
    return ""


def decisive(raw: float, bracket: MeshBracket, critical: CriticalDistance | None, curved: bool) -> tuple[float, str]:
    """The utilisation that decides, and why, with the raw peak named beside it.

    `raw`: the peak on the finest mesh. A peak that converges decides itself, whatever the geometry came from; one that
    does not, or that facets keep from being refined, is decided by the critical-distance value where that is valid.
    """
    if bracket.converging:
        return raw, f"peak {raw:.2f}, which converges as the mesh is refined ({bracket.words})"
    why = "its facets are no detail of the part" if not curved and bracket.facet_length else "it has no limit"
    if critical is not None and critical.valid and critical.value is not None:
        words = f"critical-distance value {critical.value:.2f} ({critical.words}); raw peak {raw:.2f} beside, as {why}"
        return critical.value, words
    lacking = "no critical-distance value was computed" if critical is None else critical.words
    return raw, f"raw peak {raw:.2f}, though {why}: {lacking}"
