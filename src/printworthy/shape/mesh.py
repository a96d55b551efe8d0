"""A checked body -> second-order tetrahedra."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import netgen.occ as occ
import ngsolve
import numpy as np

from printworthy.results import MeshReport
from printworthy.shape.source import Solid, Source

Progress = Callable[[str, float], None]


def mesh(source: Source, *, element_size: float | None = None, cache: Path | None = None, progress: Progress | None = None) -> Solid:
    """Mesh a body; `element_size` [mm] left out: from its wall thickness."""
    size = element_size or float(np.ptp(source.surface.points, axis=0).max()) / 20
    netgen_mesh = occ.OCCGeometry(source.cad).GenerateMesh(maxh=size, curvaturesafety=1.0, grading=0.3)
    ng_mesh = ngsolve.Mesh(netgen_mesh)
    ng_mesh.Curve(2)
    return solid(source, netgen_mesh, ng_mesh, size)


def solid(source: Source, netgen_mesh: Any, ng_mesh: Any, size: float) -> Solid:
    """Arrays and figures of a finished mesh."""
    skin = netgen_mesh.Elements2D().NumPy()
    points = np.array(netgen_mesh.Coordinates(), dtype=float)
    tets = netgen_mesh.Elements3D().NumPy()["nodes"][:, :4].astype(np.int64) - 1
    facets = skin["nodes"][:, :3].astype(np.int64) - 1
    volume = float(ngsolve.Integrate(1.0, ng_mesh))
    unknowns = 3 * (ng_mesh.nv + ng_mesh.nedge)
    report = MeshReport("netgen on CAD", len(tets), unknowns, size, 0.0, 0.0, 0.0, 0.0, volume / source.report.volume - 1, True, ())
    return Solid(ng_mesh, points, tets, facets, skin["index"].astype(np.int64) - 1, source.surface, 0.0, volume, report, source.report)
