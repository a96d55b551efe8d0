"""Run by `child`: the CAD kernel. "read": solids of a STEP file as triangles and figures; "mesh": one solid as
second-order tetrahedra. Imports nothing of this package, to start at once."""

from __future__ import annotations

import importlib.util
import json
import sys
from typing import Any

import netgen.occ as occ
import numpy as np


def main(question: str, answer: str) -> None:
    """Read options from `question`, write arrays to `answer`."""
    with np.load(question, allow_pickle=False) as given:
        options = json.loads(str(given["options"]))
    try:
        shape = occ.OCCGeometry(options["path"]).shape
        if options["factor"] != 1.0:
            shape = shape.Scale(occ.Pnt(0, 0, 0), options["factor"])
        solids = list(shape.solids)
        volumes = (
            [s.mass for s in solids] if options["do"] == "read" or len(solids) > 1 else [0.0]
        )  # it may take seconds
        order = sorted(range(len(solids)), key=lambda k: -float(f"{volumes[k]:.6g}"))
        if options["do"] == "read":
            found = read(shape, [solids[k] for k in order], [volumes[k] for k in order])
        else:
            found = mesh(solids[order[options["solid"]]], options)
        np.savez(answer, **found)
    except Exception as error:
        if type(error).__name__ not in ("NgException", "OCCException", "RuntimeError"):
            raise
        sys.exit(str(error))


def read(shape: Any, solids: list[Any], volumes: list[float]) -> dict[str, Any]:
    """volume, area, faces, name (s,) of solids; corners_k (m, 3, 3), face_k (m,), box_k (2, 3) of solid k, loose."""
    found: dict[str, Any] = {
        "volume": np.array(volumes, dtype=float),
        "area": np.array([sum(f.mass for f in s.faces) for s in solids], dtype=float),
        "faces": np.array([len(s.faces) for s in solids], dtype=int),
        "name": np.array([s.name or "" for s in solids], dtype=str),
        "loose": np.array(len(shape.faces) - sum(len(s.faces) for s in solids)),
    }
    for k, solid in enumerate(solids):
        found[f"box_{k}"] = exact_box(solid)
        solid.MakeTriangulation()
        # The only way the binding hands out the kernel's triangles: three lists of x, y, z, face number.
        parts = [np.asarray(p, dtype=float).reshape(-1, 4) for p in solid._webgui_data()["Bezier_trig_points"][:3]]
        found[f"corners_{k}"] = np.stack([p[:, :3] for p in parts], axis=1)
        found[f"face_{k}"] = parts[0][:, 3].astype(np.int64)
    return found


def exact_box(solid: Any) -> np.ndarray:
    """Box (2, 3) of a solid from its distance to six planes round it; the kernel's own box is loose on curved faces."""
    low, high = (np.array(tuple(corner)) for corner in solid.bounding_box)
    middle, far = 0.5 * (low + high), 1.5 * float((high - low).max())
    box = np.zeros((2, 3))
    for axis in range(3):
        for side, sign in enumerate((-1.0, 1.0)):
            normal = np.eye(3)[axis] * sign
            at = middle + far * normal
            frame = occ.Axes(tuple(at), n=occ.Dir(*normal), h=occ.Dir(*np.eye(3)[axis - 1]))
            wall = occ.WorkPlane(frame).RectangleC(2 * far, 2 * far).Face()
            box[side, axis] = at[axis] - sign * solid.Distance(wall)
    return box


def mesh(solid: Any, options: dict[str, Any]) -> dict[str, Any]:
    """nodes (n, 3), corners first; tets (m, 10); facets (k, 6); face (k,) CAD face number from 0."""
    made = occ.OCCGeometry(solid).GenerateMesh(
        maxh=options["size"], curvaturesafety=options["curvature"], grading=options["grading"]
    )
    if not made.ne:
        sys.exit("it found no inside")
    made.SecondOrder()
    skin = made.Elements2D().NumPy()
    return {
        "nodes": np.array(made.Coordinates(), dtype=float),
        "tets": made.Elements3D().NumPy()["nodes"] - 1,
        "facets": skin["nodes"] - 1,
        "face": skin["index"] - 1,
    }


def limit_processor(seconds: float) -> None:
    """Let the system end this process after so many seconds of processor time, where the system can."""
    if importlib.util.find_spec("resource"):
        import resource

        resource.setrlimit(resource.RLIMIT_CPU, (int(seconds), int(seconds) + 5))


if __name__ == "__main__":
    limit_processor(float(sys.argv[3]))
    main(sys.argv[1], sys.argv[2])
