"""A part cut free: what loads it, what holds it, and that the two balance.

The supports share the load by the stiffness stated for them, each at the place of its face: a rigid part on its beds.
The finite elements solve the same with the part's own elasticity; both are in balance with the same loads.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.inputs import CylinderSelector, LoadCase, Part, PlaneSelector, Support
from printworthy.results import FreeBody, Push
from printworthy.ride.bodies import GROUND, LENGTH, Action, Joint, action, joint, solve
from printworthy.ride.placing import face_point, triple
from printworthy.ride.vehicle import N_PER

Array = NDArray[np.float64]
WIDTH = 10.0  # [mm] half width over which a support can hold a moment (assumed)
RIGID = 1e5  # of a support that does not give, beside beds of 1 to 5000
USUAL = 1000.0  # of a bolt hole whose bed is the material's own


def free_body(part: Part, case: LoadCase, mass: float, centre: ArrayLike) -> FreeBody | None:
    """A case of a part in balance; `mass` [kg] of the part at `centre` (3,) [mm]. None where a load of it has no
    resultant that could be drawn (pressure, displacement, temperature).

    Raises LoadError where the supports cannot hold the loads.
    """
    if any(load.kind in ("pressure", "displacement", "temperature") for load in case.loads):
        return None
    pushes = list(_loads(part, case, mass, np.asarray(centre, float)))
    held = [_held(part, s) for s in part.supports]
    found = solve(["part"], held, pushes)
    supports = [
        Push(j.name, triple(j.point), triple(found.forces[j.name]), triple(found.moments[j.name]), "support")
        for j in held
    ]
    loads = [
        Push(a.name, triple(a.point), triple(a.force), triple(a.moment), "inertia" if a.inertia else "load")
        for a in pushes
    ]
    words = "supports share by their stated stiffness, as beds under a rigid part"
    return FreeBody(case.name, case.source, (*loads, *supports), found.residual, words)


def _loads(part: Part, case: LoadCase, mass: float, centre: Array) -> Iterator[Action]:
    for load in case.loads:
        vector = np.array(load.vector)
        if load.kind in ("acceleration", "gravity"):
            sign = -1.0 if load.kind == "acceleration" else 1.0
            name = "inertia of the part" if sign < 0 else "weight of the part"
            yield action(name, "part", centre, sign * mass * N_PER * vector, inertia=True)
        elif "moment" in load.kind:
            yield action(f"moment on {load.face}", "part", face_point(part.faces[load.face]), moment=vector)
        else:
            yield action(f"{load.face}", "part", face_point(part.faces[load.face]), vector)


def _held(part: Part, s: Support) -> Joint:
    """A support as a joint: its bed along and across the face, and the same bed over `WIDTH` against turning."""
    face = part.faces[s.face]
    normal = s.stiffness if s.stiffness is not None else RIGID if s.kind in ("fixed", "sliding") else USUAL
    across = s.tangential if s.tangential is not None else 0.0 if s.kind in ("sliding", "foundation") else normal
    selector = face.selector
    first = np.eye(3)[2]
    if isinstance(selector, CylinderSelector):
        first = np.array(selector.axis, float)
    elif isinstance(selector, PlaneSelector):
        first = np.array(selector.normal, float)
    axes = _frame(first)
    if isinstance(selector, CylinderSelector):  # pressed square to its axis, and slid along it
        forces, turns = np.array([across, normal, normal]), np.array([across, normal, normal])
    elif isinstance(selector, PlaneSelector):
        forces, turns = np.array([normal, across, across]), np.array([across, normal, normal])
    else:
        forces, turns = np.full(3, normal), np.full(3, normal)
    rates = np.concatenate([forces, turns * (WIDTH / LENGTH) ** 2]) + 1e-6 * normal
    return joint(s.face, GROUND, "part", face_point(face), axes, axes, rates)


def _frame(first: Array) -> Array:
    """Three unit axes (3, 3), the first along `first`."""
    a = first / np.linalg.norm(first)
    b = np.cross(a, np.eye(3)[int(np.argmin(np.abs(a)))])
    b /= np.linalg.norm(b)
    return np.array([a, b, np.cross(a, b)])
