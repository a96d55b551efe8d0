"""Tetrahedra from triangles, by a robust mesher in a process of its own, with a time limit and a cache."""

from __future__ import annotations

import os
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

import numpy as np

from printworthy.errors import NotComputed
from printworthy.shape import child
from printworthy.shape.source import Surface
from printworthy.workspace.cache import Cache, key

LIMIT = 240.0  # [s] of processor time for each of two tries; usual are 5 to 60 s
Tets = tuple[np.ndarray, np.ndarray]


@dataclass(frozen=True, slots=True)
class Wish:
    """What the mesher is asked for: edge length and envelope [mm] (how far the skin may move), shape energy at which it
    stops improving (3 is a regular tetrahedron)."""

    edge: float
    envelope: float
    energy: float

    def coarser(self) -> Wish:
        """The second and last try."""
        return Wish(1.5 * self.edge, 2.0 * self.envelope, 2.0 * self.energy)


def tetrahedra(
    surface: Surface,
    wish: Wish,
    where: str,
    *,
    cache: Path | None = None,
    progress: child.Progress | None = None,
    limit: float = LIMIT,
) -> tuple[np.ndarray, np.ndarray, Wish]:
    """Points (n, 3) [mm] and tets (m, 4) of a surface, tried once more coarser, and the wish that was met.

    Raises NotComputed after two tries; whatever `progress` raises stops the work.
    """
    reasons = []
    store = Cache(cache) if cache else None
    for attempt in (wish, wish.coarser()):
        name = key("tetrahedra", version("pytetwild"), attempt, surface.points, surface.triangles)
        if store and (kept := store.get(name)):
            return kept.arrays["points"], kept.arrays["tets"], attempt
        found = _run(surface, attempt, progress, limit)
        if not isinstance(found, str):
            if store:
                store.put(name, "{}", {"points": found[0], "tets": found[1]})
            return *found, attempt
        reasons.append(found)
    raise NotComputed(
        f"the mesher failed twice: at {wish.edge:.3g} mm {reasons[0]}; at {1.5 * wish.edge:.3g} mm {reasons[1]}",
        where=where,
        do="State a larger element_size, or give the part as STEP",
    )


def _run(surface: Surface, wish: Wish, progress: child.Progress | None, limit: float) -> Tets | str:
    """Tetrahedra, or in words why there are none."""
    diagonal = float(np.linalg.norm(np.ptp(surface.points, axis=0)))
    options = {
        "edge_length_fac": min(1.0, wish.edge / diagonal),
        "epsilon": wish.envelope / diagonal,
        "stop_energy": wish.energy,
        "num_threads": os.cpu_count() or 1,
    }
    arrays = {"points": surface.points, "triangles": surface.triangles}
    found = child.run("tetra_child.py", options, arrays, limit=limit, stage="meshing", progress=progress)
    if isinstance(found, str):
        return found
    return (found["points"], found["tets"].astype(np.int64)) if len(found["tets"]) else "it found no inside"
