"""Pictures of numbers: utilisation over all build directions, and over mesh refinement."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree import ElementTree as ET

import numpy as np
from scipy.spatial import Delaunay

from printworthy.dossier import paint, sheet, words
from printworthy.dossier.document import Figure
from printworthy.dossier.raster import rasterise
from printworthy.inputs import Vector
from printworthy.results import MeshBracket

RADIUS = 196.0  # of the disc of directions, in units
CENTRE = (sheet.WIDTH / 2, RADIUS + 24)
PIXELS = 640  # across the disc


def on_disc(directions: np.ndarray) -> np.ndarray:
    """Directions (n, 3) as points (n, 2) of the unit disc; a direction and its opposite fall on one point.

    Lambert's azimuthal equal-area projection about +z (J. P. Snyder, Map Projections: A Working Manual, USGS PP 1395,
    1987, eq. 24-2 to 24-4), scaled so that the horizon is the rim: equal areas hold equally many directions.
    """
    d = np.atleast_2d(np.asarray(directions, dtype=float))
    d = d / np.linalg.norm(d, axis=1, keepdims=True)
    d = np.where(d[:, 2:] < 0, -d, d)
    return np.asarray(d[:, :2] / np.sqrt(1 + d[:, 2:]))


def disc_values(directions: np.ndarray, utilisation: np.ndarray, across: int) -> tuple[np.ndarray, np.ndarray]:
    """Utilisation (h, w) over the disc, `across` pixels wide, and where the disc is (h, w) bool.

    directions (n, 3), utilisation (n,). Linear between directions (Delaunay triangles on the disc); directions a little
    below the horizon stand outside the rim, so that the rim is covered.
    """
    unit = directions / np.linalg.norm(directions, axis=1, keepdims=True)
    both, twice = np.vstack([unit, -unit]), np.tile(utilisation, 2)
    seen = both[:, 2] > -0.6
    flat = both[seen, :2] / np.sqrt(1 + both[seen, 2:])
    triangles = Delaunay(flat).simplices
    screen = np.column_stack([(1 + flat * (1, -1)) * across / 2, np.zeros(len(flat))])
    values = rasterise(screen, triangles, across, across).blend(twice[seen][triangles])
    steps = (np.arange(across) + 0.5) / across * 2 - 1
    here = steps**2 + steps[:, None] ** 2 <= 1
    return values * here, here


def all_directions(
    directions: np.ndarray, utilisation: np.ndarray, marks: Sequence[tuple[str, Vector, str]], anchor: str, note: str
) -> Figure:
    """Utilisation over every build direction as a disc seen from +z.

    directions (n, 3), utilisation (n,) with the factor on load; `marks` letter, direction, meaning; `note` on error.
    """
    svg = sheet.canvas(int(CENTRE[1] + RADIUS + 40 + sheet.LEGEND))
    values, here = disc_values(np.asarray(directions), np.asarray(utilisation), PIXELS)
    x, y = CENTRE
    sheet.image(svg, paint.flat_image(values, here), (x - RADIUS, y - RADIUS, 2 * RADIUS, 2 * RADIUS))
    for tilt in (30, 60, 90):
        sheet.add(svg, "circle", "ring", cx=x, cy=y, r=RADIUS * float(np.sqrt(1 - np.cos(np.deg2rad(tilt)))))
    for name, dx, dy in (("x", 1, 0), ("y", 0, -1)):
        for sign, text in ((1, "+"), (-1, words.MINUS)):
            place = (x + sign * dx * (RADIUS + 22), y + sign * dy * (RADIUS + 12) + 5)
            sheet.add(svg, "text", "small mid", text + name, x=place[0], y=place[1])
    placed = []
    for letter, direction, _ in marks:
        u, v = on_disc(np.array(direction))[0] * RADIUS
        target = np.array([x + u, y - v])
        placed.append(sheet.mark_out(letter, "spot", target, np.array([x, y - 1.0]), 34))
    for mark in sheet.apart(placed):
        sheet.mark_shape(svg, mark)
    sheet.legend(svg, f"{anchor}-above", CENTRE[1] + RADIUS + 34)
    least, most = int(np.argmin(utilisation)), int(np.argmax(utilisation))
    key = tuple((letter, meaning) for letter, _, meaning in marks)
    span = (
        f"from {words.utilisation(float(utilisation[least]))} built {words.direction(_vector(directions[least]))} to "
        f"{words.utilisation(float(utilisation[most]))} built {words.direction(_vector(directions[most]))}"
    )
    passed = float(np.mean(np.asarray(utilisation) <= 1))
    caption = (
        f"Utilisation of the whole part for every build direction ({len(utilisation)} computed), {span}; at or below "
        f"the limit in {100 * passed:.0f} % of directions. Centre: along z; rim: lying flat; rings every 30°. Equal "
        f"areas hold equally many directions; a direction and its opposite share one point. {note}"
    )
    return Figure(
        sheet.to_text(svg),
        f"Disc of build directions. {caption} " + " ".join(f"{a}: {b}." for a, b in key),
        caption,
        key,
    )


def refinement(bracket: MeshBracket) -> Figure:
    """Utilisation of one case as the mesh is refined at its peak: size to the right finer, the bracket as a band."""
    width, height, left, top = 560.0, 240.0, 90.0, 24.0
    sizes, values = np.array(bracket.sizes), np.array(bracket.values)
    ends = [bracket.low, *bracket.values, 1.0] + ([bracket.high] if bracket.high is not None else [])
    low, high = 0.95 * min(ends), 1.05 * max(ends)
    reach = np.log(sizes[0] / sizes[-1]) if len(sizes) > 1 and sizes[0] > sizes[-1] else 1.0

    def across(size: float) -> float:
        return left + 30 + (width - 60) * float(np.log(sizes[0] / size) / reach)

    def up(value: float) -> float:
        return top + height * (high - value) / (high - low)

    svg = sheet.canvas(int(top + height + 64))
    ceiling = up(bracket.high) if bracket.high is not None else top
    sheet.add(svg, "rect", "band", x=left, y=ceiling, width=width, height=up(bracket.low) - ceiling)
    sheet.add(svg, "path", "limit", d=f"M{left} {up(1.0):.1f}h{width}")
    sheet.add(svg, "text", "small", "limit", x=left + width + 6, y=up(1.0) + 5)
    sheet.add(svg, "path", "frame", d=f"M{left} {top}v{height}h{width}")
    line = " ".join(f"{across(s):.1f},{up(v):.1f}" for s, v in zip(sizes, values, strict=True))
    sheet.add(svg, "polyline", "course", points=line)
    for size, value in zip(sizes, values, strict=True):
        _step(svg, across(size), up(value), words.utilisation(value), f"{words.number(size, 2)}", top + height)
    sheet.add(svg, "text", "small mid", "element size at the peak, mm", x=left + width / 2, y=top + height + 50)
    sheet.add(svg, "text", "small", "utilisation", x=8, y=top - 6)
    upper = words.utilisation(bracket.high) if bracket.high is not None else "no upper end known"
    steps = ", ".join(
        f"{words.utilisation(v)} at {words.number(s, 2)} mm" for s, v in zip(bracket.sizes, bracket.values, strict=True)
    )
    caption = (
        f"Refining the mesh where case {bracket.case} peaks, built {words.direction(bracket.direction)}: {steps}. "
        f"Band: where the converged value lies, {words.number(bracket.low)} to {upper}. {words.sentence(bracket.words)}"
    )
    return Figure(sheet.to_text(svg), caption, caption)


def _step(svg: ET.Element, x: float, y: float, value: str, size: str, floor: float) -> None:
    sheet.add(svg, "circle", "step", cx=x, cy=y, r=6)
    sheet.add(svg, "text", "small mid", value, x=x, y=y - 12)
    sheet.add(svg, "path", "frame", d=f"M{x:.1f} {floor}v6")
    sheet.add(svg, "text", "small mid", size, x=x, y=floor + 24)


def _vector(v: np.ndarray) -> Vector:
    return (float(v[0]), float(v[1]), float(v[2]))
