"""Tetrahedra from triangles, by a robust mesher in a process of its own, with a time limit and a cache."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

import numpy as np

from printworthy.errors import NotComputed
from printworthy.shape.source import Surface
from printworthy.workspace.cache import Cache, key

CHILD = Path(__file__).with_name("tetra_child.py")
LIMIT = 150.0  # [s] for each of two tries
Progress = Callable[[str, float], None]
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


def tetrahedra(surface: Surface, wish: Wish, where: str, *, cache: Path | None = None, progress: Progress | None = None,
               limit: float = LIMIT) -> tuple[np.ndarray, np.ndarray, Wish]:  # fmt: skip
    """Points (n, 3) [mm] and tets (m, 4) of a surface, tried once more coarser, and the wish that was met.

    Raises NotComputed after two tries; whatever `progress` raises stops the work.
    """
    reasons = []
    store = Cache(cache) if cache else None
    for attempt in (wish, wish.coarser()):
        name = key("tetrahedra", version("pytetwild"), attempt, surface.points, surface.triangles)
        if store and (kept := store.get(name)):
            return kept.arrays["points"], kept.arrays["tets"], attempt
        found = _run(surface, attempt, progress or _silent, limit)
        if not isinstance(found, str):
            if store:
                store.put(name, "{}", {"points": found[0], "tets": found[1]})
            return *found, attempt
        reasons.append(found)
    raise NotComputed(
        f"no tetrahedra: at {wish.edge:.3g} mm {reasons[0]}, coarser at {1.5 * wish.edge:.3g} mm {reasons[1]}",
        where=where,
        do="State a larger element_size, or give the part as STEP",
    )


def _silent(stage: str, fraction: float) -> None:
    """Nobody is watching."""


def _run(surface: Surface, wish: Wish, progress: Progress, limit: float) -> Tets | str:
    """Tetrahedra, or in words why there are none."""
    diagonal = float(np.linalg.norm(np.ptp(surface.points, axis=0)))
    options = {"edge_length_fac": min(1.0, wish.edge / diagonal), "epsilon": wish.envelope / diagonal, "stop_energy": wish.energy,
               "num_threads": os.cpu_count() or 1}  # fmt: skip
    with tempfile.TemporaryDirectory(prefix="printworthy-") as folder:
        question, answer, words = (Path(folder, n) for n in ("question.npz", "answer.npz", "words.txt"))
        np.savez(question, points=surface.points, triangles=surface.triangles, options=json.dumps(options))
        with words.open("wb") as out:
            child = subprocess.Popen([sys.executable, "-P", str(CHILD), str(question), str(answer)], stdout=out, stderr=out)
            try:
                ended = _wait(child, progress, limit)
            finally:
                child.kill()
                child.wait()
        if not ended:
            return f"the mesher did not end within {limit:.0f} s"
        if child.returncode or not answer.exists():
            return _why(child.returncode, words)
        with np.load(answer, allow_pickle=False) as given:
            points, tets = given["points"], given["tets"].astype(np.int64)
    return (points, tets) if len(tets) else "the mesher found no inside"


def _wait(child: subprocess.Popen[bytes], progress: Progress, limit: float) -> bool:
    """Whether the child ended in time."""
    start = time.monotonic()
    while (spent := time.monotonic() - start) < limit:
        progress("meshing", spent / limit)
        try:
            child.wait(0.2)
        except subprocess.TimeoutExpired:
            continue
        return True
    return False


def _why(code: int, words: Path) -> str:
    if code < 0:
        return f"the mesher was stopped by signal {-code} (a crash, or too little memory)"
    lines = words.read_text("utf-8", "replace").strip().splitlines()
    return f"the mesher failed ({lines[-1][:120] if lines else f'code {code}'})"
