"""Supports: which dofs are held, which faces rest on an elastic bed, and whether the part can still move as a whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import ngsolve as ng
import numpy as np
import scipy.sparse as sparse
from numpy.typing import NDArray

from printworthy.errors import LoadError
from printworthy.inputs import LoadCase, Support
from printworthy.strength.space import Space, csr, face_area, face_dofs, mean_normal, on_face

Array = NDArray[np.float64]
ALIGNED = 1e-6  # a sliding plane whose normal is an axis to this is held exactly, any other by a stiff bed
# A rigid motion counts as free if supports stop less than this share of it. Facets of a curved wall lean a little, so
# that a smooth pin seems to stop its own slide by some 1e-6; a 5 mm bolt stops a 500 mm part from turning by 1e-5.
FREE = 5e-6
STIFF = 1e4  # bed stiffness of an oblique sliding plane, times modulus over part size


@dataclass(frozen=True, slots=True)
class Bed:
    """Elastic bed on a face: stiffness along the normal and across it [N/mm3]."""

    face: str
    normal: float
    tangential: float


@dataclass(frozen=True, slots=True, eq=False)
class Supported:
    """Held dofs (unknowns,) bool, and the beds. `edges`: faces whose rim is a stress singularity (held dofs).
    `springs` (unknowns, unknowns): stiffness of all beds [N/mm]."""

    held: NDArray[np.bool_]
    beds: tuple[Bed, ...]
    edges: tuple[str, ...]
    springs: sparse.csr_array


def supported(sp: Space, supports: Sequence[Support], modulus: float) -> Supported:
    """Held dofs and beds. `modulus` [MPa] scales the beds that are not stated. Raises LoadError if nothing is held or
    the part can still move as a whole (the free motion is named)."""
    held = np.zeros(sp.unknowns, dtype=bool)
    beds: list[Bed] = []
    edges: list[str] = []
    for s in supports:
        dofs = face_dofs(sp, s.face)
        if s.kind == "fixed":
            for c in range(3):
                held[c * sp.count + dofs] = True
            edges.append(s.face)
        elif s.kind == "sliding":
            axis = _aligned_axis(sp, s)
            if axis is None:
                beds.append(Bed(s.face, STIFF * modulus / sp.size, 0.0))
            else:
                held[axis * sp.count + dofs] = True
                edges.append(s.face)
        else:
            beds.append(_bed(sp, s, modulus))
    springs = [_springs(sp, bed) for bed in beds]
    _refuse_free_motion(sp, held, beds, springs)
    none = sparse.csr_array((sp.unknowns, sp.unknowns))
    return Supported(held, tuple(beds), tuple(edges), sparse.csr_array(sum(springs, start=none)))


def _aligned_axis(sp: Space, s: Support) -> int | None:
    """Axis number of a sliding plane that is square to an axis; None if it is a plane in another direction.

    Raises LoadError if the face is not plane.
    """
    normal, flatness = mean_normal(sp, s.face)
    if flatness < 1 - 1e-4:
        raise LoadError(f"sliding support {s.face} is not a plane", where=s.place or "", do="Use foundation")
    axis = int(np.argmax(np.abs(normal)))
    return axis if abs(normal[axis]) > 1 - ALIGNED else None


def _bed(sp: Space, s: Support, modulus: float) -> Bed:
    if s.kind == "bolt hole" and s.stiffness is None:
        # A solid pin pressing an elastic half-space-like wall moves by about pressure * radius / modulus (Lame's hole,
        # u = (1 + nu) p a / E); the bolt's bed is taken as stiff as that wall. Friction under the head: half of it.
        radius = _hole_radius(sp, s)
        return Bed(s.face, modulus / radius, 0.5 * modulus / radius)
    if s.stiffness is None:
        raise LoadError(f"foundation {s.face} has no stiffness", where=s.place or "", do='State it as "... N/mm^3"')
    return Bed(s.face, s.stiffness, s.stiffness if s.tangential is None else s.tangential)


def _hole_radius(sp: Space, s: Support) -> float:
    """Radius [mm] of a round hole from its facets. Raises LoadError if the face is not a closed round wall."""
    corners = _true_facets(sp, s.face)
    across = 0.5 * np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.linalg.norm(across, axis=1)
    values, axes = np.linalg.eigh((across.T / area) @ across / area.sum())
    lean = float(np.linalg.norm(across.sum(axis=0))) / area.sum()
    if values[0] > 0.02 or values[1] < 0.3 or lean > 0.1:  # a whole round wall has 0, 1/2, 1/2 and no mean normal
        what = f"bolt hole {s.face} is not a whole round wall"
        raise LoadError(what, where=s.place or "", do="Select it as a cylinder")
    away = np.unique(corners.reshape(-1, 3), axis=0) - np.average(corners.mean(axis=1), axis=0, weights=area)
    away -= np.outer(away @ axes[:, 0], axes[:, 0])
    return float(np.linalg.norm(away, axis=1).mean())


def _true_facets(sp: Space, face: str) -> Array:
    """Corners (k, 3, 3) [mm] of a face: triangles of the part itself where it is made of whole smooth patches, so that
    the answer does not hang on the mesh; else facets of the mesh."""
    solid, surface = sp.solid, sp.solid.surface
    named = np.unique(solid.patches[sp.faces[face]])
    whole = np.count_nonzero(np.isin(solid.patches, named)) == len(sp.faces[face])
    if whole and np.isin(named, surface.patches).all():
        return np.asarray(surface.corners[np.isin(surface.patches, named)])
    return np.asarray(solid.points[solid.facets[sp.faces[face]]])


def bed_form(sp: Space, u: Any, v: Any, bed: Bed) -> Any:
    """Bilinear form of a bed: normal spring and tangential spring."""
    n = ng.specialcf.normal(3)
    normal = ng.InnerProduct(u, n) * ng.InnerProduct(v, n)
    both = bed.tangential * ng.InnerProduct(u, v) + (bed.normal - bed.tangential) * normal
    return both * on_face(sp, bed.face)


def prescribed(sp: Space, case: LoadCase, supports: Sequence[Support]) -> Array:
    """Displacements (unknowns,) [mm] that a case prescribes on fixed faces; zero elsewhere.

    Raises LoadError where the face to be moved is not a fixed support: nothing would hold it where it is moved to.
    """
    held = {s.face for s in supports if s.kind == "fixed"}
    u = np.zeros(sp.unknowns)
    for load in case.loads:
        if load.kind == "displacement":
            if load.face not in held:
                what = f"{case.name}: face {load.face} is to be moved but is not a fixed support"
                raise LoadError(what, where=load.place or "", do="Support it as fixed, or load it by a force")
            vertices = np.unique(sp.solid.facets[sp.faces[load.face]])
            for c in range(3):
                u[c * sp.count + vertices] = load.vector[c]
    return u


def _springs(sp: Space, bed: Bed) -> sparse.csr_array:
    """Stiffness (unknowns, unknowns) [N/mm] of a bed."""
    u, v = sp.vector.TnT()
    form = ng.BilinearForm(sp.vector)
    form += bed_form(sp, u, v, bed)
    form.Assemble()
    whole = csr(form.mat)
    whole.eliminate_zeros()
    return whole


def _refuse_free_motion(
    sp: Space, held: NDArray[np.bool_], beds: Sequence[Bed], springs: Sequence[sparse.csr_array]
) -> None:
    """Own derivation: a rigid motion is free if it moves no held dof and stretches no bed; the null vectors of the
    6 x 6 energy of the rigid motions name it."""
    scaled = sp.rigid.copy()
    scaled[3:] /= sp.size
    kept = scaled[:, held]
    energy = kept @ kept.T / max(1, kept.shape[1])
    for bed, spring in zip(beds, springs, strict=True):
        energy += scaled @ (spring @ scaled.T) / (max(bed.normal, bed.tangential) * face_area(sp, bed.face))
    values, vectors = np.linalg.eigh(0.5 * (energy + energy.T))
    free = vectors[:, values < FREE]
    if free.shape[1]:
        # Combine the null vectors so that pure slides stand apart from turns.
        mix = np.linalg.svd(free[3:])[2].T
        words = "; ".join(_motion_words(sp, f) for f in (free @ mix).T[::-1])
        count = "one free motion" if free.shape[1] == 1 else f"{free.shape[1]} free motions"
        raise LoadError(f"the supports leave {count}: the part {words}", do="Add a support that stops it")


def _motion_words(sp: Space, motion: Array) -> str:
    """A rigid motion in words: a slide along a direction, or a turn about an axis through a point."""
    shift, turn = motion[:3], motion[3:] / sp.size
    if np.linalg.norm(turn) * sp.size < 1e-3 * np.linalg.norm(shift):
        return f"slides along ({_triple(shift / np.linalg.norm(shift))})"
    axis = turn / np.linalg.norm(turn)
    point = sp.centre + np.cross(turn, shift) / float(turn @ turn)
    return f"turns about the axis ({_triple(axis)}) through ({_triple(point)}) mm"


def _triple(v: Array) -> str:
    return ", ".join(f"{c:.3g}" for c in np.round(v, 6) + 0.0)
