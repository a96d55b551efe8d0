"""How the beads of the answer lie, and what another raster angle would do: words, a curve, its exact checks."""

from __future__ import annotations

import numpy as np

from printworthy.dossier import words
from printworthy.dossier.document import Block, Cell, Column, Figure, Row, Table
from printworthy.dossier.plot import Axis, plot
from printworthy.dossier.tables import figure, turned
from printworthy.results import DirectionResult, RasterCurve


def lie(result: DirectionResult) -> str:
    """How the beads lie in words: "30° in the layer, along (0.87, 0.5, 0)"; "" where nothing is said of them."""
    if result.raster is None or result.along is None:
        return ""
    return f"{words.number(result.raster)}° in the layer, along {words.vector(result.along)}"


def sentence(curve: RasterCurve) -> str:
    """How much hangs on the raster where the part is built."""
    layers = ", ".join(f"{words.number(a)}°" for a in curve.layers)
    stack = f" (layers in turn at {layers} to it)" if len(curve.layers) > 1 else ""
    low, high = min(curve.utilisation), max(curve.utilisation)
    how = "chosen" if curve.chosen else "as stated"
    return (
        f"Beads{stack} at {words.number(curve.angle)}° in the layer, {how}, along "
        f"{words.vector(curve.along)} of the part: over all raster angles the utilisation built "
        f"{words.direction(curve.direction)} runs from {words.utilisation(low)} to {words.utilisation(high)} "
        f"(at {words.number(curve.worst)}°)."
    )


def cautions(result: DirectionResult, curve: RasterCurve | None) -> tuple[str, ...]:
    """What the answer takes the beads for; nothing where nothing is said of them."""
    if result.raster is None:
        return ()
    lines = [
        "Criterion not validated on prints pulled at an angle to their beads; walls that follow the outline, with "
        "beads of their own, are not in it."
    ]
    if curve is not None and len(curve.layers) > 1:
        lines.append(
            "The constants of the lay-up are a mean over its thickness: classical lamination theory in the plane (a "
            "Voigt mean), common stress between layers (Pagano 1974); each layer is judged by its own stress, and free "
            "edges are not in it."
        )
    return tuple(lines)


def blocks(curve: RasterCurve | None, factor: float) -> tuple[Block, ...]:
    """Curve and checks; nothing for a material that is alike all round in its layers."""
    return () if curve is None else (picture(curve, factor), checks(curve))


def picture(curve: RasterCurve, factor: float) -> Figure:
    """Utilisation over the raster angle at the build direction of the map's choice."""
    angles, used = np.array([*curve.angles, 180.0]), np.array([*curve.utilisation, curve.utilisation[0]])
    ticks = tuple((float(a), f"{a}°") for a in range(0, 181, 30))
    drawn = plot(
        Axis("raster angle", 0.0, 180.0, ticks=ticks), Axis("utilisation", 0.0, 1.12 * max(1.0, float(used.max())))
    )
    drawn.level(1.0, "limit")
    drawn.line(angles, used)
    exact = [factor * c.exact for c in curve.checks]
    drawn.points(curve.checked[1:], exact[1:], "ring")
    drawn.points(curve.checked[:1], exact[:1], "square")
    caption = (
        f"Utilisation over the raster angle, built {turned(curve.direction)}. Square: the angle taken, "
        f"{words.number(curve.angle)}°, and rings: other angles, solved exactly; they differ from the curve by at most "
        f"{words.number(100 * curve.error, 2)} %. Angles count from the part's x axis as seen in the layer, "
        "right-handed about the build direction or its opposite, whichever points up (+z); beads have no sense: "
        "180° is 0°."
    )
    return Figure(drawn.text(), caption, caption)


def checks(curve: RasterCurve) -> Table:
    """Exact solutions the curve was held against."""
    rows = tuple(
        Row((Cell(c.why), Cell(f"{words.number(a)}°", a, "deg"), figure(c.estimate), figure(c.exact),
             Cell(f"{words.number(100 * c.error, 2)} %", c.error)))
        for a, c in zip(curve.checked, curve.checks, strict=True)
    )  # fmt: skip
    columns = (
        Column("why this angle"), Column("raster", "", "number"), Column("estimated", "", "number"),
        Column("exact", "", "number"), Column("error", "", "number"),
    )  # fmt: skip
    note = "Governing utilisation without the factor on load, on the true stiffness of that angle."
    return Table("The raster against exact solutions", columns, rows, note=note, stacked=True)
