"""Hot points: the few places that govern at some build direction, and the check that none was missed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from printworthy.results import DesignValues
from printworthy.strength.criteria import Strengths
from printworthy.strength.elastic import strain_rotation
from printworthy.strength.kernel import judged_field, judged_modes
from printworthy.strength.reduced import Basis, add_combined, coefficients, reduced

Array = NDArray[np.float64]
HOT = 0.85  # a point this near the peak of some direction joins the shortlist
CHUNK = 64  # directions at once: bounds memory
WHOLE = 8  # whole fields at once: each pass reads all strains of the basis from memory


@dataclass(frozen=True, slots=True, eq=False)
class Shortlist:
    """Numbers (h,) into the sampler's points, the basis's strains there (r, 6, h), and `Sampler.worked` there (h,)."""

    points: NDArray[np.intp]
    strains: Array
    worked: Array


def strengths_of(design: DesignValues) -> Array:
    """X, Z, S, S12, Xc, Zc (6,) [MPa], and X1, Xc1 (8,) where they are told apart: the order of the compiled kernel."""
    f = Strengths.of(design)
    return np.array([f.X, f.Z, f.S, f.S12, f.Xc, f.Zc, *(() if f.X1 is None else (f.X1, f.Xc1))])


def shortlist(b: Basis, points: Iterable[int]) -> Shortlist:
    """The basis's strains at the given points."""
    numbers = np.array(sorted(points), dtype=np.intp)
    return Shortlist(numbers, strains_at(b, numbers), b.model.sampler.worked[numbers])


def strains_at(b: Basis, numbers: NDArray[np.intp]) -> Array:
    """Strains (r, 6, h) of the basis at points of the sampler, given by ascending numbers (h,)."""
    inner = numbers[numbers < len(b.model.sampler.weights)]
    outer = numbers[len(inner) :] - len(b.model.sampler.weights)
    average = b.model.sampler.to_skin[outer].T
    rows = [
        np.concatenate([s[:, :, inner], (s.reshape(-1, s.shape[2]) @ average).reshape(len(s), 6, -1)], axis=2)
        for s in b.strains
    ]
    return np.concatenate(rows)


def evaluate(
    b: Basis, hot: Shortlist, strengths: Array, frames: Array, rows: int | None = None
) -> tuple[Array, NDArray[np.int64]]:
    """Utilisation (n, cases, modes) and point numbers (n, cases, modes) at layer frames (n, 3, 3), from hot points.

    `rows`: use only the first rows of the basis.
    """
    r = b.size if rows is None else rows
    used, where, free = [], [], reduced(b).free_stress
    flat = hot.strains[:r].reshape(r, -1)
    for part in np.array_split(frames, max(1, -(-len(frames) // CHUNK))):
        q = coefficients(b, part, r)
        strain = (q.reshape(-1, r) @ flat).reshape(*q.shape[:2], 6, -1)
        turned = to_stress(b, part)
        worst, place = judged_modes(strain, hot.worked, turned, free, strengths, b.model.shares)
        used.append(worst)
        where.append(hot.points[place])
    return np.concatenate(used), np.concatenate(where)


def full_strains(b: Basis, q: Array) -> Array:
    """Strains (cases, 6, p) at all points from coefficients (cases, r)."""
    total = np.zeros((len(q), 6 * len(b.model.sampler.weights)))
    add_combined(total, q, b.strains)
    return with_skin(b, total.reshape(len(q), 6, -1))


def with_skin(b: Basis, inner: Array) -> Array:
    """Strains (cases, 6, p) at all points from those at the quadrature points (cases, 6, q)."""
    flat = inner.reshape(-1, inner.shape[2])
    skin = (b.model.sampler.to_skin @ flat.T).T
    return np.concatenate([inner, skin.reshape(*inner.shape[:2], -1)], axis=2)


def strains_of(b: Basis, u: Array) -> Array:
    """Strains (cases, 6, p) at all points of displacements (cases, unknowns)."""
    return with_skin(b, np.stack([(b.model.sampler.operator @ x).reshape(6, -1) for x in u]))


def field_of(b: Basis, strain: Array, frame: Array, strengths: Array) -> Array:
    """Largest utilisation over cases and modes (p,) of strains (cases, 6, p) at one layer frame."""
    stiff, free = to_stress(b, frame[None])[0], reduced(b).free_stress
    return judged_field(strain, b.model.sampler.worked, stiff, free, strengths, b.model.shares)


def fields(b: Basis, frames: Array, strengths: Array) -> Iterator[Array]:
    """The largest utilisation over cases and modes (p,) at each of the layer frames (n, 3, 3) in turn."""
    for some in np.array_split(frames, max(1, -(-len(frames) // WHOLE))):
        q = coefficients(b, some)
        strain = full_strains(b, q.reshape(-1, b.size)).reshape(*q.shape[:2], 6, -1)
        for frame, e in zip(some, strain, strict=True):
            yield field_of(b, e, frame, strengths)


def to_stress(b: Basis, frames: Array) -> Array:
    """Matrices (n, 6, 6) from strain in part axes to stress in layer axes."""
    return np.asarray(b.model.stiffness @ strain_rotation(frames))


def hot_points(field: Array) -> set[int]:
    """Points within `HOT` of the peak of a utilisation field (p,)."""
    return set(np.flatnonzero(field >= HOT * field.max()).tolist())
