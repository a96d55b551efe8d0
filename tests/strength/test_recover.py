"""Strains at the judged points: exact for quadratic displacements on straight elements; weights fill the solid."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import ngsolve as ng
import numpy as np
import pytest

from printworthy.strength import Prepared, prepared
from specimens import solid

VOLUME = 12 * 10 * 8 - 5 * 5 * 8


@cache
def block() -> Prepared:
    with TemporaryDirectory() as folder:
        body = solid(occ.Box((0, 0, 0), (12, 10, 8)) - occ.Box((0, 0, 0), (5, 5, 8)), Path(folder), 4.0)
    return prepared(body, {})


def test_weights_fill_the_solid() -> None:
    sampler = block().sampler
    assert sampler.weights.sum() == pytest.approx(VOLUME, rel=1e-12)
    centre = sampler.weights @ sampler.points[: len(sampler.weights)] / VOLUME
    moment = 12 * 10 * 8 * np.array([6, 5, 4]) - 5 * 5 * 8 * np.array([2.5, 2.5, 4])
    assert centre == pytest.approx(moment / VOLUME, rel=1e-12)


def test_points_on_the_skin_are_its_vertices() -> None:
    sampler, points = block().sampler, block().solid.points
    assert sampler.points[len(sampler.weights) :] == pytest.approx(points[sampler.skin], abs=0)
    on_skin = np.unique(block().solid.facets)
    assert sampler.skin == pytest.approx(on_skin, abs=0)


def test_linear_strains_are_read_exactly_inside_and_on_the_skin() -> None:
    """u = (x^2 + y z, 3 x y, z^2 - 2 x z): strains by hand."""
    space, sampler = block().space, block().sampler
    u = ng.GridFunction(space.vector)
    u.Set(ng.CF((ng.x**2 + ng.y * ng.z, 3 * ng.x * ng.y, ng.z**2 - 2 * ng.x * ng.z)))
    x, y, z = sampler.points.T
    expected = np.column_stack([2 * x, 3 * x, 2 * z - 2 * x, 0 * x, y - 2 * z, z + 3 * y])
    assert sampler.strains(u.vec.FV().NumPy()) == pytest.approx(expected, abs=1e-10)


def test_nodal_forces_of_an_even_stress_are_its_pull_on_the_skin() -> None:
    """Divergence theorem: work of an even stress on the displacement a r is sigma : a times the volume."""
    space, sampler = block().space, block().sampler
    stress = np.array([3.0, -1.0, 2.0, 0.5, -0.7, 0.3])
    forces = sampler.nodal(np.tile(stress, (len(sampler.weights), 1)))
    u = ng.GridFunction(space.vector)
    u.Set(ng.CF((1e-3 * ng.x + 2e-3 * ng.y, 4e-3 * ng.y - 1e-3 * ng.z, 3e-3 * ng.x - 2e-3 * ng.z)))
    strain = np.array([1e-3, 4e-3, -2e-3, -1e-3, 3e-3, 2e-3])
    assert forces @ u.vec.FV().NumPy() == pytest.approx(stress @ strain * VOLUME, rel=1e-10)
