"""Run by `tetra` in a process of its own: triangles from one file -> tetrahedra in another.

Alone in its process because the mesher cannot be interrupted and a crash of it must not take the caller down.
It imports nothing of this package, so that it starts at once.
"""

from __future__ import annotations

import importlib.util
import json
import os
import sys
import types
from pathlib import Path

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
    with Path(answer + ".part").open("wb") as file:
        np.savez(file, points=nodes, tets=tets.astype(np.int32))
    os.replace(answer + ".part", answer)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
