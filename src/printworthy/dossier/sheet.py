"""Lines and letters of a picture, in SVG: arrows, marks, axes, length bar, colour scale, the printer's bed."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from xml.etree import ElementTree as ET

import numpy as np

from printworthy.dossier import colours, words
from printworthy.dossier.loads import Arrow
from printworthy.dossier.raster import View, png

WIDTH, HEIGHT = 720, 430  # of the picture proper, in units of the drawing
STRIP, LEGEND = 78, 54  # below it: axes, length bar and build direction; then the colour scale
SHARP = 2  # pixels per unit
MARGIN = 66  # units kept free for arrows and marks
PIXELS = (WIDTH * SHARP, HEIGHT * SHARP, MARGIN * SHARP)
CLOSE = (WIDTH * SHARP, HEIGHT * SHARP, 40 * SHARP)  # for a picture without arrows


@dataclass(frozen=True, slots=True)
class Mark:
    """A lettered mark at (x, y), pointing at (tx, ty)."""

    letter: str
    kind: str
    x: float
    y: float
    tx: float
    ty: float


# ---- marks ---------------------------------------------------------------------------------------------------------


def mark_out(letter: str, kind: str, target: np.ndarray, away: np.ndarray, reach: float = 54) -> Mark:
    """A mark set `reach` beyond `target`, on the side away from `away`, kept inside the drawing."""
    out = np.asarray(target, dtype=float)[:2] - np.asarray(away, dtype=float)[:2]
    size = float(np.linalg.norm(out))
    out = out / size if size > 1e-6 else np.array([0.6, -0.8])
    x, y = np.clip(np.asarray(target)[:2] + reach * out, (24, 24), (WIDTH - 24, HEIGHT - 24))
    return Mark(letter, kind, float(x), float(y), float(target[0]), float(target[1]))


def apart(marks: list[Mark], gap: float = 40) -> list[Mark]:
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


def screen(view: View, point: np.ndarray) -> np.ndarray:
    """A point (3,) [mm] in units of the drawing (2,)."""
    return np.asarray(view.project(np.asarray(point)[None])[0, :2] / SHARP)


# ---- SVG -----------------------------------------------------------------------------------------------------------


def canvas(height: int) -> ET.Element:
    """An empty drawing, WIDTH wide."""
    return ET.Element(
        "svg", {"viewBox": f"0 0 {WIDTH} {height}", "class": "picture", "xmlns": "http://www.w3.org/2000/svg"}
    )


def to_text(svg: ET.Element) -> str:
    """The drawing as text; ElementTree escapes what was put in."""
    return ET.tostring(svg, encoding="unicode")


def add(parent: ET.Element, tag: str, css: str = "", text: str = "", **attributes: object) -> ET.Element:
    """A new element inside `parent`, with its class, text and attributes."""
    values = {k: f"{v:.1f}" if isinstance(v, float) else str(v) for k, v in attributes.items()}
    element = ET.SubElement(parent, tag, {**({"class": css} if css else {}), **values})
    element.text = text or None
    return element


def image(svg: ET.Element, rgba: np.ndarray, box: tuple[float, float, float, float] = (0, 0, WIDTH, HEIGHT)) -> None:
    """The pixels (h, w, 4) as a PNG inside the file, over `box` (left, top, width, height) [units]."""
    data = base64.b64encode(png(rgba)).decode("ascii")
    x, y, width, height = box
    add(svg, "image", href=f"data:image/png;base64,{data}", x=x, y=y, width=width, height=height)


def arrow_line(svg: ET.Element, css: str, tail: np.ndarray, tip: np.ndarray, head: float = 15) -> None:
    """A line with a head, over a wider one in the colour of the sheet so that it stands off the part."""
    along = (tip - tail) / max(float(np.linalg.norm(tip - tail)), 1e-9)
    side = np.array([-along[1], along[0]])
    neck = tip - head * along
    points = " ".join(f"{p[0]:.1f},{p[1]:.1f}" for p in (tip, neck + 0.45 * head * side, neck - 0.45 * head * side))
    for name in ("halo", css):
        group = add(svg, "g", name)
        add(group, "line", x1=float(tail[0]), y1=float(tail[1]), x2=float(neck[0]), y2=float(neck[1]))
        add(group, "polygon", points=points)


def push(svg: ET.Element, push: Arrow, view: View) -> np.ndarray:
    """The arrow of one load; returns the end (2,) where its letter goes."""
    anchor = screen(view, push.point)
    flat = view.axes[:2] @ push.direction * np.array([1.0, -1.0])
    shown = float(np.linalg.norm(flat))
    if shown < 0.25:  # along the line of sight: a dot for towards the eye, a cross for away
        group = add(svg, "g", "endon")
        add(group, "circle", cx=float(anchor[0]), cy=float(anchor[1]), r=11)
        if view.axes[2] @ push.direction > 0:
            add(group, "circle", "dot", cx=float(anchor[0]), cy=float(anchor[1]), r=3.5)
        else:
            x, y = anchor - 7.5
            add(group, "path", d=f"M{x:.1f} {y:.1f}l15 15m0 -15l-15 15")
        return anchor + np.array([0.0, -14.0])
    step = flat / shown * (46 + 40 * shown)
    tail, tip = (anchor - step, anchor) if push.pushes else (anchor, anchor + step)
    arrow_line(svg, f"load {push.style}", tail, tip)
    if push.style == "turn":  # a moment: a second head, right-hand rule
        arrow_line(svg, "load turn", tail, tip - 12 * flat / shown)
    return tail if push.pushes else tip


def build_arrow(svg: ET.Element, build: np.ndarray, view: View) -> None:
    """The build direction at the lower right: an arrow through four layers, as the view shows them."""
    origin = np.array([WIDTH - 70.0, HEIGHT + 36.0])
    flat = view.axes[:2] @ build * np.array([1.0, -1.0])
    shown = max(float(np.linalg.norm(flat)), 1e-6)
    side = np.array([-flat[1], flat[0]]) / shown
    group = add(svg, "g", "layers")
    for i in range(4):
        middle = origin + flat * 11 * (i - 1.5)
        a, b = middle - 24 * side, middle + 24 * side
        add(group, "line", x1=float(a[0]), y1=float(a[1]), x2=float(b[0]), y2=float(b[1]))
    arrow_line(svg, "build", origin - flat * 26, origin + flat * 34)
    add(svg, "text", "label", "B", x=WIDTH - 32.0, y=HEIGHT + 42.0)


def axes(svg: ET.Element, view: View) -> None:
    """The axes of the file at the lower left."""
    origin = np.array([62.0, HEIGHT + 42.0])
    for i in range(3):
        flat = view.axes[:2, i] * np.array([1.0, -1.0]) * 34
        group = add(svg, "g", "axis")
        add(group, "line", x1=origin[0], y1=origin[1], x2=float(origin[0] + flat[0]), y2=float(origin[1] + flat[1]))
        end = origin + flat * 1.38 + np.array([-4.0, 5.0])
        add(group, "text", "small", words.AXES[i], x=float(end[0]), y=float(end[1]))


def ruler(svg: ET.Element, view: View) -> None:
    """A length bar: the view is orthographic, so one scale holds everywhere."""
    unit = view.scale / SHARP
    length = next(s for p in range(5, -4, -1) for s in (5 * 10.0**p, 2 * 10.0**p, 10.0**p) if s * unit <= 130)
    x, y = 120.0, HEIGHT + 52.0
    group = add(svg, "g", "ruler")
    add(group, "path", d=f"M{x} {y - 5}v10m0 -5h{length * unit:.1f}m0 -5v10")
    add(group, "text", "small", f"{words.number(length)} mm", x=x + length * unit + 8, y=y + 5)


def bed_corners(points: np.ndarray, build: np.ndarray, side: np.ndarray) -> np.ndarray:
    """Corners (4, 3) [mm] of a piece of the bed under the part, its edges along `side` (3,) and square to it."""
    other = np.cross(build, side)
    local = points @ np.stack([side, other, build]).T
    low, high = local.min(axis=0), local.max(axis=0)
    pad = 0.08 * float((high - low)[:2].max())
    (a, b), (c, d) = low[:2] - pad, high[:2] + pad
    return np.array([u * side + v * other + low[2] * build for u, v in ((a, b), (c, b), (c, d), (a, d))])


def bed(svg: ET.Element, corners: np.ndarray, view: View) -> None:
    """The bed as a rectangle in the view."""
    drawn = view.project(corners)[:, :2] / SHARP
    add(svg, "polygon", "bed", points=" ".join(f"{x:.1f},{y:.1f}" for x, y in drawn))


def mark_shape(svg: ET.Element, mark: Mark) -> None:
    """A lettered mark: a disc for loads and the governing place (dark, with a ring there), a box for supports."""
    group = add(svg, "g", f"mark {mark.kind}")
    if mark.kind != "load":
        add(group, "line", "halo", x1=mark.x, y1=mark.y, x2=mark.tx, y2=mark.ty)
        add(group, "line", x1=mark.x, y1=mark.y, x2=mark.tx, y2=mark.ty)
    if mark.kind.startswith("spot"):
        add(group, "circle", "ring", cx=mark.tx, cy=mark.ty, r=9)
    if mark.kind.startswith("hold"):
        add(group, "rect", x=mark.x - 18, y=mark.y - 15, width=36, height=30)
    else:
        add(group, "circle", cx=mark.x, cy=mark.y, r=18)
    add(group, "text", "letter", mark.letter, x=mark.x, y=mark.y + 6.5)


def legend(svg: ET.Element, name: str, top: float = HEIGHT + STRIP + 6.0) -> None:
    """The scale, in steps; the limit is a bold line with its word, above it hatched."""
    box, left = 54.0, 30.0
    pattern = add(
        add(svg, "defs"),
        "pattern",
        id=name,
        width=7,
        height=7,
        patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    )
    add(pattern, "rect", width=7, height=7, fill=colours.css(colours.ABOVE))
    add(pattern, "rect", width=3, height=7, fill="#461806")
    table = colours.bands()
    for i, colour in enumerate(table):
        fill = f"url(#{name})" if i == len(table) - 1 else colours.css(colour)
        add(svg, "rect", "swatch", x=left + i * box, y=top, width=box, height=20, fill=fill)
        add(svg, "text", "small mid", f"{colours.LEVELS[i]:g}", x=left + i * box, y=top + 40)
    limit = left + (len(table) - 1) * box
    add(svg, "path", "limit", d=f"M{limit} {top - 6}v32")
    add(svg, "text", "small", "above the limit", x=limit + box + 6, y=top + 16)


def steps(svg: ET.Element, levels: np.ndarray, unit: str, top: float = HEIGHT + STRIP + 6.0) -> None:
    """A scale of even steps between `levels` (n,), numbers at their ends."""
    box, left = 60.0, 30.0
    for i, colour in enumerate(colours.steps(len(levels) - 1)):
        add(svg, "rect", "swatch", x=left + i * box, y=top, width=box, height=20, fill=colours.css(colour))
    for i, level in enumerate(levels):
        add(svg, "text", "small mid", f"{level:g}", x=left + i * box, y=top + 40)
    add(svg, "text", "small", unit, x=left + (len(levels) - 1) * box + 24, y=top + 40)
