"""Colours of the pixels of a picture: utilisation bands, the limit, hatching of held faces, edges, layers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from printworthy.dossier import colours, inks
from printworthy.dossier.raster import Pixels, View, corner_normals, normals, rasterise
from printworthy.results import SurfaceField

_EDGE = np.array([44.0, 50.0, 54.0])
_HATCH = np.array([70.0, 24.0, 6.0])
_PLAIN = np.array([[216.0, 212.0, 201.0]])
_BLACK = np.zeros(3)


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
    return Pixels(np.append(front, -1)[pixels.triangle], pixels.weights)


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
    normal = pixels.blend(scene.corner)
    level = colours.band(pixels.blend(scene.utilisation[scene.triangles]))
    colour = inks.lit(level, colours.bands(), _light(view, normal))
    above = _hatch_above(colour, level)
    # one more, unmarked, for the background's number -1
    inks.lay(colour, inks.stripes(np.append(held, False)[pixels.triangle], -1, 16, 3), _EDGE, 0.75)
    dotted = inks.stripes(np.append(loaded, False)[pixels.triangle], 0, 14, 4)
    inks.lay(colour, inks.stripes(dotted.T, 0, 14, 4).T, _EDGE, 0.6)
    breaks = _breaks(scene, view, pixels, normal)
    inks.lay(colour, inks.changes(level) & here & ~breaks, _EDGE, 0.35)
    inks.lay(colour, _grow(inks.changes(above) & here & ~breaks), _BLACK, 0.95)
    inks.lay(colour, breaks & here, _EDGE, 0.8)
    return np.asarray(inks.rgba(colour, here))


def _hatch_above(colour: np.ndarray, level: np.ndarray) -> np.ndarray:
    """Hatch what lies above the limit; returns where that is (h, w)."""
    above = level == len(colours.LEVELS) - 1
    inks.lay(colour, inks.stripes(above, 1, 14, 5), _HATCH, 1.0)
    return np.asarray(above)


def flat_image(values: np.ndarray, here: np.ndarray) -> np.ndarray:
    """RGBA (h, w, 4) of a flat field of utilisation (h, w) where `here` (h, w): bands, limit line, hatching."""
    level = colours.band(values)
    colour = inks.lit(level, colours.bands(), np.ones(level.shape))
    above = _hatch_above(colour, level)
    inks.lay(colour, inks.changes(level) & here, _EDGE, 0.35)
    inks.lay(colour, _grow(inks.changes(above) & here), _BLACK, 0.95)
    return np.asarray(inks.rgba(colour, here))


def step_image(
    scene: Scene, view: View, pixels: Pixels, values: np.ndarray, levels: np.ndarray, limit: float
) -> np.ndarray:
    """RGBA (h, w, 4): bands of `values` (n,) between `levels`, hatched above `limit`."""
    here = pixels.triangle >= 0
    normal = pixels.blend(scene.corner)
    shown = pixels.blend(values[scene.triangles])
    level = np.clip(np.searchsorted(levels, shown, side="right") - 1, 0, len(levels) - 2)
    colour = inks.lit(level, colours.steps(len(levels) - 1), _light(view, normal))
    breaks = _breaks(scene, view, pixels, normal)
    above = shown > limit
    inks.lay(colour, inks.stripes(above, 1, 14, 4), _HATCH, 0.7)
    inks.lay(colour, inks.changes(level) & here & ~breaks, _EDGE, 0.35)
    inks.lay(colour, _grow(inks.changes(above) & here & ~breaks), _BLACK, 0.95)
    inks.lay(colour, breaks & here, _EDGE, 0.8)
    return np.asarray(inks.rgba(colour, here))


def layer_image(scene: Scene, view: View, pixels: Pixels, build: np.ndarray, pitch: float) -> np.ndarray:
    """RGBA (h, w, 4): the plain part with stripes across `build` (3,) every `pitch` [mm]."""
    here = pixels.triangle >= 0
    normal = pixels.blend(scene.corner)
    along = scene.points @ build
    height = pixels.blend(along[scene.triangles])
    colour = inks.lit(np.zeros(here.shape, np.int64), _PLAIN, _light(view, normal))
    inks.layers(colour, here, height, normal, build, (float(along.min()), pitch), _EDGE)
    inks.lay(colour, _breaks(scene, view, pixels, normal) & here, _EDGE, 0.8)
    return np.asarray(inks.rgba(colour, here))


def _light(view: View, normal: np.ndarray) -> np.ndarray:
    """Brightness (h, w) of normals (h, w, 3): a lamp at the upper left, surfaces lit from both sides; mild, for colour
    carries meaning."""
    lamp = np.array([-0.35, 0.55, 0.76]) @ view.axes
    return np.asarray(inks.light(normal, lamp))


def _breaks(scene: Scene, view: View, pixels: Pixels, normal: np.ndarray) -> np.ndarray:
    """Outlines and sharp edges (h, w) bool."""
    depth = pixels.blend(view.project(scene.points)[scene.triangles][..., 2])
    return np.asarray(inks.breaks(pixels.triangle >= 0, depth, normal, 0.012 * max(view.width, view.height), 0.85))


def _grow(mask: np.ndarray) -> np.ndarray:
    """The mask one pixel wider on every side."""
    wide = mask.copy()
    wide[1:] |= mask[:-1]
    wide[:-1] |= mask[1:]
    out = wide.copy()
    out[:, 1:] |= wide[:, :-1]
    out[:, :-1] |= wide[:, 1:]
    return out
