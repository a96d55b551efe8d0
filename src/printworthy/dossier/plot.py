"""A plot with axes: lines, points, boxes, bands, levels and words at places in the units of the data.

Chart modules say what is shown; this draws it, in the look of the other pictures. Lines differ by dashes and points by
shape, never by colour alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal
from xml.etree import ElementTree as ET

import numpy as np
from scipy.optimize import isotonic_regression

from printworthy.dossier import sheet, words

Line = Literal["solid", "dashed", "dotted"]
Shape = Literal["disc", "ring", "square", "triangle"]
Anchor = Literal["start", "mid", "end"]
LETTER, LINE = 8.4, 17.0  # units a letter takes across, a line of text down
TOP, RIGHT, BELOW = 30.0, 24.0, 58.0  # free around the frame
SYMBOLS = {
    "disc": "M-5 0a5 5 0 1 0 10 0a5 5 0 1 0 -10 0z",
    "ring": "M-5 0a5 5 0 1 0 10 0a5 5 0 1 0 -10 0z",
    "square": "M-5 -5h10v10h-10z",
    "triangle": "M0 -6l6 11h-12z",
}


@dataclass(frozen=True, slots=True)
class Axis:
    """A named axis from `low` to `high`; `log`: by powers of ten, both ends above 0. `ticks` (value, text) replace the
    figures, for names on an axis."""

    title: str
    low: float
    high: float
    log: bool = False
    ticks: tuple[tuple[float, str], ...] = ()

    def share(self, values: Sequence[float] | np.ndarray | float) -> np.ndarray:
        """Where values lie along the axis, 0 to 1."""
        v, low, high = np.asarray(values, dtype=float), self.low, self.high
        if self.log:
            v, low, high = np.log10(v), float(np.log10(low)), float(np.log10(high))
        return np.asarray((v - low) / (high - low))

    def marked(self) -> tuple[tuple[float, str], ...]:
        """Values that get a tick, with their text: the stated ones, else powers of ten or 4 to 9 round steps."""
        if self.ticks:
            return self.ticks
        if self.log:
            first, last = int(np.ceil(np.log10(self.low) - 1e-9)), int(np.floor(np.log10(self.high) + 1e-9))
            stride = max(1, (last - first + 5) // 6)
            return tuple((10.0**p, words.number(10.0**p)) for p in range(first, last + 1, stride))
        span = self.high - self.low
        ten = float(10.0 ** np.floor(np.log10(span / 5)))
        step = float(next(s * ten for s in (1, 2, 5, 10) if span / (s * ten) <= 8))
        least = int(np.ceil(self.low / step - 1e-9))
        values = [k * step for k in range(least, int(np.floor(self.high / step + 1e-9)) + 1)]
        return tuple((v, words.number(v)) for v in values)


def log_ticks(low: float, high: float) -> tuple[tuple[float, str], ...]:
    """Three to nine figures for an axis by powers of ten, however short or long: powers of ten where there are three,
    else round steps between them, else even steps."""
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    for fine in ((1.0,), (1.0, 2.0, 5.0), (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0)):
        steps = [s * 10.0**p for p in powers for s in fine if low <= s * 10.0**p <= high]
        if 3 <= len(steps) <= 9:
            return tuple((s, words.number(s)) for s in steps)
    return Axis("", low, high, log=high / low >= 1e9).marked()


@dataclass(frozen=True, slots=True, eq=False)
class Plot:
    """A frame on a drawing. All methods take places in the units of the axes; y runs upwards."""

    svg: ET.Element
    x: Axis
    y: Axis
    left: float
    width: float
    height: float
    taken: list[tuple[float, float, float, float]] = field(default_factory=list)  # what `name` may not cover

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A place in units of the drawing."""
        return (self.left + self.width * float(self.x.share(x)), TOP + self.height * (1 - float(self.y.share(y))))

    def line(
        self, xs: Sequence[float] | np.ndarray, ys: Sequence[float] | np.ndarray, style: Line = "solid", label: str = ""
    ) -> None:
        """A line through points, with its name at the right-hand end."""
        across, down = self.left + self.width * self.x.share(xs), TOP + self.height * (1 - self.y.share(ys))
        drawn = list(zip(across.tolist(), down.tolist(), strict=True))
        sheet.add(self.svg, "polyline", f"curve {style}", points=" ".join(f"{x:.1f},{y:.1f}" for x, y in drawn))
        if label:
            x, y = drawn[-1]
            sheet.add(self.svg, "text", "small end", label, x=min(x, self.left + self.width) - 4, y=y - 8)

    def ends(self, named: Sequence[tuple[float, str]]) -> None:
        """Short names of lines at the right-hand edge, at their values of y there, moved apart where they would meet.

        The least shift in all that leaves `LINE` between neighbours is an isotonic regression of the places less
        k times LINE (scipy.optimize.isotonic_regression).
        """
        order = sorted((self.at(self.x.high, y)[1], text) for y, text in named)
        steps = LINE * np.arange(len(order))
        places = isotonic_regression(np.array([v for v, _ in order]) - steps).x + steps
        places = places - max(0.0, float(places[-1]) - TOP - self.height)
        for v, (_, text) in zip(places, order, strict=True):
            sheet.add(self.svg, "text", "small", text, x=self.left + self.width + 5, y=float(v) + 5)

    def name(self, x: float, y: float, text: str, at: tuple[float, float] | None = None, reach: float = 64.0) -> None:
        """A word beside a place (or beside `at`, in units of the drawing), at most `reach` from it, on the first side
        where it covers no other such word and nothing in `taken`; none where there is no such side."""
        u, v = at or self.at(x, y)
        long = LETTER * len(text) + 4
        for far in np.linspace(10.0, max(reach, 10.0), 7):
            for du, dv in ((far, 0.0), (-far - long, 0.0), (-long / 2, -far), (-long / 2, far), (far, -far),
                           (far, far), (-far - long, -far), (-far - long, far)):  # fmt: skip
                box = (u + du, v + dv - LINE / 2, u + du + long, v + dv + LINE / 2)
                inside = box[0] > 0 and box[2] < sheet.WIDTH and box[1] > 0 and box[3] < TOP + self.height
                if inside and not any(_meet(box, other) for other in self.taken):
                    self.taken.append(box)
                    sheet.add(self.svg, "text", "small", text, x=box[0] + 2, y=box[3] - 3)
                    return

    def keep(self, u: float, v: float, half: float = 8.0) -> None:
        """Keep a square about (u, v), in units of the drawing, free of what `name` writes."""
        self.taken.append((u - half, v - half, u + half, v + half))

    def points(self, xs: Sequence[float] | np.ndarray, ys: Sequence[float] | np.ndarray, shape: Shape = "disc") -> None:
        """Separate points. A ring is an open disc."""
        group = sheet.add(self.svg, "g", f"points {shape}")
        for x, y in zip(xs, ys, strict=True):
            u, v = self.at(x, y)
            sheet.add(group, "path", d=SYMBOLS[shape], transform=f"translate({u:.1f} {v:.1f})")

    def band(
        self,
        xs: Sequence[float] | np.ndarray,
        low: Sequence[float] | np.ndarray,
        high: Sequence[float] | np.ndarray,
    ) -> None:
        """The area between two lines over the same xs."""
        there = [self.at(x, y) for x, y in zip(xs, low, strict=True)]
        back = [self.at(x, y) for x, y in zip(xs, high, strict=True)]
        sheet.add(self.svg, "polygon", "band", points=" ".join(f"{x:.1f},{y:.1f}" for x, y in there + back[::-1]))

    def box(self, x0: float, x1: float, y0: float, y1: float, css: str = "block") -> None:
        """A rectangle: `block` filled, `block pale` lighter, `block hatched` for what is assumed or not known."""
        (a, b), (c, d) = self.at(x0, y0), self.at(x1, y1)
        sheet.add(self.svg, "rect", css, x=min(a, c), y=min(b, d), width=abs(c - a), height=abs(d - b))

    def bars(self, spans: Sequence[tuple[float, float, float, str, str]], half: float) -> None:
        """Lying bars (from, to, y, word, css), each with its word: inside, where it has room; else beside it."""
        drawn = []
        for x0, x1, y, text, css in spans:
            self.box(x0, x1, y - half, y + half, css)
            (a, top), (b, low) = self.at(x0, y + half), self.at(x1, y - half)
            self.taken.append((a, top, b, low))
            drawn.append(((a + b) / 2, (top + low) / 2, b - a, text, css))
        for u, v, wide, text, css in drawn:
            if wide >= LETTER * len(text) + 8:
                tone = "" if "pale" in css else " light"
                sheet.add(self.svg, "text", f"small mid{tone}", text, x=u, y=v + 5)
            else:
                self.name(0, 0, text, at=(u, v), reach=wide / 2 + 14)

    def level(self, value: float, text: str = "", across: bool = True) -> None:
        """A bold line at a value of y (`across`) or of x, with its word."""
        if across:
            x, y = self.at(self.x.low, value)
            sheet.add(self.svg, "path", "limit", d=f"M{x:.1f} {y:.1f}h{self.width:.1f}")
            sheet.add(self.svg, "text", "small end", text, x=x + self.width - 4, y=y - 7)
        else:
            x, y = self.at(value, self.y.low)
            sheet.add(self.svg, "path", "limit", d=f"M{x:.1f} {y:.1f}v{-self.height:.1f}")
            sheet.add(self.svg, "text", "small mid", text, x=x, y=TOP - 8)

    def say(self, x: float, y: float, text: str, anchor: Anchor = "mid", dx: float = 0.0, dy: float = 5.0) -> None:
        """Words at a place, moved by (dx, dy) units of the drawing."""
        u, v = self.at(x, y)
        sheet.add(self.svg, "text", "small" if anchor == "start" else f"small {anchor}", text, x=u + dx, y=v + dy)

    def text(self) -> str:
        """The drawing as SVG text."""
        return sheet.to_text(self.svg)


