"""The two-level preconditioner: what conjugate gradients ask of it, and its sweeps against the textbook's written out.

Block Gauss-Seidel: Saad, Iterative Methods for Sparse Linear Systems, 2nd ed. 2003, section 4.1 (from memory).
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy.sparse as sparse

from printworthy.strength import twolevel
from printworthy.strength.twolevel import TwoLevel, vertex_dofs

NODES, VERTICES = 40, 12


@pytest.fixture
def matrix() -> sparse.csr_array:
    """Positive definite, components coupled, some 3 x 3 blocks only in part there."""
    root = sparse.random_array((3 * NODES, 3 * NODES), density=0.03, rng=np.random.default_rng(7))
    return sparse.csr_array(root @ root.T + sparse.eye_array(3 * NODES))


@pytest.fixture
def free() -> np.ndarray:
    held = np.zeros((3, NODES), dtype=bool)
    held[:, 3] = held[1, 20] = held[2, 7] = True
    return ~held.ravel()


def test_it_is_symmetric_and_positive_on_free_dofs_alone(matrix: sparse.csr_array, free: np.ndarray) -> None:
    near = TwoLevel(matrix, free, vertex_dofs(~free, NODES, VERTICES))
    inverse = near.solve(np.eye(3 * NODES)[:, free])
    assert not inverse[~free].any()
    kept = inverse[free]
    assert np.abs(kept - kept.T).max() < 1e-12 * np.abs(kept).max()
    assert np.linalg.eigvalsh(0.5 * (kept + kept.T)).min() > 0
    spectrum = np.linalg.eigvals(kept @ matrix[free][:, free].toarray()).real
    assert spectrum.max() <= 1 + 1e-9  # nothing is corrected too far
    assert spectrum.min() > 0.3


def test_it_is_exact_where_all_is_factored(matrix: sparse.csr_array, free: np.ndarray) -> None:
    near = TwoLevel(matrix, free, free)
    force = np.random.default_rng(8).normal(size=(3 * NODES, 2)) * free[:, None]
    assert (matrix @ near.solve(force))[free] == pytest.approx(force[free], abs=1e-10)


@pytest.mark.parametrize(("relax", "order"), [("_relax", range(NODES)), ("_relax_back", range(NODES - 1, -1, -1))])
def test_a_sweep_is_block_gauss_seidel(matrix: sparse.csr_array, free: np.ndarray, relax: str, order: range) -> None:
    near = TwoLevel(matrix, free, vertex_dofs(~free, NODES, VERTICES))
    rng = np.random.default_rng(9)
    force, start = rng.normal(size=(NODES, 3)), rng.normal(size=(NODES, 3))
    found = start.copy()
    getattr(twolevel, relax)(*near.blocks, near.inverse, force, found)
    a, wanted = matrix.toarray(), start.T.ravel()
    for i in order:
        dofs = np.array([i, NODES + i, 2 * NODES + i])
        own = dofs[free[dofs]]
        rest = force.T.ravel()[own] - a[own] @ wanted
        wanted[own] += np.linalg.solve(a[np.ix_(own, own)], rest)
    assert found.T.ravel() == pytest.approx(wanted, abs=1e-12)
