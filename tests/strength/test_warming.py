"""Warming: free, it only grows; held, it presses by C alpha dT; between walls by E alpha dT (textbook)."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import numpy as np
import pytest

from printworthy.errors import CardError
from printworthy.inputs import Load, MaterialCard, Quantity, Support, Vector
from specimens import Specimen, card, facets_where, part_stiffness, plane, solid, specimen

ALONG, THROUGH, WARMER = 2.2e-5, 24.8e-5, 40.0
DIRECTIONS = [(0.0, 0.0, 1.0), (1.0, -2.0, 0.7)]


def expanding() -> MaterialCard:
    print_ = card(8000.0, 3000.0, 0.35, 0.40, 1100.0)
    names = {"expansion_in_layer": ALONG, "expansion_through": THROUGH}
    more = {n: Quantity(v, "1/K", "test", "invented") for n, v in names.items()}
    return replace(print_, values={**print_.values, **more})


@cache
def block(support: str) -> Specimen:
    """A block of 12 x 10 x 8 mm, warmed, on a bed too soft to matter or held on all its skin."""
    with TemporaryDirectory() as folder:
        body = solid(occ.Box((0, 0, 0), (12, 10, 8)), Path(folder), 5.0)
    faces = {"foot": plane((0, 0, 0), (0, 0, -1)), "skin": facets_where(body, lambda p: np.ones(p.shape[:2], bool))}
    supports = {"bed": Support("foot", "foundation", 1e-6, 1e-6), "held": Support("skin", "fixed")}
    return specimen(body, expanding(), faces, [supports[support]], [Load("temperature", value=WARMER)])


def free_strain(direction: Vector) -> np.ndarray:
    """Tensor (3, 3) of the free strain in part axes."""
    n = np.asarray(direction) / np.linalg.norm(direction)
    return WARMER * (ALONG * np.eye(3) + (THROUGH - ALONG) * np.outer(n, n))


@pytest.mark.parametrize("direction", DIRECTIONS)
def test_free_it_grows_without_stress(direction: Vector) -> None:
    warm = block("bed")
    solution = warm.solve(direction)
    assert np.abs(warm.skin_stress(solution)).max() < 1e-5
    growth = free_strain(direction)
    corners = [(0, 0, 0), (12, 0, 0), (0, 10, 0), (0, 0, 8)]
    moved = [warm.moved(solution, c) for c in corners]
    for axis, length in enumerate((12, 10, 8)):
        stretch = (moved[axis + 1] - moved[0])[axis] / length
        assert stretch == pytest.approx(growth[axis, axis], rel=1e-6)


@pytest.mark.parametrize("direction", DIRECTIONS)
def test_held_all_round_it_presses_back(direction: Vector) -> None:
    e = free_strain(direction)
    voigt = np.array([e[0, 0], e[1, 1], e[2, 2], 2 * e[1, 2], 2 * e[0, 2], 2 * e[0, 1]])
    expected = -part_stiffness(block("held").model.stiffness, direction) @ voigt
    stress = block("held").skin_stress(block("held").solve(direction))
    assert stress == pytest.approx(np.tile(expected, (len(stress), 1)), abs=1e-6 * np.abs(expected).max())


def test_a_bar_between_walls_presses_by_modulus_times_expansion(tmp_path: Path) -> None:
    body = solid(occ.Box((0, 0, 0), (30, 6, 6)), tmp_path, 4.0)
    faces = {
        "x0": plane((0, 0, 0), (-1, 0, 0)), "x1": plane((30, 0, 0), (1, 0, 0)),
        "y0": plane((0, 0, 0), (0, -1, 0)), "z0": plane((0, 0, 0), (0, 0, -1)),
    }  # fmt: skip
    bar = specimen(
        body, expanding(), faces, [Support(n, "sliding") for n in faces], [Load("temperature", value=WARMER)]
    )
    for direction, pressure in [((0, 0, 1), 8000 * ALONG * WARMER), ((1, 0, 0), 3000 * THROUGH * WARMER)]:
        stress = bar.skin_stress(bar.solve(direction))
        assert stress[:, 0] == pytest.approx(np.full(len(stress), -pressure), rel=1e-6)
        assert np.abs(stress[:, 1:]).max() < 1e-6 * pressure
        solution = bar.solve(direction)
        assert solution.imbalance[0] < 1e-7


def test_a_card_without_expansion_is_refused() -> None:
    bare = card(8000.0, 3000.0, 0.35, 0.40, 1100.0)
    with pytest.raises(CardError, match="expansion_in_layer, expansion_through"):
        block("bed").in_material(bare)
