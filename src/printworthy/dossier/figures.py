"""The pictures of a part, as SVG: pixels from `paint`, arrows and marks as lines on top. The only module that draws.

Every text goes in through ElementTree, which escapes it. Marks are short letters; the figure's key says what they mean.
"""

from __future__ import annotations

import base64
from collections.abc import Mapping
from dataclasses import dataclass
from xml.etree import ElementTree as ET

import numpy as np

from printworthy.dossier import camera, colours, paint, words
from printworthy.dossier.document import Figure
from printworthy.dossier.loads import Arrow, arrows
from printworthy.dossier.raster import View, png
from printworthy.inputs import Part
from printworthy.results import PartAssessment, SurfaceField

WIDTH, HEIGHT, LEGEND = 720, 500, 54  # of the drawing, in its own units
SHARP = 2  # pixels per unit
MARGIN = 84  # units kept free for arrows and marks


@dataclass(frozen=True, slots=True)
class Mark:
    """A lettered mark at (x, y), pointing at (tx, ty)."""

    letter: str
    kind: str
    x: float
    y: float
    tx: float
    ty: float


def pictures(part: PartAssessment, stated: Part, field: SurfaceField, anchor: str) -> tuple[Figure, ...]:
    """The part under its governing case, and as it stands on the printer; `anchor` keeps names in the SVG apart."""
    scene = paint.scene(field)
    spot = int(np.argmin(np.linalg.norm(scene.points - np.array(part.option.result.governing.point), axis=1)))
    return _loaded(part, stated, field, scene, spot, anchor), _posture(part, scene, spot)


def _loaded(
    part: PartAssessment, stated: Part, field: SurfaceField, scene: paint.Scene, spot: int, anchor: str
) -> Figure:
    governing = part.option.result.governing
    pushes = arrows(stated, governing.case, scene, field.faces)
    supports = tuple(s for s in stated.supports if s.face in field.faces)
    loaded = [field.faces[p.face] for p in pushes if p.face in field.faces]
    toward = camera.choose(scene.points, scene.triangles, spot, loaded, camera.looks(camera.UP, (25.0, 50.0, -20.0)))
    frame = camera.axes(toward, camera.UP)
    view = camera.fit(scene.points, frame, WIDTH * SHARP, HEIGHT * SHARP, MARGIN * SHARP)
    pixels = paint.see(scene, view)
    held = _mask([field.faces[s.face] for s in supports], len(scene.triangles))
    image = paint.utilisation_image(scene, view, pixels, held, _mask(loaded, len(scene.triangles)))

    svg = _canvas(WIDTH, HEIGHT + LEGEND)
    _image(svg, image, WIDTH, HEIGHT)
    at = view.project(scene.points) / SHARP
    middle = at[:, :2].mean(axis=0)
    marks = [_mark_out("G", "spot", at[spot, :2], middle)]
    for i, push in enumerate(pushes, 1):
        tail = _draw_push(svg, push, view)
        marks.append(_mark_out(f"L{i}", "load", tail, np.array(_screen(view, push.point)), 20))
    for i, support in enumerate(supports, 1):
        seen = np.isin(pixels.triangle, field.faces[support.face])
        if seen.any():
            y, x = (float(np.median(c)) / SHARP for c in np.nonzero(seen))
            marks.append(_mark_out(f"S{i}", "hold", np.array([x, y]), middle))
    build = np.array(part.option.result.direction)
    _draw_build(svg, build, view)
    _draw_axes(svg, view)
    _draw_ruler(svg, view)
    for mark in _apart(marks):
        _draw_mark(svg, mark)
    _draw_legend(svg, f"{anchor}-above")

    key = [
        (
            "G",
            f"Governing place: {words.utilisation(governing.utilisation)}, {governing.mode}, case {governing.case}"
            f", at {words.vector(governing.point)} mm, nearest named face {governing.near_face or 'none'}",
        )
    ]
    key += [(f"L{i}", p.text) for i, p in enumerate(pushes, 1)]
    key += [(f"S{i}", f"{s.kind}: face {s.face}") for i, s in enumerate(supports, 1)]
    key += [("B", f"Build direction {words.direction(part.option.result.direction)}")]
    top = float(np.max(scene.utilisation))
    alt = (
        f"{part.title} seen from {words.direction(tuple(toward))}: utilisation on its skin up to "
        f"{words.utilisation(top)}, "
        + ("part of it above the limit of 1. " if top > colours.LIMIT else "none of it above the limit of 1. ")
        + " ".join(f"{k}: {v}." for k, v in key)
    )
    caption = (
        f"Utilisation over all cases, {part.option.result.material}, largest on the skin {words.utilisation(top)}. "
        "Loads of the governing case, without the factor on load. Hatched grey: held; dotted: loaded; hatched orange: "
        "above the limit."
    )
    return Figure(_text(svg), alt, caption, tuple(key))


