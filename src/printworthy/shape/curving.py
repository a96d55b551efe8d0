"""Second-order elements on curved faces, kept from turning inside out.

The mesher puts the middle of every edge on the CAD face. Where an element is large against the radius of the face
this can fold it; the edges of such elements are made straight again, one ring after another, until no element is
folded.
"""

from __future__ import annotations

import numpy as np

# Order of the ten nodes in netgen's second-order tetrahedron: four corners, then the middles of these edges.
MIDDLES = ((0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3))
LEAST = 0.1  # smallest Jacobian over that of the straight element; 1 undistorted, 0 folded
ROUNDS = 20

_THIRD = 1 / 3
# Barycentric places looked at: corners, middles of edges, of faces, of the element, where second-order maps are worst.
PLACES = np.array(
    [*np.eye(4)]
    + [0.5 * (np.eye(4)[i] + np.eye(4)[j]) for i, j in MIDDLES]
    + [_THIRD * (1 - np.eye(4)[k]) for k in range(4)]
    + [np.full(4, 0.25)]
)


def _gradients() -> np.ndarray:
    """d(shape function)/d(x, y, z of the reference) (place, node, 3) of the ten-node tetrahedron."""
    lam = np.array([[-1.0, -1, -1], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    result = np.zeros((len(PLACES), 10, 3))
    for p, at in enumerate(PLACES):
        for i in range(4):
            result[p, i] = (4 * at[i] - 1) * lam[i]
        for k, (i, j) in enumerate(MIDDLES):
            result[p, 4 + k] = 4 * (at[i] * lam[j] + at[j] * lam[i])
    return result


GRADIENTS = _gradients()


def distortion(nodes: np.ndarray) -> np.ndarray:
    """Least Jacobian (m,) of ten-node tetrahedra (m, 10, 3) over the Jacobian of the straight element on their
    corners; 1 where every middle lies halfway."""
    halfway = np.stack([0.5 * (nodes[:, i] + nodes[:, j]) for i, j in MIDDLES], axis=1)
    bent = np.flatnonzero((nodes[:, 4:] != halfway).any(axis=(1, 2)))
    derivatives = np.tensordot(GRADIENTS, nodes[bent], axes=((1,), (1,)))  # (place, of the reference, element, x)
    jacobian = _volume(*derivatives.transpose(1, 0, 2, 3))
    straight = _volume(*(nodes[bent, k] - nodes[bent, 0] for k in (1, 2, 3)))
    least = np.ones(len(nodes))
    least[bent] = (jacobian / np.where(straight != 0, straight, np.inf)).min(axis=0)
    return least


def _volume(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> np.ndarray:
    """Triple products (...) of vectors (..., 3)."""
    return np.asarray((np.cross(a, b) * c).sum(axis=-1))


def straighten_folded(points: np.ndarray, tets: np.ndarray) -> int:
    """Move middles of edges in `points` (n, 3), in place, so that no element of tets (m, 10) is folded; how many
    elements were straightened."""
    touched = np.zeros(len(tets), dtype=bool)
    for _ in range(ROUNDS):
        folded = distortion(points[tets]) < LEAST
        if not (folded & ~touched).any():
            break
        touched |= folded
        for k, (i, j) in enumerate(MIDDLES):
            a, b, middle = tets[folded][:, [i, j, 4 + k]].T
            points[middle] = 0.5 * (points[a] + points[b])
    return int(touched.sum())