def _meet(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    """Whether two boxes (left, top, right, bottom) lie over each other."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def plot(x: Axis, y: Axis, height: float = 280.0) -> Plot:
    """An empty frame with its ticks and titles, the frame `height` units high."""
    marks = y.marked()
    left = 18.0 + LETTER * max((len(text) for _, text in marks), default=0)
    svg = sheet.canvas(int(TOP + height + BELOW))
    made = Plot(svg, x, y, left, sheet.WIDTH - RIGHT - left, height)
    floor = TOP + height
    for value, text in marks:
        v = made.at(x.low, value)[1]
        sheet.add(svg, "path", "grid", d=f"M{left:.1f} {v:.1f}h{made.width:.1f}")
        sheet.add(svg, "text", "small end", text, x=left - 8, y=v + 5)
    for value, text in x.marked():
        u = made.at(value, y.low)[0]
        sheet.add(svg, "path", "frame", d=f"M{u:.1f} {floor:.1f}v6")
        half = LETTER * len(text) / 2
        last = u + half > sheet.WIDTH - 3
        sheet.add(
            svg, "text", "small end" if last else "small mid", text, x=sheet.WIDTH - 3.0 if last else u, y=floor + 23
        )
    sheet.add(svg, "path", "frame", d=f"M{left:.1f} {TOP}v{height:.1f}h{made.width:.1f}")
    sheet.add(svg, "text", "small mid", x.title, x=left + made.width / 2, y=floor + 47)
    sheet.add(svg, "text", "small", y.title, x=6, y=TOP - 12)
    return made