def _posture(part: PartAssessment, scene: paint.Scene, spot: int) -> Figure:
    """The part as it stands on the printer's bed, layers as stripes."""
    direction = part.option.result.direction
    build = np.array(direction) / np.linalg.norm(direction)
    toward = camera.choose(scene.points, scene.triangles, spot, [], camera.looks(build, (18.0, 30.0)))
    frame = camera.axes(toward, build)
    width, height = WIDTH, HEIGHT
    view = camera.fit(scene.points, frame, width * SHARP, height * SHARP, MARGIN * SHARP)
    tall = float(np.ptp(scene.points @ build))
    image = paint.layer_image(scene, view, paint.see(scene, view), build, tall / 36)
    svg = _canvas(width, height)
    _draw_bed(svg, scene.points, build, view)
    _image(svg, image, width, height)
    at = view.project(scene.points) / SHARP
    _draw_build(svg, build, view)
    _draw_mark(svg, _mark_out("G", "spot", at[spot, :2], at[:, :2].mean(axis=0)))
    text = f"{words.direction(direction)}, {words.vector(direction)}"
    caption = (
        f"As printed: build direction {text}, {words.number(tall)} mm tall on the bed. Stripes show how the layers "
        "lie, not how thick they are. Turned upside down the computed strength is the same."
    )
    alt = (
        f"{part.title} standing on the bed with its build direction upwards, {text}; layers as stripes; G marks the "
        "governing place."
    )
    return Figure(_text(svg), alt, caption)


def _mask(groups: list[np.ndarray], size: int) -> np.ndarray:
    mask = np.zeros(size, dtype=bool)
    for group in groups:
        mask[group] = True
    return mask


# ---- marks ---------------------------------------------------------------------------------------------------------


def _mark_out(letter: str, kind: str, target: np.ndarray, away: np.ndarray, reach: float = 54) -> Mark:
    """A mark set `reach` beyond `target`, on the side away from `away`, kept inside the drawing."""
    out = np.asarray(target, dtype=float)[:2] - np.asarray(away, dtype=float)[:2]
    size = float(np.linalg.norm(out))
    out = out / size if size > 1e-6 else np.array([0.6, -0.8])
    x, y = np.clip(np.asarray(target)[:2] + reach * out, (24, 24), (WIDTH - 24, HEIGHT - 24))
    return Mark(letter, kind, float(x), float(y), float(target[0]), float(target[1]))


def _apart(marks: list[Mark], gap: float = 40) -> list[Mark]:
    """The marks pushed apart until none covers another (or sixty rounds are over)."""
    at = np.array([[m.x, m.y] for m in marks])
    for _ in range(60):
        delta = at[:, None] - at[None]
        distance = np.linalg.norm(delta, axis=-1) + 1e3 * np.eye(len(at))
        near = distance < gap
        if not near.any():
            break
        # marks on one spot have no direction apart: their numbers give one
        delta = np.where(distance[..., None] < 1e-6, np.arange(len(at))[:, None, None] - len(at) / 2 + 0.1, delta)
        push = delta / np.maximum(np.linalg.norm(delta, axis=-1, keepdims=True), 1e-9) * (gap - distance)[..., None] / 2
        at = np.clip(at + (push * near[..., None]).sum(axis=1), (24, 24), (WIDTH - 24, HEIGHT - 24))
    return [Mark(m.letter, m.kind, float(x), float(y), m.tx, m.ty) for m, (x, y) in zip(marks, at, strict=True)]


