"""Finer meshes where a part is worked hardest, and what they say about the error of the mesh.

    ladder     solve, mark where the governing case peaks, halve, solve again
    bracket    the values on the ladder -> where the converged value lies, or that there is none

Every rung fills exactly the same body and is loaded and held on exactly the same faces (see `halving`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial import cKDTree

from printworthy.inputs import MaterialCard
from printworthy.results import DesignValues, MeshBracket, Mode
from printworthy.shape import Surface
from printworthy.strength.criteria import MODES, Relief, Strengths, by_mode
from printworthy.strength.facets import facet_length
from printworthy.strength.halving import refined
from printworthy.strength.lay import vector
from printworthy.strength.margin import layer_stress
from printworthy.strength.seat import edge_lengths, local_size, through_wall, wall_words
from printworthy.strength.sequence import Judged, judged
from printworthy.strength.skin import of_skin, patch_surfaces
from printworthy.strength.smoothing import smoothed
from printworthy.strength.solution import Solution, solve
from printworthy.strength.system import Model, Prepared, model, prepared

Array = NDArray[np.float64]
MOST_UNKNOWNS = 110_000  # some seconds; beyond it the ladder stops and says so
PEAK_SHARE = 0.9  # elements that reach this share of the peak are halved
REACH = 2.0  # and so are those within this many element sizes of the peak
WORST_ERROR = 0.05  # and those with the largest jumps of stress, up to this share of their sum: error from elsewhere
STEPS = 3  # most halvings
RESIDUAL = 3e-4  # of a rung: a thirtieth of what counts as no change from one to the next
GRADED = 0.35  # element size over distance: a field that falls as a power of it is resolved alike all over


@dataclass(frozen=True, slots=True, eq=False)
class Rung:
    """One mesh of a ladder: model, solution, number of the governing case, and where it peaks.

    `value` is the peak over quadrature points and skin; `inner` that over the quadrature points alone, which lie at a
    depth proportional to the element size and so approach the same limit from inside.
    """

    model: Model
    solution: Solution
    case: int
    value: float
    inner: float
    mode: Mode
    point: Array
    size: float  # element size at the peak [mm]

    @property
    def ready(self) -> Prepared:
        """The meshed solid with its faces."""
        return Prepared(self.model.space, self.model.sampler)


@dataclass(frozen=True, slots=True, eq=False)
class Ladder:
    """Rungs from coarse to fine, the facet length at the peak [mm] (None: no facets there), and why it ends."""

    rungs: tuple[Rung, ...]
    facet: float | None
    ended: str


def bracket(
    m: Model, card: MaterialCard, design: DesignValues, direction: ArrayLike, factor: float,
    surface: Surface | None = None, relief: Relief | None = None,
) -> MeshBracket:  # fmt: skip
    """Mesh error of the governing case of one build direction (3,), `factor` on load included; `m`: the coarsest mesh.

    `surface`: the triangles of a part that came as triangles, below whose facets nothing is refined; None for CAD.
    `relief`: what each strength gains at every sampled point of `m`, see `utilisation`; finer meshes take the nearest.
    Raises LoadError, CardError and NotComputed as `model` and `solve` do.
    """
    return bracket_of(ladder(m, card, design, direction, factor, surface, relief))


def bracket_of(climbed: Ladder) -> MeshBracket:
    """What a ladder says."""
    rungs = climbed.rungs
    found = _judged(rungs)
    last = rungs[-1]
    spaces = [r.model.space for r in rungs]
    wall, across = through_wall(spaces[0].solid, rungs[0].point)
    if (fill := last.model.part.fill) is not None and fill.wall < wall:
        wall, across = fill.wall, across * fill.wall / wall
    said = (found.words, climbed.ended, wall_words(wall, across))
    return MeshBracket(
        case=last.model.part.cases[last.case].name,
        direction=vector(last.solution.direction),
        mode=last.mode,
        values=tuple(r.value for r in rungs),
        inner=tuple(r.inner for r in rungs),
        sizes=tuple(r.size for r in rungs),
        points=tuple(vector(r.point) for r in rungs),
        elements=tuple(len(s.solid.tets) for s in spaces),
        unknowns=tuple(s.unknowns for s in spaces),
        low=found.low,
        high=found.high,
        limit=found.limit,
        converging=found.converging,
        singular=found.singular,
        facet_length=climbed.facet,
        wall=wall,
        across=across,
        words="; ".join(w for w in said if w),
    )


def ladder(
    m: Model, card: MaterialCard, design: DesignValues, direction: ArrayLike, factor: float,
    surface: Surface | None = None, relief: Relief | None = None,
) -> Ladder:  # fmt: skip
    """Solve the governing case on meshes halved where it peaks, until the values tell or a bound is met."""
    strengths = partial(_strengths, design, relief, m.sampler.points)
    true: frozenset[int] = frozenset()
    if surface is not None and (made := smoothed(m.space.solid, m.space.faces)) is not None:
        m, true = model(prepared(*made), m.part, card, direction), frozenset(patch_surfaces(surface)[0])
    at = strengths(m)
    rungs, facet = [rung(m, at, direction, factor)], None
    alone = replace(m.part, cases=(m.part.cases[rungs[0].case],))
    skin = of_skin(m.space.solid) if m.space.solid.report.curved or true else None
    while not _told(rungs):
        last = rungs[-1]
        facet = None if surface is None else facet_length(surface, last.point, REACH * last.size, true)
        if facet is not None and 0.5 * last.size < facet:
            words = f"not refined below the facets of {facet:.2g} mm: that would resolve the file, not the part"
            return Ladder(tuple(rungs), facet, words)
        solid, faces = refined(last.model.space.solid, last.model.space.faces, marked(last, at), skin)
        if solid.report.unknowns > MOST_UNKNOWNS:
            words = f"not refined beyond {MOST_UNKNOWNS} unknowns"
            return Ladder(tuple(rungs), facet, words)
        finer = model(prepared(solid, faces), alone, card, direction)
        at = strengths(finer)
        rungs.append(rung(finer, at, direction, factor))
    return Ladder(tuple(rungs), facet, "")


def _strengths(design: DesignValues, relief: Relief | None, points: Array, m: Model) -> Strengths:
    """Strengths at the sampled points of a model; relief at each is that at the nearest of `points` (p, 3)."""
    if relief is None:
        return Strengths.of(design)
    nearest = cKDTree(points).query(m.sampler.points)[1]
    return Strengths.of(design, {name: gain[nearest] for name, gain in relief.items()})


def _told(rungs: Sequence[Rung]) -> bool:
    """Two halvings tell a smooth peak; where they do not, one more."""
    return len(rungs) > STEPS or (len(rungs) == STEPS and _judged(rungs).converging)


def _judged(rungs: Sequence[Rung]) -> Judged:
    return judged([r.value for r in rungs], [r.inner for r in rungs], [r.size for r in rungs])


def rung(m: Model, strengths: Strengths, direction: ArrayLike, factor: float) -> Rung:
    """Solve a part and find where its governing case peaks."""
    s = solve(m, direction, RESIDUAL)
    every = [by_mode(layer_stress(m, s, i), strengths) for i in range(len(m.part.cases))]
    case = int(np.argmax([modes.max() for modes in every]))
    modes = every[case]
    place, mode = np.unravel_index(int(np.argmax(modes)), modes.shape)
    point = m.sampler.points[place]
    inner = factor * float(modes[: len(m.sampler.weights)].max())
    value = factor * float(modes[place, mode])
    return Rung(m, s, case, value, inner, MODES[mode], point, local_size(m.space.solid, point))


def marked(at: Rung, strengths: Strengths) -> NDArray[np.bool_]:
    """Tetrahedra (m,) to halve: near the peak, nearly as highly worked as it, and those whose stress jumps most."""
    solid, sampler = at.model.space.solid, at.model.sampler
    stress = layer_stress(at.model, at.solution, at.case)
    value = by_mode(stress, strengths).max(axis=1)
    high = value >= PEAK_SHARE * value.max()
    inner = len(sampler.weights)
    marks: NDArray[np.bool_] = high[:inner].reshape(len(solid.tets), -1).any(axis=1)
    vertices = np.zeros(len(solid.points), dtype=bool)
    vertices[sampler.skin[high[inner:]]] = True
    vertices |= np.linalg.norm(solid.points - at.point, axis=1) <= REACH * at.size
    marks |= vertices[solid.tets].any(axis=1)
    error = stress_jumps(at, stress[:inner])
    order = np.argsort(-error)
    worst = order[: int(np.searchsorted(np.cumsum(error[order]), WORST_ERROR * error.sum())) + 1]
    marks[worst] = True
    return marks


def stress_jumps(at: Rung, stress: Array) -> Array:
    """Energy (m,) of the difference between stress and its average over neighbours, per element; stress (q, 6) [MPa].

    The error estimate of Zienkiewicz and Zhu 1987 (from memory), averaged stress from volume-weighted element means.
    """
    solid, weights = at.model.space.solid, at.model.sampler.weights
    per = stress.reshape(len(solid.tets), -1, 6)
    volume = weights.reshape(len(solid.tets), -1).sum(axis=1)
    mean = per.mean(axis=1)
    total = np.zeros((len(solid.points), 6))
    share = np.zeros(len(solid.points))
    for corner in solid.tets.T:
        np.add.at(total, corner, volume[:, None] * mean)
        np.add.at(share, corner, volume)
    smooth = (total / share[:, None])[solid.tets].mean(axis=1)
    gap = mean - smooth
    return volume * np.einsum("ij,jk,ik->i", gap, np.linalg.inv(at.model.stiffness), gap)


def refined_near(ready: Prepared, points: ArrayLike, radius: float, size: float, most: int = MOST_UNKNOWNS) -> Prepared:
    """Halve elements within `radius` [mm] of points (n, 3) until none is larger than `size` [mm], or than a third of
    its distance from the nearest of them, where that is more.

    Stops early at `most` unknowns; `local_size` then still tells the size that was reached.
    """
    solid, faces = ready.solid, ready.faces
    tree = cKDTree(np.atleast_2d(np.asarray(points, float)))
    while True:
        edge = edge_lengths(solid)
        away = np.asarray(tree.query(solid.points[solid.tets].mean(axis=1))[0])
        # 0.7: the corners of a regular tetrahedron lie at 0.61 edges from its centre.
        marks = (away <= radius + 0.7 * edge) & (edge > np.maximum(size, GRADED * (away - 0.7 * edge)))
        if not marks.any():
            break
        finer = refined(solid, faces, marks)
        if finer[0].report.unknowns > most:
            break
        solid, faces = finer
    return ready if solid is ready.solid else prepared(solid, faces)
