"""Time, mass and energy of one print from its layers: walls, fill, supports, travel, cooling, heating.

printed(body, direction, settings)   -> results.Printing
bed_time(printing, settings, count)  -> time of a bed with several of them
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import manifold3d
import numpy as np

from printworthy.errors import CardError, InputError
from printworthy.inputs import Fill, MakingCard, Vector
from printworthy.making.motion import bead_area, closed_paths, flow_limited, hatch
from printworthy.making.sections import Slices, Supports, slices, supports
from printworthy.making.skin import Cornered
from printworthy.results import Printing

NEEDED = (
    "bead_width", "wall_speed", "fill_speed", "support_speed", "travel_speed", "acceleration", "corner_speed", "flow",
    "retraction", "layer_change", "least_layer_time", "support_share",
)  # fmt: skip
STRAIGHT = 0.01  # [mm] an outline may leave the section's by, to take out points that do not turn
TURNS = (45.0, -45.0)  # [deg] of the fill, layer by layer
PLACES = 6  # decimals of a corner's millimetres that must agree for two layers to be one
MITRE = manifold3d.JoinType.Miter
WHOLE = 1e-6  # of a bead or layer: a wall of so little more needs none more


@dataclass(frozen=True, slots=True)
class Settings:
    """What a layer is printed with. Lengths mm, speeds mm/s, acceleration mm/s2, jerk mm/s3 (0: no limit), flow mm3/s,
    times s; infill and support_share [-]; walls; solid layers below and above sparse fill."""

    layer: float
    overhang_angle: float
    bead_width: float
    wall_speed: float
    fill_speed: float
    support_speed: float
    travel_speed: float
    acceleration: float
    corner_speed: float
    flow: float
    retraction: float
    layer_change: float
    least_layer_time: float
    support_share: float
    jerk: float = 0.0
    walls: int = 3
    infill: float = 1.0
    solid_layers: int = 4

    @property
    def area(self) -> float:
        """Cross-section of the bead [mm2]."""
        return bead_area(self.bead_width, self.layer)

    @property
    def pitch(self) -> float:
        """Distance [mm] of beads at which what is laid down fills the layer: area over layer height."""
        return self.area / self.layer


def settings(card: MakingCard, layer: float, overhang_angle: float, *, walls: int = 3) -> Settings:
    """Settings of a printer card, solid. Raises CardError for a value that is missing, InputError for impossible
    ones."""
    missing = [name for name in NEEDED if name not in card.values]
    if missing:
        do = "Add them to the card, with source and confidence"
        raise CardError(f'printer card "{card.name}" lacks {", ".join(missing)}', do=do)
    width = card.values["bead_width"].value
    if not layer <= width:
        do = "State a layer height up to the bead width"
        raise InputError(f"layer height {layer:g} mm is more than the bead width {width:g} mm", do=do)
    if walls < 1:
        raise InputError(f"{walls} walls", do="State 1 wall or more")
    numbers: dict[str, Any] = {name: card.values[name].value for name in NEEDED}
    return Settings(layer, overhang_angle, **numbers, jerk=card.number("jerk") or 0.0, walls=walls)


def hollow(how: Settings, fill: Fill | None) -> Settings:
    """Settings for walls and infill, with as many beads and outer layers as hold the stated wall; None: solid."""
    if fill is None:
        return how
    beads, layers = (math.ceil(fill.wall / each - WHOLE) for each in (how.pitch, how.layer))
    return replace(how, walls=beads, solid_layers=layers, infill=fill.density)


@dataclass(frozen=True, slots=True)
class Laid:
    """One kind of path in one layer: time [s] printing and travelling, length [mm], travels."""

    printing: float = 0.0
    travelling: float = 0.0
    length: float = 0.0
    travels: int = 0

    def __add__(self, other: Laid) -> Laid:
        return Laid(
            self.printing + other.printing,
            self.travelling + other.travelling,
            self.length + other.length,
            self.travels + other.travels,
        )


def printed(body: Cornered, direction: Vector, how: Settings) -> Printing:
    """One piece printed with `direction` up. Raises GeometryError, InputError (see `sections.slices`)."""
    sliced = slices(body, direction, how.layer)
    held = supports(sliced, how.overhang_angle)
    seconds, volumes = layer_times(sliced, how)
    extra, filled = support_times(held, how, len(seconds))
    cooled = np.maximum(seconds + extra, how.least_layer_time)
    shadow = sliced.shadow
    corners = np.asarray(sliced.solid.hull().to_mesh64().vert_properties)[:, :3]
    return Printing(
        direction=direction,
        height=sliced.height,
        layer_height=how.layer,
        layer_seconds=tuple(round(float(t), 3) for t in seconds + extra),
        least_layer_time=how.least_layer_time,
        seconds=float(cooled.sum() + how.layer_change * len(seconds)),
        waiting=float((cooled - seconds - extra).sum()),
        layer_change=how.layer_change,
        volume=float(volumes.sum()),
        solid_volume=sliced.volume,
        support_space=held.volume,
        support_volume=filled,
        area=float(sliced.solid.surface_area()),
        box=tuple(float(v) for v in sliced.solid.bounding_box()[3:]),  # type: ignore[arg-type]
        outline=tuple((round(float(x), 2), round(float(y), 2)) for x, y in shadow),
        hull=tuple((round(float(x), 2), round(float(y), 2), round(float(z), 2)) for x, y, z in corners),
        walls=how.walls,
        infill=how.infill,
        bead_width=how.bead_width,
    )


def layer_times(sliced: Slices, how: Settings) -> tuple[np.ndarray, np.ndarray]:
    """Time (n,) [s] and volume laid down (n,) [mm3] of every layer, without supports.

    A layer whose outline is the one two below, up to rounding, is not figured again (a prism's layers differ in their
    fill's direction alone).
    """
    seconds, volumes = np.zeros(len(sliced.outlines)), np.zeros(len(sliced.outlines))
    known: dict[tuple[bytes, int], tuple[float, float]] = {}
    for i, outline in enumerate(sliced.outlines):
        turn = i % len(TURNS)
        dense = None if how.infill == 1 else covered(sliced.outlines, i, how.solid_layers)
        mark = (shape_of(outline) + (b"" if dense is None else shape_of(dense)), turn)
        if mark not in known:
            known = {k: v for k, v in known.items() if k[0] == mark[0]}
            known[mark] = one_layer(outline, dense, TURNS[turn], how)
        seconds[i], volumes[i] = known[mark]
    return seconds, volumes


def shape_of(section: Any) -> bytes:
    """A cross-section's points as bytes, to tell whether two are the same."""
    return b"".join(np.round(ring, PLACES).tobytes() for ring in section.to_polygons())


def covered(outlines: tuple[Any, ...], i: int, around: int) -> Any:
    """The part of layer i that lies within `around` layers of the outside, below or above: filled solid."""
    inside = outlines[i]
    for k in range(1, around + 1):
        for j in (i - k, i + k):
            if not 0 <= j < len(outlines):
                return outlines[i]
            inside = inside ^ outlines[j]
    return outlines[i] - inside


def one_layer(outline: Any, dense: Any, turn: float, how: Settings) -> tuple[float, float]:
    """Time [s] and volume laid down [mm3] of one layer: `dense` (None: all) of its inside is solid, the rest sparse.

    Beads lie at their pitch, so that length times bead area is area times layer height. The outermost runs half a pitch
    inside the outline. Slivers of the inside that are narrower than a pitch get no lines: it loses half a pitch all
    round and is given it back. What walls and lines leave over, as there and where they meet at an angle, is filled at
    fill speed; where they crowd, beads are laid thinner. So a solid layer holds its area times its height, whatever its
    shape.
    """
    done, inner = Laid(), outline
    speed = flow_limited(how.wall_speed, how.flow, how.area)
    for wall in range(how.walls):
        inner = outline.offset(-(wall + 0.5) * how.pitch, MITRE).simplify(STRAIGHT)
        if inner.is_empty():
            break
        done += rings(inner, speed, how)
    inside = outline.offset(-(how.walls + 0.5) * how.pitch, MITRE).offset(how.pitch / 2, MITRE)
    solid = inside if dense is None else inside ^ dense
    sparse = None if dense is None else inside - dense
    done += fill(solid, how.pitch, turn, how)
    area = float(outline.area())
    target = area if sparse is None else area - float(sparse.area()) * (1 - how.infill)
    if sparse is not None:
        done += fill(sparse, how.pitch / how.infill, turn, how)
    left = max(0.0, target / how.pitch - done.length)
    slow = flow_limited(how.fill_speed, how.flow, how.area)
    return done.printing + done.travelling + left / slow, target * how.layer


def rings(section: Any, speed: float, how: Settings) -> Laid:
    """The outlines of a section as closed paths, each reached by a travel from where the last one began."""
    points, begin = corners(section)
    printing, length, travelling, travels = closed_paths(
        points, begin, speed, how.travel_speed, how.acceleration, how.jerk, how.corner_speed, how.retraction
    )
    return Laid(printing, travelling, length, travels)


def corners(section: Any) -> tuple[np.ndarray, np.ndarray]:
    """Corners (n, 2) [mm] of all outlines of a section that is not empty, one after the other, and where each begins
    (m + 1,)."""
    outlines = section.to_polygons()
    return np.concatenate(outlines), np.cumsum([0, *map(len, outlines)])


def fill(region: Any, pitch: float, turn: float, how: Settings, speed: float | None = None) -> Laid:
    """Straight lines at `pitch` [mm] turned by `turn` [deg] over a region."""
    if region.is_empty():
        return Laid()
    wanted = flow_limited(how.fill_speed if speed is None else speed, how.flow, how.area)
    points, begin = corners(region.rotate(-turn))
    after = np.arange(1, len(points) + 1)
    after[begin[1:] - 1] = begin[:-1]
    edges = np.hstack((points, points[after]))
    printing, length, travelling, travels = hatch(
        edges, pitch, 0.5, wanted, how.travel_speed, how.acceleration, how.jerk, how.corner_speed, how.retraction
    )
    return Laid(printing, travelling + how.retraction, length, travels + 1)


def support_times(held: Supports, how: Settings, count: int) -> tuple[np.ndarray, float]:
    """Time (count,) [s] that supports add to each layer, and their volume laid down [mm3]: lines at a wide pitch."""
    extra, volume = np.zeros(count), 0.0
    for k, outline in enumerate(held.outlines):
        laid = fill(outline, how.pitch / how.support_share, 0.0, how, how.support_speed)
        first, last = k * held.layers, min(count, (k + 1) * held.layers)
        extra[first:last] += laid.printing + laid.travelling
        volume += float(outline.area()) * how.support_share * how.layer * (last - first)
    return extra, volume


def bed_seconds(pieces: list[tuple[Printing, int]], heating: float = 0.0) -> float:
    """Time [s] of a bed with several pieces: layer by layer the sum over pieces, but never less than the layer has to
    cool; one layer change for all; heating once.

    Own derivation. Pieces on one bed must have one layer height.
    """
    heights = {p.layer_height for p, _ in pieces}
    if len(heights) != 1:
        raise InputError("pieces of different layer heights on one bed", do="Print them on separate beds")
    layers = max(len(p.layer_seconds) for p, _ in pieces)
    total = np.zeros(layers)
    for piece, count in pieces:
        total[: len(piece.layer_seconds)] += count * np.array(piece.layer_seconds)
    first = pieces[0][0]
    return float(np.maximum(total, first.least_layer_time).sum() + layers * first.layer_change + heating)