def _screen(view: View, point: np.ndarray) -> tuple[float, float]:
    x, y, _ = view.project(np.asarray(point)[None])[0] / SHARP
    return float(x), float(y)


# ---- SVG -----------------------------------------------------------------------------------------------------------


def _canvas(width: int, height: int) -> ET.Element:
    return ET.Element(
        "svg", {"viewBox": f"0 0 {width} {height}", "class": "picture", "xmlns": "http://www.w3.org/2000/svg"}
    )


def _text(svg: ET.Element) -> str:
    return ET.tostring(svg, encoding="unicode")


def _add(parent: ET.Element, tag: str, css: str = "", text: str = "", **attributes: object) -> ET.Element:
    values: Mapping[str, str] = {
        k.rstrip("_").replace("_", "-"): f"{v:.1f}" if isinstance(v, float) else str(v) for k, v in attributes.items()
    }
    element = ET.SubElement(parent, tag, {**({"class": css} if css else {}), **values})
    element.text = text or None
    return element


def _image(svg: ET.Element, rgba: np.ndarray, width: int, height: int) -> None:
    data = base64.b64encode(png(rgba)).decode("ascii")
    _add(svg, "image", href=f"data:image/png;base64,{data}", width=width, height=height)


def _arrow(svg: ET.Element, css: str, tail: np.ndarray, tip: np.ndarray, head: float = 15) -> None:
    """A line with a head, over a wider one in the colour of the sheet so that it stands off the part."""
    along = (tip - tail) / max(float(np.linalg.norm(tip - tail)), 1e-9)
    side = np.array([-along[1], along[0]])
    neck = tip - head * along
    points = " ".join(f"{p[0]:.1f},{p[1]:.1f}" for p in (tip, neck + 0.45 * head * side, neck - 0.45 * head * side))
    for name in ("halo", css):
        group = _add(svg, "g", name)
        _add(group, "line", x1=float(tail[0]), y1=float(tail[1]), x2=float(neck[0]), y2=float(neck[1]))
        _add(group, "polygon", points=points)


def _draw_push(svg: ET.Element, push: Arrow, view: View) -> np.ndarray:
    """The arrow of one load; returns the end (2,) where its letter goes."""
    anchor = np.array(_screen(view, push.point))
    flat = view.axes[:2] @ push.direction * np.array([1.0, -1.0])
    shown = float(np.linalg.norm(flat))
    if shown < 0.25:  # along the line of sight: a dot for towards the eye, a cross for away
        group = _add(svg, "g", "endon")
        _add(group, "circle", cx=float(anchor[0]), cy=float(anchor[1]), r=11)
        if view.axes[2] @ push.direction > 0:
            _add(group, "circle", "dot", cx=float(anchor[0]), cy=float(anchor[1]), r=3.5)
        else:
            x, y = anchor - 7.5
            _add(group, "path", d=f"M{x:.1f} {y:.1f}l15 15m0 -15l-15 15")
        return anchor + np.array([0.0, -14.0])
    step = flat / shown * (46 + 40 * shown)
    tail, tip = (anchor - step, anchor) if push.pushes else (anchor, anchor + step)
    _arrow(svg, f"load {push.style}", tail, tip)
    if push.style == "turn":  # a moment: a second head, right-hand rule
        _arrow(svg, "load turn", tail, tip - 12 * flat / shown)
    return tail if push.pushes else tip


def _draw_build(svg: ET.Element, build: np.ndarray, view: View) -> None:
    """The build direction at the lower right: an arrow through four layers."""
    origin = np.array([WIDTH - 70.0, HEIGHT - 66.0])
    flat = view.axes[:2] @ build * np.array([1.0, -1.0])
    shown = max(float(np.linalg.norm(flat)), 1e-6)
    side = np.array([-flat[1], flat[0]]) / shown
    group = _add(svg, "g", "layers")
    for i in range(4):
        middle = origin + flat * 11 * (i - 1.5)
        a, b = middle - 24 * side, middle + 24 * side
        _add(group, "line", x1=float(a[0]), y1=float(a[1]), x2=float(b[0]), y2=float(b[1]))
    _arrow(svg, "build", origin - flat * 28, origin + flat * 46)
    _add(svg, "text", "label", "B", x=float(origin[0] + 30 * side[0] + 4), y=float(origin[1] + 30 * side[1] + 6))


