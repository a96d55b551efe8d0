"""The displacement space on a solid's tetrahedra, and integrals over its named faces.

NGSolve does the elements; this module holds what every other module here needs of them: second-order displacements,
the measure of faces, the six rigid motions, and the dofs of a face.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import ngsolve as ng
import numpy as np
import scipy.sparse as sparse
from numpy.typing import NDArray
from pyngcore import Array_D_S, Array_I_S

from printworthy.shape import Solid

Array = NDArray[np.float64]
Facets = NDArray[np.intp]
AREA_BONUS = 4  # to the order of integrals: faces are curved


@dataclass(frozen=True, slots=True, eq=False)
class Space:
    """Second-order displacements on a solid. `scalar` is one component's space, `count` its number of dofs; the dofs
    of component c are c * count + scalar dof. `rigid` (6, 3 count): three shifts, three turns about the box centre."""

    solid: Solid
    faces: Mapping[str, Facets]
    vector: Any
    scalar: Any
    count: int
    rigid: Array
    centre: Array
    size: float

    @property
    def mesh(self) -> Any:
        """The NGSolve mesh."""
        return self.solid.mesh

    @property
    def unknowns(self) -> int:
        """Number of displacement unknowns."""
        return 3 * self.count


def space(solid: Solid, faces: Mapping[str, Facets]) -> Space:
    """Second-order displacement space on `solid` with its named faces (facet numbers)."""
    scalar = ng.H1(solid.mesh, order=2)
    vector = ng.VectorH1(solid.mesh, order=2)
    low, high = solid.points.min(axis=0), solid.points.max(axis=0)
    centre, size = 0.5 * (low + high), float(np.linalg.norm(high - low))
    one = np.zeros(scalar.ndof)
    one[: solid.mesh.nv] = 1.0
    x, y, z = _places(solid.mesh, centre)
    none = np.zeros(scalar.ndof)
    shifts = [(one, none, none), (none, one, none), (none, none, one)]
    turns = [(none, -z, y), (z, none, -x), (-y, x, none)]
    rigid = np.stack([np.concatenate(motion) for motion in shifts + turns])
    return Space(solid, faces, vector, scalar, scalar.ndof, rigid, centre, size)


def _places(mesh: Any, centre: Array) -> Array:
    """Coefficients (3, count) of the places of a mesh seen from a centre (3,) [mm]. They lie in the scalar space."""
    g = ng.GridFunction(ng.H1(mesh, order=2, dim=3))
    g.Set(ng.CF((ng.x, ng.y, ng.z)) - ng.CF(tuple(centre.tolist())))
    return np.ascontiguousarray(g.vec.FV().NumPy().reshape(-1, 3).T)


def strain(u: Any) -> Any:
    """Engineering strain (6,) of a displacement, order 11, 22, 33, 23, 13, 12."""
    g = ng.Grad(u)
    return ng.CF((g[0, 0], g[1, 1], g[2, 2], g[1, 2] + g[2, 1], g[0, 2] + g[2, 0], g[0, 1] + g[1, 0]))


def on_face(sp: Space, face: str, bonus: int = 0) -> Any:
    """The measure of integrals over a named face alone; `bonus` to their order."""
    facets = np.zeros(sp.mesh.GetNE(ng.BND), dtype=bool)
    facets[sp.faces[face]] = True
    return ng.ds(definedonelements=ng.BitArray(facets.tolist()), bonus_intorder=bonus)


def face_dofs(sp: Space, face: str) -> NDArray[np.intp]:
    """Scalar dof numbers of a named face."""
    numbers: set[int] = set()
    for f in sp.faces[face]:
        numbers.update(d for d in sp.scalar.GetDofNrs(ng.ElementId(ng.BND, int(f))) if d >= 0)
    return np.array(sorted(numbers), dtype=np.intp)


def face_area(sp: Space, face: str) -> float:
    """Area of a named face [mm2], curved where the mesh is."""
    return float(ng.Integrate(ng.CF(1.0) * on_face(sp, face, AREA_BONUS), sp.mesh))


def face_centre(sp: Space, face: str) -> Array:
    """Centroid (3,) of a named face [mm]."""
    here = on_face(sp, face, AREA_BONUS)
    return np.array([ng.Integrate(x * here, sp.mesh) for x in (ng.x, ng.y, ng.z)]) / face_area(sp, face)


def mean_normal(sp: Space, face: str) -> tuple[Array, float]:
    """Mean outward normal (3,) of a face and its length before scaling: 1 for a plane, 0 for a whole hole."""
    n = ng.specialcf.normal(3)
    here = on_face(sp, face, AREA_BONUS)
    total = np.array([ng.Integrate(n[i] * here, sp.mesh) for i in range(3)])
    length = float(np.linalg.norm(total)) / face_area(sp, face)
    return total / max(float(np.linalg.norm(total)), 1e-300), length


def facet_vertices(sp: Space, face: str) -> NDArray[np.intp]:
    """Vertex numbers of a named face."""
    return np.unique(sp.solid.facets[sp.faces[face]])


def csr(matrix: Any) -> sparse.csr_array:
    """An assembled NGSolve matrix (rows, columns) as SciPy's; a copy."""
    values, columns, rows = (np.array(a) for a in matrix.CSR())
    # One short kind of number for both: SciPy would take the longer, and read half as much again in every product.
    return sparse.csr_array((values, columns, rows.astype(columns.dtype)), shape=(matrix.height, matrix.width))


def from_csr(matrix: sparse.csr_array) -> Any:
    """A SciPy matrix (rows, columns) as NGSolve's; a copy."""
    given = matrix.tocoo()
    rows, columns, values = Array_I_S(given.nnz), Array_I_S(given.nnz), Array_D_S(given.nnz)
    for to, numbers in ((rows, given.row), (columns, given.col), (values, given.data)):
        to.NumPy()[:] = numbers  # handed over as NumPy's they would be converted one by one
    return ng.la.SparseMatrixd.CreateFromCOO(rows, columns, values, *given.shape)
