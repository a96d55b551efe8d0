"""Colours of the pixels of a picture: utilisation bands, the limit, hatching of held faces, edges, layers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from printworthy.dossier import colours
from printworthy.dossier.raster import Pixels, View, corner_normals, normals, rasterise
from printworthy.results import SurfaceField

_EDGE = np.array([44.0, 50.0, 54.0])
_HATCH = np.array([70.0, 24.0, 6.0])
_PLAIN = np.array([216.0, 212.0, 201.0])


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """The skin ready to draw: points (n, 3) [mm], triangles (k, 3) turned outwards where the file allows it, normals
    (k, 3), corner normals (k, 3, 3), utilisation (n,), and whether back faces may be dropped."""

    points: np.ndarray
    triangles: np.ndarray
    facet: np.ndarray
    corner: np.ndarray
    utilisation: np.ndarray
    closed: bool


def scene(field: SurfaceField) -> Scene:
    """A `SurfaceField` made ready to draw."""
    points, triangles = np.asarray(field.points, dtype=float), np.asarray(field.triangles, dtype=np.int64)
    closed = is_oriented(triangles, len(points))
    if closed:
        a, b, c = (points[triangles[:, i]] for i in range(3))
        if np.einsum("ij,ij->", a, np.cross(b, c)) < 0:  # six times the volume it encloses
            triangles = triangles[:, ::-1]
    facet = normals(points, triangles)
    return Scene(
        points, triangles, facet, corner_normals(triangles, facet), np.asarray(field.utilisation, dtype=float), closed
    )


def is_oriented(triangles: np.ndarray, n: int) -> bool:
    """Whether every edge is walked once each way: a closed skin whose triangles all turn alike."""
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    there, back = edges[:, 0] * n + edges[:, 1], edges[:, 1] * n + edges[:, 0]
    there.sort()
    back.sort()
    return bool((there[1:] != there[:-1]).all() and np.array_equal(there, back))


def see(scene: Scene, view: View) -> Pixels:
    """What each pixel sees; back faces are dropped only where the skin is known to be closed."""
    screen = view.project(scene.points)
    if not scene.closed:
        return rasterise(screen, scene.triangles, view.width, view.height)
    front = np.flatnonzero(scene.facet @ view.axes[2] > -1e-9)
    pixels = rasterise(screen, scene.triangles[front], view.width, view.height)
    number = np.where(pixels.triangle >= 0, front[np.maximum(pixels.triangle, 0)], -1)
    return Pixels(number, pixels.weights)


def in_sight(scene: Scene, view: View, pixels: Pixels, vertex: int) -> bool:
    """Whether a vertex is the nearest thing at its pixel, or lies beside one that shows it."""
    x, y, depth = view.project(scene.points[vertex][None])[0]
    column, row = int(np.clip(x, 0, view.width - 1)), int(np.clip(y, 0, view.height - 1))
    near = np.s_[max(row - 2, 0) : row + 3, max(column - 2, 0) : column + 3]
    here = pixels.triangle[near]
    shown = view.project(scene.points)[:, 2][scene.triangles[here[here >= 0]]].max(axis=-1)
    return bool((shown <= depth + 0.01 * max(view.width, view.height)).any())


def utilisation_image(scene: Scene, view: View, pixels: Pixels, held: np.ndarray, loaded: np.ndarray) -> np.ndarray:
    """RGBA (h, w, 4): bands of utilisation, the limit as a bold line, above it hatched. `held` and `loaded` (k,) bool
    mark triangles of supports (hatched) and of loaded faces (dotted)."""
    here = pixels.triangle >= 0
    values = pixels.blend(scene.utilisation[scene.triangles])
    level = colours.band(values)
    colour = colours.bands()[level].astype(float) * _light(scene, view, pixels)[..., None]
    y, x = np.mgrid[0 : view.height, 0 : view.width]
    above = _hatch_above(colour, level)
    at = np.maximum(pixels.triangle, 0)
    _mix(colour, held[at] & ((x - y) % 16 < 3), _EDGE, 0.75)
    _mix(colour, loaded[at] & (x % 14 < 4) & (y % 14 < 4), _EDGE, 0.6)
    breaks = _depth_breaks(scene, view, pixels)
    _mix(colour, _changes(level) & here & ~breaks, _EDGE, 0.35)
    _mix(colour, _grow(_changes(above.astype(int)) & here & ~breaks), np.zeros(3), 0.95)
    _mix(colour, breaks & here, _EDGE, 0.8)
    return _rgba(colour, here)


def _hatch_above(colour: np.ndarray, level: np.ndarray) -> np.ndarray:
    """Hatch what lies above the limit; returns where that is (h, w)."""
    y, x = np.mgrid[0 : level.shape[0], 0 : level.shape[1]]
    above = level == len(colours.LEVELS) - 1
    colour[above & ((x + y) % 14 < 5)] = _HATCH
    return np.asarray(above)


def flat_image(values: np.ndarray, here: np.ndarray) -> np.ndarray:
    """RGBA (h, w, 4) of a flat field of utilisation (h, w) where `here` (h, w): bands, limit line, hatching."""
    level = colours.band(values)
    colour = colours.bands()[level].astype(float)
    above = _hatch_above(colour, level)
    _mix(colour, _changes(level) & here, _EDGE, 0.35)
    _mix(colour, _grow(_changes(above.astype(int)) & here), np.zeros(3), 0.95)
    return _rgba(colour, here)


def step_image(
    scene: Scene, view: View, pixels: Pixels, values: np.ndarray, levels: np.ndarray, limit: float
) -> np.ndarray:
    """RGBA (h, w, 4): bands of `values` (n,) between `levels`, hatched above `limit`."""
    here = pixels.triangle >= 0
    shown = pixels.blend(values[scene.triangles])
    level = np.clip(np.searchsorted(levels, shown, side="right") - 1, 0, len(levels) - 2)
    colour = colours.steps(len(levels) - 1)[level].astype(float) * _light(scene, view, pixels)[..., None]
    y, x = np.mgrid[0 : view.height, 0 : view.width]
    breaks = _depth_breaks(scene, view, pixels)
    above = shown > limit
    _mix(colour, above & ((x + y) % 14 < 4), _HATCH, 0.7)
    _mix(colour, _changes(level) & here & ~breaks, _EDGE, 0.35)
    _mix(colour, _grow(_changes(above.astype(int)) & here & ~breaks), np.zeros(3), 0.95)
    _mix(colour, breaks & here, _EDGE, 0.8)
    return _rgba(colour, here)


def layer_image(scene: Scene, view: View, pixels: Pixels, build: np.ndarray, pitch: float) -> np.ndarray:
    """RGBA (h, w, 4): the plain part with stripes across `build` (3,) every `pitch` [mm]."""
    here = pixels.triangle >= 0
    height = pixels.blend((scene.points @ build)[scene.triangles])
    colour = _PLAIN * _light(scene, view, pixels)[..., None]
    low = float((scene.points @ build).min())
    stripe = ((height - low) / pitch % 1.0 < 0.28) & here
    # on faces that lie flat a stripe would cover everything or nothing: it fades out
    slope = 1 - np.abs(pixels.blend(scene.corner) @ build)
    ink = 0.30 * np.clip(slope / 0.15, 0, 1)[stripe][:, None]
    colour[stripe] = colour[stripe] * (1 - ink) + _EDGE * ink
    _mix(colour, _depth_breaks(scene, view, pixels) & here, _EDGE, 0.8)
    return _rgba(colour, here)


def _light(scene: Scene, view: View, pixels: Pixels) -> np.ndarray:
    """Brightness (h, w): a lamp at the upper left, surfaces lit from both sides; mild, for colour carries meaning."""
    lamp = np.array([-0.35, 0.55, 0.76]) @ view.axes
    return np.asarray(0.72 + 0.28 * np.abs(pixels.blend(scene.corner @ lamp)) ** 1.2)


def _depth_breaks(scene: Scene, view: View, pixels: Pixels) -> np.ndarray:
    """Outlines and sharp edges (h, w) bool: background beside part, a step in depth, or a turn of the normal."""
    here = pixels.triangle >= 0
    depth = np.where(here, pixels.blend(view.project(scene.points)[scene.triangles][..., 2]), -1e6)
    normal = pixels.blend(scene.corner)
    step = 0.012 * max(view.width, view.height)
    out = np.zeros(here.shape, dtype=bool)
    for axis in (0, 1):
        a, b = _pairs(axis)
        turn = np.einsum("hwi,hwi->hw", normal[a], normal[b])
        cut = (np.abs(depth[a] - depth[b]) > step) | ((np.abs(turn) < 0.85) & here[a] & here[b])
        out[a] |= cut
        out[b] |= cut
    return out


def _pairs(axis: int) -> tuple[tuple[slice, slice], tuple[slice, slice]]:
    """Slices of every pixel and its next along `axis`."""
    whole = slice(None)
    first, second = slice(None, -1), slice(1, None)
    return ((first, whole), (second, whole)) if axis == 0 else ((whole, first), (whole, second))


def _changes(label: np.ndarray) -> np.ndarray:
    """Pixels (h, w) whose label differs from the next one's."""
    out = np.zeros(label.shape, dtype=bool)
    for axis in (0, 1):
        a, b = _pairs(axis)
        out[a] |= label[a] != label[b]
    return out


def _grow(mask: np.ndarray) -> np.ndarray:
    """The mask one pixel wider on every side."""
    out = mask.copy()
    for axis in (0, 1):
        a, b = _pairs(axis)
        wide = out.copy()
        wide[a] |= out[b]
        wide[b] |= out[a]
        out = wide
    return out


def _mix(colour: np.ndarray, mask: np.ndarray, ink: np.ndarray, share: float) -> None:
    colour[mask] = colour[mask] * (1 - share) + ink * share


def _rgba(colour: np.ndarray, here: np.ndarray) -> np.ndarray:
    out = np.zeros((*here.shape, 4), dtype=np.uint8)
    out[here, :3] = colour[here].clip(0, 255)
    out[here, 3] = 255
    return out
