"""The elastic model of a part in one material: one factorisation, then any build direction exactly.

The factor is that of the stiffness averaged over all rotations (isotropic); it preconditions the conjugate gradients on
the true stiffness of a build direction (see `solution`), whatever the material.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import ngsolve as ng
import numpy as np
import scipy.sparse as sparse
from numpy.typing import ArrayLike, NDArray

from printworthy.inputs import MaterialCard, Part
from printworthy.shape import Solid
from printworthy.strength.elastic import (
    card_expansion,
    card_stiffness,
    isotropic_mean,
    part_stiffness,
)
from printworthy.strength.factor import Approximate, Cholesky, Inverse
from printworthy.strength.loads import load_vector
from printworthy.strength.recover import Sampler, sampler
from printworthy.strength.space import Facets, Space, csr, indicator, space, strain
from printworthy.strength.supports import Supported, bed_form, prescribed, supported
from printworthy.strength.twolevel import TwoLevel, vertex_dofs
from printworthy.strength.zones import zoned

Array = NDArray[np.float64]
MOST_FACTORED = 150_000  # unknowns: the factor grows with the square, and the two-level form takes over
MOST_FACTORED_ONCE = 15_000  # for one direction a factor costs more than it saves: 7.2 s against 4.5 s at 90,000


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
    stiff: Any  # mean share of the solid print's stiffness in each element
    form: Any
    constants: tuple[Any, ...]  # the 21 entries of C in `form`
    beds: sparse.csr_array  # (unknowns, unknowns) stiffness of the elastic supports [N/mm]
    free: Any
    factor: Inverse
    solved: dict[tuple[float, ...], Any] = field(default_factory=dict)  # `Solution` by build direction


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


def model(
    ready: Prepared, part: Part, card: MaterialCard, only: ArrayLike | None = None, factored: Model | None = None
) -> Model:
    """Loads, supports and stiffness of a part in one material, assembled and factored.

    `only` (3,): the one build direction to be solved, whose own stiffness is then factored, or nearly so if large.
    `factored`: a model of the same part in another material, whose factor then serves for this one too.
    Raises LoadError (loads or supports that cannot act), CardError (missing constants).
    """
    sp, sam = ready.space, zoned(ready.space, ready.sampler, part.fill)
    stiff, filled = (by_element(sp, sam.weights, q) for q in (sam.stiff / sam.weights, sam.filled))
    c = card_stiffness(card)
    mean = isotropic_mean(c)
    held = supported(sp, part.supports, modulus=_young(mean))
    form, constants = _stiffness_form(sp, held, stiff)
    beds = _bed_matrix(sp, held)
    free = ng.BitArray((~held.held).tolist())
    density = card.values["density"].value
    warming = np.array([sum(x.value for x in case.loads if x.kind == "temperature") for case in part.cases])
    expansion = card_expansion(card) if warming.any() else np.zeros(6)
    loads = np.stack([load_vector(sp, case, density * filled) for case in part.cases])
    lifts = np.stack([prescribed(sp, case, part.supports) for case in part.cases])
    factor = factored.factor if factored else None
    if factor is None:
        _assemble(form, constants, mean if only is None else part_stiffness(c, only))
        factor = _inverse(sp, form.mat, free, held, MOST_FACTORED if only is None else MOST_FACTORED_ONCE)
    return Model(
        sp, sam, part, c, density, held, loads, lifts, warming, expansion, stiff, form, constants, beds, free, factor
    )  # fmt: skip


def _inverse(sp: Space, matrix: Any, free: Any, held: Supported, most: int) -> Inverse:
    """The factor of a matrix; beyond `most` unknowns a two-level approximation of its inverse."""
    if sp.unknowns <= most:
        return Cholesky(matrix, ~held.held)
    kept = matrix.CreateMatrix()  # relaxation needs the matrix itself, and `form` is assembled again for each direction
    kept.AsVector().data = matrix.AsVector()
    with ng.TaskManager():
        operator = TwoLevel(kept, free, ng.BitArray(vertex_dofs(held.held, sp.count, sp.mesh.nv).tolist()))
    return Approximate(operator, ~held.held)


def assemble(m: Model, direction: ArrayLike) -> None:
    """Put the true stiffness of a build direction (3,) into `m.form`."""
    _assemble(m.form, m.constants, part_stiffness(m.stiffness, direction))


def by_element(sp: Space, weights: Array, values: Array) -> Any:
    """Mean over each element, as a function, of values (q,) at its quadrature points."""
    share = (weights * values).reshape(sp.mesh.ne, -1).sum(axis=1) / weights.reshape(sp.mesh.ne, -1).sum(axis=1)
    g = ng.GridFunction(ng.L2(sp.mesh, order=0))
    g.vec.FV().NumPy()[:] = share
    return g


def _stiffness_form(sp: Space, held: Supported, stiff: Any) -> tuple[Any, tuple[Any, ...]]:
    u, v = sp.vector.TnT()
    constants = tuple(ng.Parameter(0.0) for _ in UPPER)
    entry = {(i, j): p for (i, j), p in zip(UPPER, constants, strict=True)}
    c = ng.CF(tuple(entry[min(i, j), max(i, j)] for i in range(6) for j in range(6)), dims=(6, 6))
    form = ng.BilinearForm(sp.vector, symmetric=True)
    form += stiff * ng.InnerProduct(c * strain(u), strain(v)).Compile() * ng.dx
    for bed in held.beds:
        form += bed_form(u, v, bed, indicator(sp, bed.face))
    return form, constants


def _assemble(form: Any, constants: Sequence[Any], c: Array) -> None:
    for (i, j), p in zip(UPPER, constants, strict=True):
        p.Set(float(c[i, j]))
    with ng.TaskManager():
        form.Assemble()


def _bed_matrix(sp: Space, held: Supported) -> sparse.csr_array:
    """The beds alone; empty if the part has none."""
    if not held.beds:
        return sparse.csr_array((sp.unknowns, sp.unknowns))
    u, v = sp.vector.TnT()
    form = ng.BilinearForm(sp.vector)
    for bed in held.beds:
        form += bed_form(u, v, bed, indicator(sp, bed.face))
    form.Assemble()
    whole = csr(form.mat)
    whole.eliminate_zeros()
    return whole


def _young(c: Array) -> float:
    """Young's modulus [MPa] of an isotropic stiffness."""
    return float(1 / np.linalg.inv(c)[0, 0])
