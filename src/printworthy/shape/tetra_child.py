"""Run by `child`: triangles from one file -> tetrahedra in another. Imports nothing of this package, to start at
once."""

from __future__ import annotations

import importlib.util
import json
import sys
import types

import numpy as np


def main(question: str, answer: str) -> None:
    """Read points, triangles and options from `question`, write points and tets to `answer`."""
    if importlib.util.find_spec("pyvista") is None:
        # pytetwild imports it only to hang an accessor on its classes; an empty module makes it skip that.
        sys.modules["pyvista"] = types.ModuleType("pyvista")
    import pytetwild

    with np.load(question, allow_pickle=False) as given:
        points, triangles = given["points"], given["triangles"]
        options = json.loads(str(given["options"]))
    nodes, tets = pytetwild.tetrahedralize(points, triangles.astype(np.int32), quiet=True, **options)
    np.savez(answer, points=nodes, tets=tets.astype(np.int32))


def limit_processor(seconds: float) -> None:
    """Let the system end this process after so many seconds of processor time, where the system can."""
    if importlib.util.find_spec("resource"):
        import resource

        resource.setrlimit(resource.RLIMIT_CPU, (int(seconds), int(seconds) + 5))


if __name__ == "__main__":
    limit_processor(float(sys.argv[3]))
    main(sys.argv[1], sys.argv[2])
