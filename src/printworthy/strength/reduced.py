"""The reduced model: a few displacement fields whose combinations answer for every build direction.

Start: for every case the solution u0 of the rotation-averaged stiffness A, and w_k = A^-1 K_k u0 for each of the modes
in which a rotated stiffness can differ from its mean (14 for a transversely isotropic card). All cases share the basis.
Strain moments of the basis give the reduced stiffness of ANY direction by a sum over 21 numbers, without the mesh.
Own derivation; reduced-basis idea: Noor and Peters 1980 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.blas import dgemm
from scipy.linalg.lapack import dposv

from printworthy.errors import NotComputed
from printworthy.strength.elastic import isotropic_mean, layer_frame, part_strain, rotated, strain_rotation
from printworthy.strength.kernel import lower_halves
from printworthy.strength.lay import raster_at, upward
from printworthy.strength.solution import ABREAST, apply_stiffness
from printworthy.strength.system import Model

Array = NDArray[np.float64]
SAMPLED_ROTATIONS = 120
RANK = 1e-9
DEPENDENT = 1e-5  # a new field that keeps less than this of itself against the basis adds nothing
LITTLE = 0.1  # and one that keeps less than this is made orthogonal once more
SEED = 8713
HALF = np.triu_indices(6)  # the 21 numbers of a symmetric stiffness


@dataclass(frozen=True, slots=True, eq=False)
class Basis:
    """Fields that span the answers. Rows 0..lifts-1 are the prescribed displacements, the others are orthonormal in the
    energy of the rotation-averaged stiffness. `strains` holds blocks (b, 6, q) that follow each other."""

    model: Model
    mean: Array  # (6, 6)
    modes: Array  # (k, 6, 6)
    lifts: int
    vectors: Array  # (r, unknowns)
    strains: tuple[Array, ...]
    moments: Array  # (r (r + 1) / 2, 21) of rows a >= b, row by row, so that fewer rows are its beginning
    bed_moments: Array  # (r, r)
    loads: Array  # (r, cases) work of the direction-independent loads
    warm: Array  # (r, 6) work of unit stresses, for thermal loads

    @property
    def size(self) -> int:
        """Number of rows."""
        return len(self.vectors)


@dataclass(frozen=True, slots=True, eq=False)
class Reduced:
    """The reduced model alone: `stiffness` (6, 6), `expansion` (6,) in layer axes; `warming` (cases,) [K]; `moments` as
    in `Basis`; `beds` (r, r); `loads` (r, cases); `warm` (r, 6); `given` (lifts, cases), the coefficients of the first
    rows, which are the prescribed displacements."""

    stiffness: Array
    expansion: Array
    warming: Array
    moments: Array
    beds: Array
    loads: Array
    warm: Array
    given: Array

    @property
    def free_stress(self) -> Array:
        """Stress (cases, 6) in layer axes that free thermal strain does not make."""
        return np.outer(self.warming, self.stiffness @ self.expansion)

    def solutions(self, frames: Array) -> Array:
        """Coefficients (n, cases, r) for layer frames (n, 3, 3). Raises NotComputed for a stiffness that is none."""
        lifts, (r, cases) = len(self.given), self.loads.shape
        turn = strain_rotation(frames)
        stiff = turn.transpose(0, 2, 1) @ self.stiffness @ turn
        full = lower_halves(stiff[:, *HALF] @ self.moments.T, self.beds)
        force = np.broadcast_to(self.loads, (len(frames), r, cases)).copy()
        if self.warming.any():
            free = [c @ part_strain(self.expansion, f) for c, f in zip(stiff, frames, strict=True)]
            force += (np.stack(free) @ self.warm.T)[:, :, None] * self.warming
        force[:, lifts:] -= full[:, lifts:, :lifts] @ self.given
        answer = np.zeros((len(frames), cases, r))
        answer[:, :, :lifts] = self.given.T
        for found, matrix, right in zip(answer, full[:, lifts:, lifts:], force[:, lifts:], strict=True):
            found[:, lifts:] = _definite_solution(matrix, right).T
        return answer


def _definite_solution(lower: Array, right: Array) -> Array:
    """x (r, k) with a x = right (r, k) for a symmetric positive definite a (r, r), of which the lower half is read."""
    _, found, wrong = dposv(lower.T, right)  # Fortran's upper half
    if wrong:
        raise NotComputed("the stiffness is not positive definite in some direction", do="Check the card's moduli")
    return np.asarray(found)


def stiffness_modes(c: Array, rotations: int = SAMPLED_ROTATIONS) -> Array:
    """Orthonormal modes (k, 6, 6) that span C(R) - mean over all rotations R: 14, or 19 if orthotropic, 0 if isotropic.

    Found by singular values of sampled rotations; the sample is several times larger than the space.
    """
    rng = np.random.default_rng(SEED)
    mean = isotropic_mean(c)
    spread = np.stack([(rotated(c, _random_rotation(rng)) - mean).ravel() for _ in range(rotations)])
    _, values, rows = np.linalg.svd(spread, full_matrices=False)
    kept = values > RANK * np.linalg.norm(mean) * np.sqrt(rotations)
    return rows[kept].reshape(-1, 6, 6)


def _random_rotation(rng: np.random.Generator) -> Array:
    q, r = np.linalg.qr(rng.normal(size=(3, 3)))
    q = q * np.sign(np.diag(r))
    return np.asarray(q if np.linalg.det(q) > 0 else -q)


def starting_basis(m: Model) -> Basis:
    """Basis of the averaged solutions and their first-order changes."""
    mean, modes = isotropic_mean(m.stiffness), stiffness_modes(m.stiffness)
    lifts = m.lifts[np.any(m.lifts != 0, axis=1)]
    nothing = np.zeros((0, m.space.unknowns))
    basis = Basis(
        m, mean, modes, 0, nothing, (), np.zeros((0, len(HALF[0]))), np.zeros((0, 0)),
        np.zeros((0, len(m.loads))), np.zeros((0, 6)),
    )  # fmt: skip
    basis = replace(_appended(basis, lifts, _strains(m, lifts)), lifts=len(lifts)) if len(lifts) else basis
    first = m.lifts + _answers(m, np.stack([_mean_force(basis, case) for case in range(len(m.loads))]))
    forces = [-m.sampler.nodal(e.T @ b) for e in _strains(m, first) for b in modes]
    if m.warming.any():
        forces += [m.sampler.nodal(np.broadcast_to(e, (len(m.sampler.weights), 6))) for e in np.eye(6)]
    changes = [_answers(m, np.stack(forces[i : i + ABREAST])) for i in range(0, len(forces), ABREAST)]
    return extended(basis, np.concatenate([first - m.lifts, *changes]))


def _answers(m: Model, forces: Array) -> Array:
    """Displacements (k, unknowns) at the averaged stiffness under nodal forces (k, unknowns)."""
    return m.factor.solve(np.ascontiguousarray(forces.T)).T


def _mean_force(b: Basis, case: int) -> Array:
    """Force of a case at the averaged stiffness: loads, less what its lift takes, and the mean of its thermal force."""
    m = b.model
    force = m.loads[case] - apply_stiffness(m, b.mean[None], m.lifts[case][:, None])[:, 0]
    if m.warming[case]:
        stress = rotated(m.stiffness, np.eye(3)) @ m.expansion
        even = stress[:3].mean() * np.array([1.0, 1, 1, 0, 0, 0])
        force = force + m.warming[case] * m.sampler.nodal(np.broadcast_to(even, (len(m.sampler.weights), 6)))
    return np.asarray(force)


def extended(b: Basis, fields: Array) -> Basis:
    """The basis with new fields (f, unknowns), made orthonormal in the averaged energy; dependent ones are left out.

    Scaled first, then a second time where one kept little of itself: digits are lost without either (Kahan, after
    Parlett 1980, from memory).
    """
    u, e = fields, _strains(b.model, fields)
    size = np.sqrt(np.diag(_energy(b, u, e)))
    u, e = u[size > 0] / size[size > 0, None], e[size > 0] / size[size > 0, None, None]
    for _ in range(2):
        if not len(u):
            return b
        u, e = _without_old(b, u, e)
        values, turn = np.linalg.eigh(_energy(b, u, e))
        kept = values > DEPENDENT**2
        mix = (turn[:, kept] / np.sqrt(values[kept])).T
        u, e = mix @ u, np.tensordot(mix, e, axes=1)
        if values[0] > LITTLE**2:
            break
    return _appended(b, u, e) if len(u) else b


def _energy(b: Basis, u: Array, e: Array) -> Array:
    """Energy products (f, f) of fields u (f, unknowns), e (f, 6, q) with each other at the averaged stiffness."""
    product: Array = _stress(b, e) @ e.reshape(len(e), -1).T + _bed_energy(b.model, u, u)
    return product


def _stress(b: Basis, e: Array) -> Array:
    """Weighted stress (f, 6 q) of strains (f, 6, q) at the averaged stiffness."""
    stress: Array = np.einsum("ij,fjq->fiq", b.mean, e, optimize=True) * b.model.sampler.stiff
    return stress.reshape(len(e), -1)


def _bed_energy(m: Model, u: Array, v: Array) -> Array:
    """Energy products (f, h) of fields u (f, unknowns), v (h, unknowns) in the elastic supports; few dofs count."""
    on = np.flatnonzero(np.diff(m.beds.indptr))
    product: Array = u[:, on] @ (m.beds[on][:, on] @ v[:, on].T)
    return product


def _without_old(b: Basis, u: Array, e: Array) -> tuple[Array, Array]:
    """Fields less their part along the orthonormal rows of the basis."""
    own, vectors, stress = b.strains[bool(b.lifts) :], b.vectors[b.lifts :], _stress(b, e)
    along = _bed_energy(b.model, u, vectors)
    row, left = 0, e.reshape(len(e), -1).copy()
    for block in own:
        along[:, row : row + len(block)] += stress @ block.reshape(len(block), -1).T
        row += len(block)
    add_combined(left, -along, own)
    return u - along @ vectors, left.reshape(e.shape)


def add_combined(total: Array, q: Array, blocks: tuple[Array, ...]) -> None:
    """Add to `total` (n, 6 q) what coefficients (n, r) make of blocks (b, 6, q) of r rows in all, without a copy of
    that size for each block: memory is what this waits for."""
    row = 0
    for block in blocks:
        dgemm(1.0, block.reshape(len(block), -1).T, q[:, row : row + len(block)].T, 1.0, total.T, overwrite_c=1)
        row += len(block)


def _strains(m: Model, vectors: Array) -> Array:
    """Strains (k, 6, q) at the quadrature points of displacements (k, unknowns)."""
    columns = m.sampler.operator @ np.ascontiguousarray(vectors.T)
    return np.ascontiguousarray(columns.T).reshape(len(vectors), 6, -1)


def _appended(b: Basis, vectors: Array, strains: Array) -> Basis:
    """Rows added, with their moments against all others."""
    m, blocks = b.model, (*b.strains, strains)
    weighted = (strains * m.sampler.stiff).reshape(len(strains) * 6, -1)
    cross = np.concatenate([weighted @ s.reshape(len(s) * 6, -1).T for s in blocks], axis=1)
    cross = cross.reshape(len(strains), 6, -1, 6).transpose(0, 2, 1, 3)
    new = [_paired(row[: b.size + a + 1]) for a, row in enumerate(cross)]
    every = np.concatenate([b.vectors, vectors])
    work = np.einsum("ra,ca->rc", vectors, m.loads, optimize=True)
    warm = (strains * m.sampler.stiff).sum(axis=2)
    return replace(
        b,
        vectors=every,
        strains=blocks,
        moments=np.concatenate([b.moments, *new]),
        bed_moments=_bed_energy(m, every, every),
        loads=np.concatenate([b.loads, work]),
        warm=np.concatenate([b.warm, warm]),
    )


def _paired(moments: Array) -> Array:
    """Moments (n, 21) against the numbers of a symmetric stiffness, of moments (n, 6, 6) against all 36."""
    both = moments + moments.transpose(0, 2, 1)
    both[:, np.arange(6), np.arange(6)] /= 2
    return np.asarray(both[:, *HALF])


def with_stiffness(b: Basis, stiffness: Array) -> Basis:
    """The same fields for another stiffness (6, 6) in layer axes: the moments serve any card."""
    return replace(b, model=replace(b.model, stiffness=stiffness, solved={}))


def coefficients(b: Basis, frames: Array, rows: int | None = None) -> Array:
    """Coefficients (n, cases, r) of the reduced solutions for layer frames (n, 3, 3); `rows`: only the first ones."""
    return reduced(b, rows).solutions(frames)


def reduced(b: Basis, rows: int | None = None) -> Reduced:
    """What of a basis answers without its fields; `rows`: only the first ones."""
    m, r = b.model, b.size if rows is None else rows
    return Reduced(
        m.stiffness, m.expansion, m.warming, b.moments[: r * (r + 1) // 2], b.bed_moments[:r, :r], b.loads[:r],
        b.warm[:r], _given_lifts(b),
    )  # fmt: skip


def _given_lifts(b: Basis) -> Array:
    """(lifts, cases): which case moves which prescribed displacement."""
    moving = np.flatnonzero(np.any(b.model.lifts != 0, axis=1))
    given = np.zeros((b.lifts, len(b.model.lifts)))
    given[np.arange(b.lifts), moving] = 1.0
    return given


def frames_of(directions: Array, rasters: Array | None = None) -> Array:
    """Layer frames (n, 3, 3) of build directions (n, 3) and raster angles (n,) [rad]; 0 where none are given."""
    return layer_frame(directions, 0.0 if rasters is None else rasters)


def raster_matters(c: Array) -> bool:
    """True if a stiffness (6, 6) in layer axes changes when it is turned about the build direction: orthotropic."""
    around = np.zeros((6, 6))  # what `c` is if it does not
    around[0, 0] = around[1, 1] = c[0, 0]
    around[0, 1] = around[1, 0] = c[0, 1]
    around[:2, 2] = around[2, :2] = c[0, 2]
    around[2, 2] = c[2, 2]
    around[3, 3] = around[4, 4] = c[3, 3]
    around[5, 5] = (c[0, 0] - c[0, 1]) / 2
    return bool(np.abs(c - around).max() > RANK * np.abs(c).max())


def raster_free(m: Model) -> bool:
    """Whether the raster is to be chosen: not stated, in a print that is not alike all round in its layers."""
    how = m.part.raster
    return raster_matters(m.stiffness) if how is None else how.angle is None


def stated_rasters(m: Model, directions: Array) -> Array:
    """Rasters (n,) [rad] at directions (n, 3) as the part states them; zeros where the raster does not matter."""
    if m.part.raster is None:
        return np.zeros(len(directions))
    return np.array([raster_at(m.part, n) for n in directions])


def sensed(m: Model, directions: Array) -> Array:
    """Directions (..., 3) in the sense rasters are counted; as they are where none is."""
    return directions if m.part.raster is None else upward(directions)