def _draw_axes(svg: ET.Element, view: View) -> None:
    origin = np.array([52.0, HEIGHT - 58.0])
    for i in range(3):
        flat = view.axes[:2, i] * np.array([1.0, -1.0]) * 34
        group = _add(svg, "g", "axis")
        _add(group, "line", x1=origin[0], y1=origin[1], x2=float(origin[0] + flat[0]), y2=float(origin[1] + flat[1]))
        end = origin + flat * 1.38 + np.array([-4.0, 5.0])
        _add(group, "text", "small", words.AXES[i], x=float(end[0]), y=float(end[1]))


def _draw_ruler(svg: ET.Element, view: View) -> None:
    """A length bar: the view is orthographic, so one scale holds everywhere."""
    unit = view.scale / SHARP
    length = next(s for p in range(5, -4, -1) for s in (5 * 10.0**p, 2 * 10.0**p, 10.0**p) if s * unit <= 130)
    x, y = 120.0, HEIGHT - 30.0
    group = _add(svg, "g", "ruler")
    _add(group, "path", d=f"M{x} {y - 5}v10m0 -5h{length * unit:.1f}m0 -5v10")
    _add(group, "text", "small", f"{words.number(length)} mm", x=x + length * unit + 8, y=y + 5)


def _draw_bed(svg: ET.Element, points: np.ndarray, build: np.ndarray, view: View) -> None:
    """The bed: a rectangle under the part, square to the build direction."""
    side, other = view.axes[0], np.cross(build, view.axes[0])
    local = points @ np.stack([side, other, build]).T
    low, high = local.min(axis=0), local.max(axis=0)
    pad = 0.12 * float((high - low)[:2].max())
    corners = [
        (low[0] - pad, low[1] - pad),
        (high[0] + pad, low[1] - pad),
        (high[0] + pad, high[1] + pad),
        (low[0] - pad, high[1] + pad),
    ]
    drawn = (_screen(view, a * side + b * other + low[2] * build) for a, b in corners)
    _add(svg, "polygon", "bed", points=" ".join(f"{x:.1f},{y:.1f}" for x, y in drawn))


def _draw_mark(svg: ET.Element, mark: Mark) -> None:
    group = _add(svg, "g", f"mark {mark.kind}")
    if mark.kind != "load":
        _add(group, "line", "halo", x1=mark.x, y1=mark.y, x2=mark.tx, y2=mark.ty)
        _add(group, "line", x1=mark.x, y1=mark.y, x2=mark.tx, y2=mark.ty)
    if mark.kind == "spot":
        _add(group, "circle", "ring", cx=mark.tx, cy=mark.ty, r=9)
    if mark.kind == "hold":
        _add(group, "rect", x=mark.x - 18, y=mark.y - 15, width=36, height=30)
    else:
        _add(group, "circle", cx=mark.x, cy=mark.y, r=18)
    _add(group, "text", "letter", mark.letter, x=mark.x, y=mark.y + 6.5)


def _draw_legend(svg: ET.Element, name: str) -> None:
    """The scale, in steps; the limit is a bold line with its word, above it hatched."""
    box, top, left = 54.0, HEIGHT + 6.0, 30.0
    pattern = _add(
        _add(svg, "defs"),
        "pattern",
        id=name,
        width=7,
        height=7,
        patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    )
    _add(pattern, "rect", width=7, height=7, fill=colours.css(colours.ABOVE))
    _add(pattern, "rect", width=3, height=7, fill="#461806")
    table = colours.bands()
    for i, colour in enumerate(table):
        fill = f"url(#{name})" if i == len(table) - 1 else colours.css(colour)
        _add(svg, "rect", "swatch", x=left + i * box, y=top, width=box, height=20, fill=fill)
        _add(svg, "text", "small mid", f"{colours.LEVELS[i]:g}", x=left + i * box, y=top + 40)
    limit = left + (len(table) - 1) * box
    _add(svg, "path", "limit", d=f"M{limit} {top - 6}v32")
    _add(svg, "text", "small", "above the limit", x=limit + box + 6, y=top + 16)
