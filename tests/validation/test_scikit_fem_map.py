"""The map of build directions against another finite-element program at directions the map has not seen.

T. Gustafsson and G. D. McBain, scikit-fem, Journal of Open Source Software 5 (2020) 2369, with SciPy's direct solver:
own elements, loads, bed, thermal forces, recovery at the skin and one factorisation per direction. The same mesh is
used, so that what is compared is the answer of the reduced model; its stated error is shown in every row.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import netgen.occ as occ
import numpy as np
import pytest
from compare import Source, compare
from scikit import basis_on, bed_matrix, body_forces, inside, on_face, on_skin, stiffness_matrix, stress_forces
from scipy.sparse.linalg import splu

from printworthy.inputs import Load, LoadCase, Quantity, Support
from printworthy.strength import DirectionMap, Model, Prepared, Settings, direction_map, model
from printworthy.strength.criteria import Strengths
from printworthy.strength.elastic import layer_frame, part_strain
from specimens import card, design_values, part_stiffness, plane, solid, specimen

MILD = "print 8000/3000/0.35/0.40/1100 MPa"
SOURCE = Source("Gustafsson and McBain 2020, scikit-fem, map of directions", f"same mesh, {MILD}", "another program")
PRINT = card(8000.0, 3000.0, 0.35, 0.40, 1100.0, density=1.2)
EXPANSION = {"expansion_in_layer": 2.2e-5, "expansion_through": 24.8e-5}
WARM_VALUES = {n: Quantity(v, "1/K", "test", "invented") for n, v in EXPANSION.items()}
WARM = replace(PRINT, values={**PRINT.values, **WARM_VALUES})
DESIGN = design_values(X=60.0, Z=30.0, S=25.0, S12=40.0, Xc=80.0, Zc=70.0)
STRENGTHS = Strengths.of(DESIGN)
SETTINGS = Settings(directions=200, random_checks=10)
BED = (40.0, 15.0)  # [N/mm3] along the normal and across
FORCE, GRAVITY, ACCELERATION = (30.0, -20.0, -100.0), (0.0, 0.0, -6e6), (3e6, 5e6, 0.0)  # [N], [mm/s2]
SHIFT, KELVIN = (0.1, 0.0, -0.2), 40.0  # [mm], [K]
CASES = {
    "force": (Load("force", "end", FORCE),),
    "weight and acceleration": (Load("gravity", vector=GRAVITY), Load("acceleration", vector=ACCELERATION)),
    "warming": (Load("temperature", value=KELVIN),),
    "moved foot": (Load("displacement", "foot", SHIFT),),
    "all at once": (
        Load("force", "end", FORCE), Load("temperature", value=KELVIN), Load("displacement", "foot", SHIFT),
    ),
}  # fmt: skip
UNSEEN = np.random.default_rng(60493).normal(size=(5, 3))


@cache
def bracket() -> Model:
    """An L-shaped bracket, its foot fixed and its back on an elastic bed."""
    body = occ.Box((0, 0, 0), (30, 10, 25)) - occ.Box((10, -1, -1), (31, 11, 17))
    with TemporaryDirectory() as folder:
        meshed = solid(body, Path(folder), 5.0)
    faces = {
        "foot": plane((0, 0, 0), (0, 0, -1)),
        "end": plane((30, 0, 25), (1, 0, 0)),
        "back": plane((0, 0, 0), (-1, 0, 0)),
    }
    supports = [Support("foot", "fixed"), Support("back", "foundation", *BED)]
    return specimen(meshed, WARM, faces, supports, *(list(loads) for loads in CASES.values())).model


@cache
def mapped(case: str) -> DirectionMap:
    """The map of one case alone: its error is stated for the case that governs."""
    m = bracket()
    part = replace(m.part, cases=(LoadCase(case, CASES[case], "steady", "test"),))
    alone = model(Prepared(m.space, m.sampler), part, WARM, factored=m)
    return direction_map(alone, DESIGN, SETTINGS, lambda stage, share: None)


@cache
def basis() -> Any:
    return basis_on(bracket().space.solid)


@cache
def exact(number: int) -> dict[str, float]:
    """Governing utilisation of every case at an unseen direction, by the other program."""
    frame, c = layer_frame(UNSEEN[number]), part_stiffness(bracket().stiffness, UNSEEN[number])
    free = part_strain(bracket().expansion, frame)
    b = basis()
    k = stiffness_matrix(b, c) + bed_matrix(b, lambda x: np.isclose(x[0], 0.0), *BED)
    foot = b.get_dofs(lambda x: np.isclose(x[2], 0.0)).all()
    loose = np.setdiff1d(np.arange(b.N), foot)
    factor = splu(k[loose][:, loose].tocsc())
    per_mass = 1.2e-9  # [tonne/mm3]
    even = np.array(FORCE)[:, None, None] / (10 * 8)
    end = on_face(b, lambda x: np.isclose(x[0], 30.0), lambda x: even + 0 * x)
    weight = body_forces(b, per_mass * (np.array(GRAVITY) - np.array(ACCELERATION)))
    warm = KELVIN * stress_forces(b, c @ free)
    shift = np.zeros(b.N)
    for axis in range(3):
        shift[b.get_dofs(lambda x: np.isclose(x[2], 0.0)).all([f"u^{axis + 1}"])] = SHIFT[axis]
    none = np.zeros(b.N)
    loads = {
        "force": (end, none, 0.0),
        "weight and acceleration": (weight, none, 0.0),
        "warming": (warm, none, KELVIN),
        "moved foot": (none, shift, 0.0),
        "all at once": (end + warm, shift, KELVIN),
    }
    found = {}
    for name, (f, u, kelvin) in loads.items():
        u = u.copy()
        u[loose] = factor.solve((f - k @ u)[loose])
        judged = [where(b, u, c, frame, STRENGTHS, kelvin * free) for where in (inside, on_skin)]
        found[name] = float(np.max(judged))
    return found


@pytest.mark.parametrize("case", CASES)
def test_map_at_unseen_directions(case: str) -> None:
    found = mapped(case)
    assert found.reached
    here = found.at(UNSEEN)[0].max(axis=(1, 2))
    there = np.array([exact(i)[case] for i in range(len(UNSEEN))])
    for i, n in enumerate(UNSEEN / np.linalg.norm(UNSEEN, axis=1)[:, None]):
        direction = ", ".join(f"{x:.2f}" for x in n)
        quantity = f"{case}: governing utilisation built along ({direction}) [-]"
        compare(here[i], there[i], rel=SETTINGS.target, source=SOURCE, quantity=quantity)
    # At 95 % confidence 74 % of directions lie inside the stated error: fewer than 2 of 5 would refute it.
    assert np.count_nonzero(np.abs(here / there - 1) <= found.error) >= 2
    assert there.max() > 1.1 * there.min()  # the direction matters


STRONG = card(10000.0, 2000.0, 0.35, 0.40, 800.0, density=1.2)
WEAK_LAYERS = design_values(X=80.0, Z=20.0, S=18.0, S12=45.0, Xc=90.0, Zc=80.0)
STRONG_SOURCE = replace(SOURCE, entry=f"{SOURCE.entry}, strong anisotropy", place="moduli 5 : 1, strengths X/Z 4 : 1")


def test_strong_anisotropy_reaches_the_target() -> None:
    """Moduli 10000/2000 MPa, strengths 80/20 MPa: force on the end, at the default target of 1 %."""
    m = bracket()
    part = replace(m.part, cases=(LoadCase("force", CASES["force"], "steady", "test"),))
    strong = model(Prepared(m.space, m.sampler), part, STRONG)
    found = direction_map(strong, WEAK_LAYERS, SETTINGS, lambda stage, share: None)
    assert found.reached, f"1 % was not reached: {found.error:.2%} with {found.basis.size} fields"
    here, f, b = found.at(UNSEEN)[0].max(axis=(1, 2)), Strengths.of(WEAK_LAYERS), basis()
    foot = b.get_dofs(lambda x: np.isclose(x[2], 0.0)).all()
    loose = np.setdiff1d(np.arange(b.N), foot)
    even = np.array(FORCE)[:, None, None] / (10 * 8)
    end = on_face(b, lambda x: np.isclose(x[0], 30.0), lambda x: even + 0 * x)
    for i, n in enumerate(UNSEEN / np.linalg.norm(UNSEEN, axis=1)[:, None]):
        frame, c = layer_frame(n), part_stiffness(strong.stiffness, n)
        k = stiffness_matrix(b, c) + bed_matrix(b, lambda x: np.isclose(x[0], 0.0), *BED)
        u = np.zeros(b.N)
        u[loose] = splu(k[loose][:, loose].tocsc()).solve(end[loose])
        there = max(where(b, u, c, frame, f, np.zeros(6)).max() for where in (inside, on_skin))
        quantity = f"force: governing utilisation built along ({', '.join(f'{x:.2f}' for x in n)}) [-]"
        compare(here[i], there, rel=SETTINGS.target, source=STRONG_SOURCE, quantity=quantity)
    assert here.max() > 1.5 * here.min()
