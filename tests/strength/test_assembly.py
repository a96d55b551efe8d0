"""The assembled stiffness against the library's own assembly of the form, and against its application."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import ngsolve as ng
import numpy as np
import pytest

from printworthy.inputs import CylinderSelector, Load, Support
from printworthy.strength.solution import apply_stiffness
from printworthy.strength.space import csr, strain
from printworthy.strength.supports import bed_form
from printworthy.strength.system import Model, assembled
from specimens import card, part_stiffness, plane, solid, specimen

PRINT = card(8000.0, 3000.0, 0.35, 0.40, 1100.0)
DIRECTION = (1.0, 2.0, -0.5)


@cache
def bracket() -> Model:
    """A block with a round hole on an elastic bed: curved elements, all constants of a leaning print."""
    with TemporaryDirectory() as folder:
        hole = occ.Cylinder(occ.Pnt(10, 6, -1), occ.Z, r=3, h=10)
        body = solid(occ.Box((0, 0, 0), (30, 12, 8)) - hole, Path(folder), 4.0)
    faces = {"hole": CylinderSelector((10.0, 6.0, 0.0), (0.0, 0.0, 1.0), 3.0), "end": plane((30, 0, 0), (1, 0, 0))}
    bed = Support("hole", "foundation", stiffness=80.0)
    return specimen(body, PRINT, faces, [bed], [Load("force", "end", (0.0, 0.0, -5.0))]).model


def test_it_is_the_library_s_own_matrix() -> None:
    m, c = bracket(), part_stiffness(bracket().stiffness, DIRECTION)
    u, v = m.space.vector.TnT()
    form = ng.BilinearForm(m.space.vector)
    form += ng.InnerProduct(ng.CF(tuple(c.ravel()), dims=(6, 6)) * strain(u), strain(v)) * ng.dx
    for bed in m.supported.beds:
        form += bed_form(m.space, u, v, bed)
    form.Assemble()
    gap = csr(form.mat) - assembled(m, c)
    assert abs(gap).max() < 1e-12 * abs(csr(form.mat)).max()


def test_it_acts_as_the_strains_do() -> None:
    m, c = bracket(), part_stiffness(bracket().stiffness, DIRECTION)
    u = np.random.default_rng(7).normal(size=(m.space.unknowns, 2))
    assert assembled(m, c) @ u == pytest.approx(apply_stiffness(m, np.stack([c, c]), u), rel=1e-9, abs=1e-6)
