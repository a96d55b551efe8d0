"""A checked body -> second-order tetrahedra."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from printworthy.errors import GeometryError
from printworthy.results import MeshReport
from printworthy.shape import build, quality, tetra, thickness, transfer
from printworthy.shape.child import Progress
from printworthy.shape.source import Solid, Source

# How far the mesher may move the skin: small against the part and against its thin wall.
ENVELOPE_OF_DIAGONAL, ENVELOPE_OF_WALL = 1e-3, 0.08
ENERGY = 20.0  # worst shapes near a mean ratio of 0.2: sound for second-order elements, and twice as fast as 10
# Volume of the mesh against the source: remarked, refused.
VOLUME_REMARK, VOLUME_REFUSED = 0.005, 0.03


def mesh(
    source: Source, *, element_size: float | None = None, cache: Path | None = None, progress: Progress | None = None
) -> Solid:
    """Mesh a body into second-order tetrahedra, curved where the source is CAD.

    `element_size` [mm]: left out, it follows from the wall thickness. `cache`: folder where slow results are kept.
    `progress(stage, fraction)` is called now and then; what it raises stops the work.
    Raises NotComputed where no mesh comes about in time, GeometryError where the mesh is not the part.
    """
    found = thickness.walls(source.surface)
    size = element_size or thickness.element_size(found.thin, source.report.volume)
    if source.cad is not None:
        made = build.from_cad(source, size, found.thin, fixed=element_size is not None, cache=cache, progress=progress)
    else:
        made = _from_triangles(source, found.thin, size, cache, progress)
    return _finished(source, made, found)


def _from_triangles(
    source: Source, thin: float, size: float, cache: Path | None, progress: Progress | None
) -> build.Made:
    diagonal = float(np.linalg.norm(np.ptp(source.surface.points, axis=0)))
    envelope = min(ENVELOPE_OF_DIAGONAL * diagonal, ENVELOPE_OF_WALL * thin)
    wish = tetra.Wish(size, envelope, ENERGY)
    points, tets, met = tetra.tetrahedra(source.surface, wish, source.report.file, cache=cache, progress=progress)
    made = build.from_tets(points, tets, source.report.file, met.edge, met.envelope)
    if met is wish:
        return made
    return made.warned(
        f"the mesher did not end at an element size of {size:.3g} mm; meshed coarser, at {met.edge:.3g} mm"
    )


def _finished(source: Source, made: build.Made, found: thickness.Walls) -> Solid:
    shape = quality.mean_ratio(made.points[made.tets])
    across = thickness.elements_across(found, made.points[made.facets])
    error = made.volume / source.report.volume - 1
    report = MeshReport(
        mesher=made.mesher,
        elements=len(made.tets),
        unknowns=made.unknowns,
        element_size=made.size,
        thickness=found.thin,
        across=across,
        worst_quality=float(shape.min()),
        mean_quality=float(shape.mean()),
        volume_error=error,
        curved=made.curved,
        warnings=made.warnings + _warnings(source, across, found.thin, error),
    )
    label = transfer.of_facets(made, source.surface)
    return Solid(
        made.mesh,
        made.points,
        made.tets,
        made.facets,
        label[0],
        label[1],
        source.surface,
        made.envelope,
        made.volume,
        report,
        source.report,
    )


def _warnings(source: Source, across: float, thin: float, error: float) -> tuple[str, ...]:
    if abs(error) > VOLUME_REFUSED:
        raise GeometryError(
            f"the mesh has {error:+.1%} of the volume of the part, so it is not the part",
            where=source.report.file,
            do="State a smaller element_size, or give the part as STEP",
        )
    said = []
    if abs(error) > VOLUME_REMARK:
        said.append(f"volume of the mesh is off by {error:+.2%}")
    if across < 0.75 * thickness.ACROSS:
        said.append(
            f"only {across:.1f} elements through the thin wall of {thin:.3g} mm: stress there is coarse; "
            "a smaller element_size costs time"
        )
    return tuple(said)
