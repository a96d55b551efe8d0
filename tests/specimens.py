"""Solids, cards and models for tests of strength, by the road a part takes: STEP file, read, mesh, select, model."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy import shape
from printworthy.inputs import (
    Face,
    Geometry,
    Load,
    LoadCase,
    MaterialCard,
    Part,
    PlaneSelector,
    Quantity,
    Selector,
    Support,
    Vector,
)
from printworthy.results import DesignValue, DesignValues
from printworthy.shape import Solid
from printworthy.strength import Model, Prepared, model, prepared, solve
from printworthy.strength.elastic import layer_frame, rotated, strain_rotation
from printworthy.strength.lay import frame_at
from printworthy.strength.margin import layer_stress
from printworthy.strength.solution import Solution

Array = NDArray[np.float64]
UP = (0.0, 0.0, 1.0)


def card(
    e_in: float, e_through: float, nu_in: float, nu_through: float, g_through: float, density: float = 1.0
) -> MaterialCard:
    """Card of a printed polymer with these elastic constants [MPa, -] and density [g/cm3]."""
    numbers = {
        "modulus_in_layer": e_in, "modulus_through": e_through, "poisson_in_layer": nu_in,
        "poisson_through": nu_through, "shear_modulus_through": g_through, "density": density,
    }  # fmt: skip
    values = {n: Quantity(v, "", "test", "invented") for n, v in numbers.items()}
    return MaterialCard("test", "test", "printed polymer", values)


def isotropic_card(modulus: float, poisson: float, density: float = 1.0) -> MaterialCard:
    """Card of an isotropic print."""
    return card(modulus, modulus, poisson, poisson, modulus / (2 * (1 + poisson)), density)


def design_values(X: float, Z: float, S: float, S12: float, Xc: float, Zc: float) -> DesignValues:
    """Design values [MPa] without a history."""
    return DesignValues(
        "test",
        *(
            DesignValue(n, v, v, (), "test", "test", "invented", 0)
            for n, v in zip("XZSTUV", (X, Z, S, S12, Xc, Zc), strict=True)
        ),
    )


def part_stiffness(c: Array, direction: ArrayLike) -> Array:
    """Stiffness (6, 6) in part axes of a print built along `direction` (3,), c (6, 6) in layer axes."""
    return rotated(c, layer_frame(direction).T)


def plane(point: Vector, normal: Vector) -> PlaneSelector:
    return PlaneSelector(point, normal)


def solid(body: Any, folder: Path, size: float) -> Solid:
    """OCC body -> STEP file -> read -> mesh."""
    path = folder / "part.step"
    body.WriteStep(str(path))
    return shape.mesh(shape.read(Geometry(path)), element_size=size)


def graded(start: float, end: float, first: float, growth: float) -> list[float]:
    """Places from `start` to `end`, the first `first` apart, then growing: outlines cut there, the mesher follows."""
    places, step = [start], first
    while places[-1] + 1.5 * step < end:
        places.append(places[-1] + step)
        step *= growth
    return [*places, end]


def facets_where(body: Solid, inside: Callable[[Array], NDArray[np.bool_]]) -> NDArray[np.intp]:
    """Numbers of the facets whose corners (k, 3, 3) all pass; for faces no selector describes, as elliptic ones."""
    return np.flatnonzero(inside(body.corners).all(axis=1))


@dataclass(frozen=True)
class Specimen:
    """A loaded solid: `model` and, per direction, solution and skin stress in part axes."""

    model: Model

    def solve(self, direction: Vector = UP) -> Solution:
        return solve(self.model, direction)

    def in_material(self, material: MaterialCard) -> Specimen:
        """The same loaded solid in another material."""
        return Specimen(model(Prepared(self.model.space, self.model.sampler), self.model.part, material))

    def skin_stress(self, solution: Solution, case: int = 0) -> Array:
        """Stress (k, 6) [MPa] in part axes at the skin's vertices `model.sampler.skin`."""
        turn = strain_rotation(frame_at(self.model.part, solution.direction))
        return layer_stress(self.model, solution, case)[len(self.model.sampler.weights) :] @ turn

    def nearest(self, point: ArrayLike) -> int:
        """Row of the skin vertex at `point`. Fails if none is within a millionth of the part's size."""
        skin = self.model.space.solid.points[self.model.sampler.skin]
        distance = np.linalg.norm(skin - np.asarray(point, float), axis=1)
        row = int(np.argmin(distance))
        assert distance[row] < 1e-6 * self.model.space.size, f"no vertex at {point}: nearest {skin[row]}"
        return row

    def at(self, point: ArrayLike, solution: Solution, case: int = 0) -> Array:
        """Stress (6,) [MPa] in part axes at the skin vertex at `point`."""
        return self.skin_stress(solution, case)[self.nearest(point)]

    def moved(self, solution: Solution, point: ArrayLike, case: int = 0) -> Array:
        """Displacement (3,) [mm] at the skin vertex at `point`."""
        space = self.model.space
        return solution.displacements[case].reshape(3, space.count)[:, self.model.sampler.skin[self.nearest(point)]]


def shape_faces(
    body: Solid, faces: Mapping[str, Selector | NDArray[np.intp]]
) -> tuple[dict[str, Face], dict[str, NDArray[np.intp]]]:
    """Named faces and their facet numbers, from selectors or from the numbers themselves."""
    named = {n: Face(n, s) for n, s in faces.items() if not isinstance(s, np.ndarray)}
    return named, {n: shape.select(body, named[n]) if n in named else s for n, s in faces.items()}


def specimen(
    body: Solid,
    material: MaterialCard,
    faces: Mapping[str, Selector | NDArray[np.intp]],
    supports: Sequence[Support],
    *cases: Sequence[Load],
) -> Specimen:
    """Model of a solid whose faces are named by selectors or facet numbers; each case is a list of loads."""
    named, facets = shape_faces(body, faces)
    part = Part(
        "test", "test", Geometry(Path("part.step")), "test", material.name, named, tuple(supports),
        tuple(LoadCase(f"case {i + 1}", tuple(c), "steady", "test") for i, c in enumerate(cases)),
    )  # fmt: skip
    return Specimen(model(prepared(body, facets), part, material))
