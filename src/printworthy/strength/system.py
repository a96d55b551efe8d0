"""The elastic model of a part in one material: one factorisation, then any build direction exactly.

The factor is that of the stiffness averaged over all rotations (isotropic). For a build direction n the true stiffness
K(n) is assembled and solved by conjugate gradients that this factor preconditions; the residual says how exactly.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import ngsolve as ng
import numpy as np
from ngsolve.krylovspace import CGSolver
from numpy.typing import ArrayLike, NDArray

from printworthy.errors import NotComputed
from printworthy.inputs import MaterialCard, Part
from printworthy.shape import Solid
from printworthy.strength.elastic import (
    card_expansion,
    card_stiffness,
    isotropic_mean,
    layer_frame,
    part_stiffness,
    part_strain,
    rotated,
)
from printworthy.strength.loads import load_vector, resultant
from printworthy.strength.recover import Sampler, sampler
from printworthy.strength.space import Facets, Space, indicator, space, strain
from printworthy.strength.supports import Supported, bed_form, prescribed, supported
from printworthy.strength.twolevel import TwoLevel, vertex_dofs

Array = NDArray[np.float64]
RESIDUAL = 1e-9
MOST_FACTORED = 300_000  # unknowns: a factor of about 3 GB; a million ran out of 24 GB
ITERATIONS = 400
ROUNDING = 1e-7  # of stiffness * size * movement: nodal forces below it are rounding, not load


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """Space, supports, loads and the factor of one part in one material; see `solve`."""

    space: Space
    sampler: Sampler
    part: Part
    stiffness: Array  # (6, 6) layer axes
    density: float
    supported: Supported
    loads: Array  # (cases, unknowns)
    lifts: Array  # (cases, unknowns)
    warming: Array  # (cases,) [K]
    expansion: Array  # (6,) per kelvin, layer axes; zeros where no case warms the part
    form: Any
    constants: tuple[Any, ...]  # the 21 entries of C in `form`
    beds: Any
    free: Any
    factor: Any
    solved: dict[tuple[float, ...], Solution] = field(default_factory=dict)  # by build direction


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """Displacements (cases, unknowns) for a build direction, reactions and relative residuals."""

    direction: Array
    displacements: Array
    applied: Array  # (cases, 6) force and moment
    reactions: Array  # (cases, 6)
    imbalance: Array  # (cases,) relative
    iterations: int


UPPER = tuple((i, j) for i in range(6) for j in range(i, 6))


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """A meshed solid with its named faces, ready for any material."""

    space: Space
    sampler: Sampler

    @property
    def solid(self) -> Solid:
        """The meshed solid."""
        return self.space.solid

    @property
    def faces(self) -> Mapping[str, Facets]:
        """Facet numbers by face name."""
        return self.space.faces


def prepared(solid: Solid, faces: Mapping[str, Facets]) -> Prepared:
    """Space and sampler of a solid: what every material shares."""
    sp = space(solid, faces)
    return Prepared(sp, sampler(sp))


def model(ready: Prepared, part: Part, card: MaterialCard, only: ArrayLike | None = None) -> Model:
    """Assemble and factor. `only` (3,): the one build direction to be solved, whose own stiffness is then factored.

    Raises LoadError (loads or supports that cannot act), CardError (missing constants).
    """
    sp, sam = ready.space, ready.sampler
    c = card_stiffness(card)
    mean = isotropic_mean(c)
    held = supported(sp, part.supports, modulus=_young(mean))
    form, constants = _stiffness_form(sp, held)
    beds = _bed_matrix(sp, held)
    free = _bits(~held.held)
    density = card.values["density"].value
    warming = np.array([sum(x.value for x in case.loads if x.kind == "temperature") for case in part.cases])
    expansion = card_expansion(card) if warming.any() else np.zeros(6)
    loads = np.stack([load_vector(sp, case, density) for case in part.cases])
    lifts = np.stack([prescribed(sp, case) for case in part.cases])
    _assemble(form, constants, mean if only is None else part_stiffness(c, only))
    with ng.TaskManager():
        factor = _inverse(sp, form.mat, free, held)
    return Model(sp, sam, part, c, density, held, loads, lifts, warming, expansion, form, constants, beds, free, factor)


def _inverse(sp: Space, matrix: Any, free: Any, held: Supported) -> Any:
    """The factor of a matrix; beyond `MOST_FACTORED` unknowns a two-level approximation of its inverse."""
    if sp.unknowns <= MOST_FACTORED:
        return matrix.Inverse(free, inverse="sparsecholesky")
    kept = matrix.CreateMatrix()  # relaxation needs the matrix itself, and `form` is assembled again for each direction
    kept.AsVector().data = matrix.AsVector()
    return TwoLevel(kept, free, _bits(vertex_dofs(held.held, sp.count, sp.mesh.nv)))


def solve(m: Model, direction: ArrayLike) -> Solution:
    """Displacements of every case for a build direction (3,), exact to the stated residual; kept for the next asker.

    Raises NotComputed if the iteration does not reach it.
    """
    n = np.asarray(direction, float)
    key = tuple(n.tolist())
    if key not in m.solved:
        m.solved[key] = _solution(m, n)
    return m.solved[key]


def assemble(m: Model, direction: ArrayLike) -> None:
    """Put the true stiffness of a build direction (3,) into `m.form`."""
    _assemble(m.form, m.constants, part_stiffness(m.stiffness, direction))


def _solution(m: Model, n: Array) -> Solution:
    assemble(m, n)
    loads = m.loads + np.outer(m.warming, warm_forces(m, layer_frame(n)))
    with ng.TaskManager():
        results = [_solve_case(m, f, lift) for f, lift in zip(loads, m.lifts, strict=True)]
    u = np.stack([r[0] for r in results])
    applied = np.stack([np.concatenate(resultant(m.space, f)) for f in loads])
    pushes = [_reaction(m, x, f) for x, f in zip(u, loads, strict=True)]
    imbalance = [_imbalance(m, a, r, scale) for a, (r, scale) in zip(applied, pushes, strict=True)]
    reactions = np.stack([r for r, _ in pushes])
    return Solution(n, u, applied, reactions, np.array(imbalance), max(r[1] for r in results))


def warm_forces(m: Model, frame: Array) -> Array:
    """Nodal forces (unknowns,) [N] per kelvin of a part whose free strain is held back: the integral of B^T C alpha."""
    if not m.expansion.any():
        return np.zeros(m.space.unknowns)
    stress = rotated(m.stiffness, frame.T) @ part_strain(m.expansion, frame)
    return m.sampler.nodal(np.broadcast_to(stress, (len(m.sampler.weights), 6)))


def _solve_case(m: Model, f: Array, lift: Array) -> tuple[Array, int]:
    rhs, x = m.form.mat.CreateColVector(), m.form.mat.CreateColVector()
    lifted = m.form.mat.CreateColVector()
    lifted.FV().NumPy()[:] = lift
    rhs.FV().NumPy()[:] = f
    rhs.data -= m.form.mat * lifted
    rhs.FV().NumPy()[m.supported.held] = 0
    if not rhs.Norm() > 0:
        return lift.copy(), 0
    cg = CGSolver(mat=m.form.mat, pre=m.factor, tol=RESIDUAL, maxiter=ITERATIONS, printrates=False)
    x[:] = 0
    cg.Solve(rhs=rhs, sol=x, initialize=False)
    if cg.errors[-1] > RESIDUAL * cg.errors[0] * 1.01:
        raise NotComputed(
            f"the elastic solution did not settle in {ITERATIONS} iterations", do="Check the card's moduli"
        )
    return np.array(x.FV().NumPy()) * ~m.supported.held + lift, cg.iterations


def _reaction(m: Model, u: Array, f: Array) -> tuple[Array, float]:
    """Force and moment (6,) that the supports put on the part, and the sum of all nodal forces [N] for scale.

    Held dofs and beds only, so that an unconverged solution shows as an imbalance against the applied load.
    """
    x, y = m.form.mat.CreateColVector(), m.form.mat.CreateColVector()
    x.FV().NumPy()[:] = u
    y.data = m.form.mat * x
    push = np.where(m.supported.held, y.FV().NumPy() - f, 0.0)
    if m.beds is not None:
        y.data = m.beds.mat * x
        push -= y.FV().NumPy()
    rounding = ROUNDING * m.stiffness[0, 0] * m.space.size * float(np.abs(u).max())
    return m.space.rigid @ push, float(np.abs(push).sum() + np.abs(f).sum()) + rounding


def _imbalance(m: Model, applied: Array, reaction: Array, scale: float) -> float:
    """|applied + reaction| over the sum of nodal forces; moments count as moment / part size."""
    gap = applied + reaction
    gap[3:] /= m.space.size
    return float(np.linalg.norm(gap)) / scale if scale > 0 else 0.0


def _stiffness_form(sp: Space, held: Supported) -> tuple[Any, tuple[Any, ...]]:
    u, v = sp.vector.TnT()
    constants = tuple(ng.Parameter(0.0) for _ in UPPER)
    entry = {(i, j): p for (i, j), p in zip(UPPER, constants, strict=True)}
    c = ng.CF(tuple(entry[min(i, j), max(i, j)] for i in range(6) for j in range(6)), dims=(6, 6))
    form = ng.BilinearForm(sp.vector, symmetric=True)
    form += ng.InnerProduct(c * strain(u), strain(v)).Compile() * ng.dx
    for bed in held.beds:
        form += bed_form(u, v, bed, indicator(sp, bed.face))
    return form, constants


def _assemble(form: Any, constants: Sequence[Any], c: Array) -> None:
    for (i, j), p in zip(UPPER, constants, strict=True):
        p.Set(float(c[i, j]))
    with ng.TaskManager():
        form.Assemble()


def _bed_matrix(sp: Space, held: Supported) -> Any:
    """The beds alone, for their reactions; None if the part has none."""
    if not held.beds:
        return None
    u, v = sp.vector.TnT()
    form = ng.BilinearForm(sp.vector, symmetric=True)
    for bed in held.beds:
        form += bed_form(u, v, bed, indicator(sp, bed.face))
    form.Assemble()
    return form


def _bits(mask: NDArray[np.bool_]) -> Any:
    bits = ng.BitArray(len(mask))
    bits.Clear()
    for i in np.flatnonzero(mask):
        bits.Set(int(i))
    return bits


def _young(c: Array) -> float:
    """Young's modulus [MPa] of an isotropic stiffness."""
    return float(1 / np.linalg.inv(c)[0, 0])
