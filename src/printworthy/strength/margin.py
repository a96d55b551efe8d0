"""From a solution to utilisation: the governing case, mode and place of a part built one way."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.inputs import LoadCase
from printworthy.results import CaseResult, Deflection, DesignValues, DirectionResult
from printworthy.strength.criteria import MODES, Relief, Strengths, by_mode, von_mises
from printworthy.strength.elastic import strain_rotation
from printworthy.strength.lay import bead_angle, frame_at, vector
from printworthy.strength.solution import Solution, solve
from printworthy.strength.space import Space, facet_vertices
from printworthy.strength.system import Model

Array = NDArray[np.float64]
COMPARED = 1e-4  # residual of an answer that is only looked at beside others
NEAR = 2.0  # a place within this many element sizes of a face is called near it


def utilisation(
    m: Model, direction: ArrayLike, design: DesignValues, factor: float, relief: Relief | None = None
) -> DirectionResult:
    """Every load case of a part built along `direction` (3,): utilisation (with `factor` on load), mode, place.

    `relief`: what each strength gains at every sampled point because it is cooler there than `design` is made for.

    Raises NotComputed if the solution does not settle.
    """
    solution = solve(m, direction)
    strengths = Strengths.of(design, relief)
    cases = tuple(
        _case(m, case, solution, i, layer_stress(m, solution, i), strengths, factor)
        for i, case in enumerate(m.part.cases)
    )
    return DirectionResult(
        design.material,
        vector(solution.direction),
        factor,
        cases,
        deflections(m, solution),
        _solver(solution),
        *bead_angle(m.part, direction),
    )


def layer_stress(m: Model, s: Solution, case: int) -> Array:
    """Stress (p, 6) [MPa] in layer axes at the sampled points of one case; in infill that at which the solid print
    would be as near its strength as the infill is."""
    turn = strain_rotation(frame_at(m.part, s.direction))
    free = m.warming[case] * m.expansion
    return (m.sampler.strains(s.displacements[case]) @ turn.T - free) @ m.stiffness * m.sampler.worked[:, None]


def skin_utilisation(
    m: Model, direction: ArrayLike, design: DesignValues, factor: float, relief: Relief | None = None
) -> Array:
    """Largest utilisation over cases and modes at every vertex of the mesh (n,); vertices inside stay 0."""
    s = solve(m, direction)
    inside, strengths = len(m.sampler.weights), Strengths.of(design)
    if relief is not None:
        strengths = Strengths.of(design, {name: gain[inside:] for name, gain in relief.items()})
    worst = np.zeros(len(m.space.solid.points))
    for i in range(len(m.part.cases)):
        skin = layer_stress(m, s, i)[inside:]
        worst[m.sampler.skin] = np.maximum(worst[m.sampler.skin], factor * by_mode(skin, strengths).max(axis=1))
    return worst


def metal_utilisation(m: Model, yield_strength: float, factor: float) -> dict[str, float]:
    """Largest von Mises stress over yield, times the factor, by case; the material of `m` is isotropic."""
    s = solve(m, (0, 0, 1), COMPARED)
    share = factor / yield_strength
    return {c.name: share * float(von_mises(layer_stress(m, s, i)).max()) for i, c in enumerate(m.part.cases)}


def deflections(m: Model, s: Solution) -> tuple[Deflection, ...]:
    """Largest movement of every face that has a limit or is loaded, in every case."""
    found = []
    for i, case in enumerate(m.part.cases):
        for name, face in m.part.faces.items():
            if face.deflection_limit is not None or any(load.face == name for load in case.loads):
                moved = _movement(m.space, s.displacements[i])[facet_vertices(m.space, name)]
                found.append(Deflection(case.name, name, float(moved.max()), face.deflection_limit))
    return tuple(found)


def _movement(sp: Space, u: Array) -> Array:
    """Length of the displacement at every vertex (n,) [mm]."""
    at_vertices: Array = np.linalg.norm(u.reshape(3, sp.count)[:, : len(sp.solid.points)], axis=0)
    return at_vertices


def _case(
    m: Model, case: LoadCase, s: Solution, i: int, stress: Array, strengths: Strengths, factor: float
) -> CaseResult:
    modes = by_mode(stress, strengths)
    place, mode = np.unravel_index(int(np.argmax(modes)), modes.shape)
    point = m.sampler.points[place]
    near = near_face(m.space, point)
    return CaseResult(
        case=case.name,
        utilisation=factor * float(modes[place, mode]),
        mode=MODES[mode],
        point=vector(point),
        stress=tuple(float(c) for c in stress[place]),  # type: ignore[arg-type]
        near_face=near,
        at_support=_at_support(m, point),
        by_mode={name: factor * float(v) for name, v in zip(MODES, modes.max(axis=0), strict=True)},
        max_displacement=float(_movement(m.space, s.displacements[i]).max()),
        applied=vector(s.applied[i, :3]),
        reaction=vector(s.reactions[i, :3]),
        imbalance=float(s.imbalance[i]),
    )


def near_face(sp: Space, point: ArrayLike) -> str:
    """Name of the nearest named face within `NEAR` element sizes of a point, or ''."""
    distance = {name: _distance(sp, name, point) for name in sp.faces}
    name = min(distance, key=lambda n: distance[n], default="")
    return name if name and distance[name] <= NEAR * sp.solid.report.element_size else ""


def _at_support(m: Model, point: ArrayLike) -> bool:
    """True within one element of a face whose dofs are held: there the elastic stress has no limit under refinement."""
    size = m.space.solid.report.element_size
    return any(_distance(m.space, face, point) <= size for face in m.supported.edges)


def _distance(sp: Space, face: str, point: ArrayLike) -> float:
    """Distance [mm] from a point to the nearest corner or centre of a face's facets."""
    corners = sp.solid.points[sp.solid.facets[sp.faces[face]]]
    marks = np.concatenate([corners.reshape(-1, 3), corners.mean(axis=1)])
    return float(np.linalg.norm(marks - np.asarray(point, float), axis=1).min())


def _solver(s: Solution) -> str:
    return f"conjugate gradients on the true stiffness, {s.iterations} iterations to a residual of {s.residual:.0e}"
