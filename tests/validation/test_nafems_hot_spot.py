"""Thermal stress around a hot spot in a membrane, NAFEMS benchmark T1.

NAFEMS, The Standard NAFEMS Benchmarks, TNSB rev. 3, 1990: plate of 20 x 20 mm in plane stress, a disc of radius 1 mm in
its middle that would grow by 1e-3, E 100 GPa, Poisson's ratio 0.3; stress across the radius just outside the disc 50
MPa within 3 % (target found in a public code that cites the benchmark; E alpha dT / 2 for the infinite plate).

A part warms evenly here, so the plate is cut at the rim of the disc and joined again by the force method: the disc
warmed freely and pressed, the plate with its hole pressed from inside, the rim's radial movement the same. All three
are solved by the package; the rim of the hole moves evenly to the share (1/10)^2 that the square's corners make.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import cos, pi, sin
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import netgen.occ as occ
import numpy as np
from compare import Source, compare
from plates import quarter

from printworthy.inputs import Load, MaterialCard, Quantity, Support
from specimens import Specimen, facets_where, isotropic_card, plane, solid, specimen

SOURCE = Source("NAFEMS benchmark T1, membrane with a hot spot", "TNSB rev. 3, 1990; in a public code", "found")
MODULUS, POISSON, FREE, WARMER = 1e5, 0.3, 1e-3, 50.0
THIN = 0.05


def warm_card() -> MaterialCard:
    plain = isotropic_card(MODULUS, POISSON)
    growth = {
        n: Quantity(FREE / WARMER, "1/K", "test", "invented") for n in ("expansion_in_layer", "expansion_through")
    }
    return replace(plain, values={**plain.values, **growth})


def disc() -> Any:
    """A quarter of the disc, thin against its radius."""
    return occ.Cylinder(occ.Pnt(0, 0, 0), occ.Z, 1.0, THIN) * occ.Box(occ.Pnt(0, 0, 0), occ.Pnt(2, 2, THIN))


def loaded(shape: Any, size: float, loads: Sequence[Load]) -> Specimen:
    """A quarter, held by its planes of symmetry, with its round rim as a face; each load a case of its own."""
    with TemporaryDirectory() as folder:
        body = solid(shape, Path(folder), size)
    rim = facets_where(body, lambda p: np.abs(np.hypot(p[..., 0], p[..., 1]) - 1) < 1e-6)
    faces = {"x0": plane((0, 0, 0), (-1, 0, 0)), "y0": plane((0, 0, 0), (0, -1, 0)), "z0": plane((0, 0, 0), (0, 0, -1))}
    return specimen(
        body, warm_card(), {**faces, "rim": rim}, [Support(n, "sliding") for n in faces], *[[x] for x in loads]
    )


def outwards(s: Specimen, case: int) -> float:
    """Radial movement [mm] of the rim at both planes of symmetry, their mean."""
    solution = s.solve()
    ends = [s.moved(solution, (1, 0, 0), case)[0], s.moved(solution, (0, 1, 0), case)[1]]
    return float(np.mean(ends))


def test_t1() -> None:
    hot = loaded(disc(), 0.1, [Load("temperature", value=WARMER), Load("pressure", "rim", value=1.0)])
    plate = loaded(quarter(10.0, 10.0, THIN), 2.0, [Load("pressure", "rim", value=1.0)])
    free, pressed, opened = outwards(hot, 0), outwards(hot, 1), outwards(plate, 0)
    between = free / (opened - pressed)  # pressure that brings both rims together [MPa]
    solution = plate.solve()
    around = plate.at((1, 0, 0), solution)[1] * between
    compare(around, 50.0, rel=0.03, source=SOURCE, quantity="stress across the radius outside the spot [MPa]")
    across = (cos(pi / 4), sin(pi / 4), 0)
    assert plate.at(across, solution)[:2].sum() * between < 0.2 * around  # infinite plate: the in-plane sum is nothing
