"""The elastic model of a part in one material: one factorisation, then any build direction exactly.

The factor is that of the stiffness averaged over all rotations (isotropic); it preconditions the conjugate gradients on
the true stiffness of a build direction (see `solution`), whatever the material.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import ngsolve as ng
import numpy as np
import scipy.sparse as sparse
from numpy.typing import ArrayLike, NDArray

from printworthy.inputs import MaterialCard, Part
from printworthy.shape import Solid
from printworthy.strength.assembly import stiffness_matrix
from printworthy.strength.elastic import card_expansion, isotropic_mean
from printworthy.strength.factor import Cholesky, Inverse
from printworthy.strength.lay import print_stiffness, stiffness_at
from printworthy.strength.loads import load_vector
from printworthy.strength.recover import Sampler, sampler
from printworthy.strength.space import Facets, Space, space
from printworthy.strength.supports import Supported, prescribed, supported
from printworthy.strength.twolevel import TwoLevel, vertex_dofs
from printworthy.strength.zones import zoned

Array = NDArray[np.float64]
MOST_FACTORED = 150_000  # unknowns: the factor grows with the square, and the two-level form takes over
MOST_FACTORED_ONCE = 15_000  # for one direction a factor costs more than it saves: 7.2 s against 4.5 s at 90,000


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """Space, supports, loads and the factor of one part in one material; see `solve`. `part` has a raster only where
    the material tells along the beads from across them."""

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
    factor: Inverse
    # Stiffness in part axes and its matrix, where one direction was asked for.
    own: tuple[Array, sparse.csr_array] | None
    shares: Array = field(default_factory=lambda: np.zeros((0, 6, 6)))  # of the layers of a lay-up, see `lay`
    solved: dict[tuple[float, ...], Any] = field(default_factory=dict)  # `Solution` by build direction

    @property
    def beds(self) -> sparse.csr_array:
        """Stiffness (unknowns, unknowns) of the elastic supports [N/mm]."""
        return self.supported.springs


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
    filled = by_element(sp, sam.weights, sam.filled)
    c, shares = print_stiffness(card, part)
    part = replace(part, raster=part.raster if card.orthotropic else None)
    mean = isotropic_mean(c)
    held = supported(sp, part.supports, modulus=_young(mean))
    density = card.values["density"].value
    warming = np.array([sum(x.value for x in case.loads if x.kind == "temperature") for case in part.cases])
    expansion = card_expansion(card) if warming.any() else np.zeros(6)
    loads = np.stack([load_vector(sp, case, density * filled) for case in part.cases])
    lifts = np.stack([prescribed(sp, case, part.supports) for case in part.cases])
    factor, own = factored.factor if factored else None, None
    if factor is None:
        stiffness = mean if only is None else stiffness_at(c, part, only)
        matrix = _assembled(sam, held, stiffness)
        factor = _inverse(sp, matrix, held.held, MOST_FACTORED if only is None else MOST_FACTORED_ONCE)
        own = None if only is None else (stiffness, matrix)
    return Model(sp, sam, part, c, density, held, loads, lifts, warming, expansion, factor, own, shares)


def _inverse(sp: Space, matrix: sparse.csr_array, held: NDArray[np.bool_], most: int) -> Inverse:
    """The factor of a matrix; beyond `most` unknowns a two-level approximation of its inverse."""
    if sp.unknowns <= most:
        return Cholesky(matrix, ~held)
    return TwoLevel(matrix, ~held, vertex_dofs(held, sp.count, sp.mesh.nv))


def assembled(m: Model, stiffness: ArrayLike) -> sparse.csr_array:
    """The matrix (unknowns, unknowns) [N/mm] of a stiffness (6, 6) in part axes, beds included."""
    return _assembled(m.sampler, m.supported, np.asarray(stiffness, float))


def _assembled(sam: Sampler, held: Supported, c: Array) -> sparse.csr_array:
    matrix = stiffness_matrix(sam, c)
    return sparse.csr_array(matrix + held.springs) if held.springs.nnz else matrix


def by_element(sp: Space, weights: Array, values: Array) -> Any:
    """Mean over each element, as a function, of values (q,) at its quadrature points."""
    share = (weights * values).reshape(sp.mesh.ne, -1).sum(axis=1) / weights.reshape(sp.mesh.ne, -1).sum(axis=1)
    g = ng.GridFunction(ng.L2(sp.mesh, order=0))
    g.vec.FV().NumPy()[:] = share
    return g


def _young(c: Array) -> float:
    """Young's modulus [MPa] of an isotropic stiffness."""
    return float(1 / np.linalg.inv(c)[0, 0])
