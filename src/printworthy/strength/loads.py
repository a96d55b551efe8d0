"""Load cases to load vectors: consistent integrals over named faces and over the body."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import ngsolve as ng
import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.errors import LoadError
from printworthy.inputs import Load, LoadCase
from printworthy.strength.lay import vector
from printworthy.strength.space import Space, face_area, face_centre, on_face

Array = NDArray[np.float64]
TONNE_PER_MM3 = 1e-9  # 1 g/cm3
SKEWED = 0.2  # [rad] a pressure whose resultant leans this far off is refused: the face is not a whole hole
AIMED = 0.01  # [rad] what still leans is taken out by an even traction, so that the resultant is exact
NEARLY = 0.05  # [rad] borne where aiming comes no nearer: a hole of few elements, some of them straight-edged
AIM_STEPS = 40


def load_vector(sp: Space, case: LoadCase, density: Any) -> Array:
    """Load vector (unknowns,) [N] of a case; `density` [g/cm3], a number or a function, for gravity and
    acceleration.

    Prescribed displacements and temperature are no part of it: their forces depend on the build direction.
    Raises LoadError where a load cannot act on its face.
    """
    total = np.zeros(sp.unknowns)
    for load in case.loads:
        if load.kind in BUILDERS:
            total += BUILDERS[load.kind](sp, load, density)
    return total


def resultant(sp: Space, f: Array) -> tuple[Array, Array]:
    """Total force (3,) [N] and moment (3,) about the box centre [N mm] of a load vector."""
    both = sp.rigid @ f
    return both[:3], both[3:]


def surface_vector(sp: Space, traction: Any, face: str) -> Array:
    """Load vector of a traction (3,) [MPa] on a named face."""
    v = sp.vector.TestFunction()
    form = ng.LinearForm(sp.vector)
    form += ng.InnerProduct(traction, v) * on_face(sp, face, 2)
    form.Assemble()
    return np.array(form.vec.FV().NumPy())


def _force(sp: Space, load: Load, _: Any) -> Array:
    area = face_area(sp, load.face)
    return surface_vector(sp, ng.CF(tuple(c / area for c in load.vector)), load.face)


def _pressure(sp: Space, load: Load, _: Any) -> Array:
    return surface_vector(sp, -load.value * ng.specialcf.normal(3), load.face)


def _moment(sp: Space, load: Load, _: Any) -> Array:
    """Traction of a rigid plate turning about the face's centroid: t = b x (r - c), b solved so that the total moment
    is the one asked; no net force because c is the centroid."""
    arm = ng.CF((ng.x, ng.y, ng.z)) - ng.CF(tuple(face_centre(sp, load.face)))
    unit = [surface_vector(sp, ng.Cross(ng.CF(tuple(e)), arm), load.face) for e in np.eye(3)]
    matrix = np.stack([resultant(sp, f)[1] for f in unit], axis=1)
    if np.linalg.cond(matrix) > 1e12:
        raise LoadError(f"face {load.face} is too narrow to take a moment", where=load.place or "")
    return np.einsum("i,ij->j", np.linalg.solve(matrix, np.array(load.vector)), np.stack(unit))


def _bearing(sp: Space, load: Load, _: Any) -> Array:
    """Cosine pressure of a pin: p = lam max(0, d . n) where the wall's outward normal faces against the push d."""
    n = ng.specialcf.normal(3)

    def pattern(aim: Array) -> Array:
        push = -ng.InnerProduct(n, ng.CF(tuple(aim)))
        return surface_vector(sp, -n * ng.IfPos(push, push, 0), load.face)

    return _exact(sp, load, _aimed(sp, load, pattern, slice(0, 3)), force=np.array(load.vector))


def _bearing_moment(sp: Space, load: Load, _: Any) -> Array:
    """Pressure of a pin that tips in its hole: p = lam max(0, -n . (m x r)), r from the centroid of the hole."""
    arm = ng.CF((ng.x, ng.y, ng.z)) - ng.CF(tuple(face_centre(sp, load.face)))
    n = ng.specialcf.normal(3)

    def pattern(aim: Array) -> Array:
        push = -ng.InnerProduct(n, ng.Cross(ng.CF(tuple(aim)), arm))
        return surface_vector(sp, -n * ng.IfPos(push, push, 0), load.face)

    f = _exact(sp, load, _aimed(sp, load, pattern, slice(3, 6)), force=np.zeros(3))
    gap = np.array(load.vector) - resultant(sp, f)[1]
    return f + _moment(sp, replace(load, vector=vector(gap)), 0.0)


def _exact(sp: Space, load: Load, f: Array, force: Array) -> Array:
    """`f` with an even traction that makes its resultant exactly `force`."""
    return f + _force(sp, replace(load, vector=vector(force - resultant(sp, f)[0])), 0.0)


def _aimed(sp: Space, load: Load, pattern: Callable[[Array], Array], rows: slice) -> Array:
    """Load vector of a one-sided pressure whose resultant points where asked.

    On an uneven mesh the resultant leans a little off the aim: the aim is corrected by what it leans. Raises LoadError
    if the face cannot press that way (part of a hole, a wrong axis).
    """
    asked = np.array(load.vector)
    wanted = asked / np.linalg.norm(asked)
    aim, lean, best = wanted, np.pi, np.zeros(0)
    for _ in range(AIM_STEPS):
        f = pattern(aim)
        got = np.concatenate(resultant(sp, f))[rows]
        size = float(np.linalg.norm(got))
        if not size > 0:
            break
        now = float(np.arccos(np.clip(got @ wanted / size, -1, 1)))
        if now < lean:
            lean, best = now, f * float(np.linalg.norm(asked)) / size
        if now < AIMED or now > SKEWED:
            break
        aim = aim + wanted - got / size
    if lean < NEARLY:
        return best
    raise LoadError(
        f"a pin cannot press {load.kind} on face {load.face} that way: it leans {np.degrees(lean):.0f} deg off",
        where=load.place or "",
        do="Name the whole hole as the face and mesh it round, or use force or moment",
    )


def _body(sp: Space, acceleration: ArrayLike, density: Any) -> Array:
    v = sp.vector.TestFunction()
    form = ng.LinearForm(sp.vector)
    per_volume = tuple(float(c) * density * TONNE_PER_MM3 for c in np.asarray(acceleration, float))
    form += ng.InnerProduct(ng.CF(per_volume), v) * ng.dx
    form.Assemble()
    return np.array(form.vec.FV().NumPy())


def _gravity(sp: Space, load: Load, density: Any) -> Array:
    return _body(sp, load.vector, density)


def _acceleration(sp: Space, load: Load, density: Any) -> Array:
    """d'Alembert: a part that is accelerated one way is loaded by its inertia the other way."""
    return _body(sp, -np.array(load.vector), density)


BUILDERS = {
    "force": _force,
    "bearing": _bearing,
    "moment": _moment,
    "bearing moment": _bearing_moment,
    "pressure": _pressure,
    "gravity": _gravity,
    "acceleration": _acceleration,
}
