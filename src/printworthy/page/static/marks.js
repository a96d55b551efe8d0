// What is written over the picture: governing place, loads, supports, axes, length bar, what a click read.
import { rows } from "/static/space.js";

const SVG = "http://www.w3.org/2000/svg";

export class Marks {
  constructor(svg, view) {
    Object.assign(this, { svg, view, spot: null, probe: null, loads: [], supports: [], tags: [], bed: true, big: matchMedia("(min-width: 2400px)").matches ? 1.6 : 1 });
  }

  draw() {
    const { svg, view } = this;
    svg.replaceChildren();
    for (const [i, load] of this.loads.entries()) this.load(load, `L${i + 1}`);
    for (const [i, s] of this.supports.entries()) this.tag(s.point, `S${i + 1}`, "disc", 13, true);
    for (const { place, letter, square } of this.tags) this.tag(place, letter, "disc", 13, square);
    if (this.spot) this.tag(this.spot.place, "G", "flag", 13);
    if (this.probe) {
      const [x, y] = view.project(this.probe.place);
      this.piece("circle", { class: "disc", cx: x, cy: y, r: 4.5 });
      if (this.probe.text) this.text(this.probe.text, x, y - 14, "halo"), this.text(this.probe.text, x, y - 14);
    }
    this.axes();
    this.ruler();
    clearTimeout(this.later);
    this.later = setTimeout(() => this.far(), 450);
  }

  piece(tag, attributes, parent = this.svg) {
    const e = parent.appendChild(document.createElementNS(SVG, tag));
    for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, typeof v === "number" ? v.toFixed(1) : v);
    return e;
  }

  text(words, x, y, kind = "") { this.piece("text", { class: kind, x, y }).textContent = words; }

  // A lettered mark set off from its place, away from the middle.
  tag(place, letter, kind, r, square = false) {
    r *= this.big;
    const { view, big } = this, [x, y] = view.project(place), [cx, cy] = [view.canvas.clientWidth / 2, view.canvas.clientHeight / 2];
    let [ox, oy] = [x - cx, y - cy];
    const d = Math.hypot(ox, oy);
    [ox, oy] = d > 4 ? [(ox / d) * 46 * big, (oy / d) * 46 * big] : [30 * big, -34 * big];
    const room = 18 * big, bx = Math.max(room, Math.min(2 * cx - room, x + ox)), by = Math.max(room, Math.min(2 * cy - room, y + oy));
    this.piece("path", { class: "halo", d: `M${x.toFixed(1)} ${y.toFixed(1)}L${bx.toFixed(1)} ${by.toFixed(1)}` });
    const line = this.piece("path", { class: "shaft", d: `M${x.toFixed(1)} ${y.toFixed(1)}L${bx.toFixed(1)} ${by.toFixed(1)}` });
    const ring = this.piece("circle", { class: "shaft", cx: x, cy: y, r: 4 });
    for (const e of [line, ring]) { e.place = place; }
    if (square) this.piece("rect", { class: "disc", x: bx - r, y: by - r + 2, width: 2 * r, height: 2 * r - 4 });
    else this.piece("circle", { class: kind, cx: bx, cy: by, r });
    this.text(letter, bx, by + 4.5 * big, kind === "flag" ? "flagged" : "");
  }

  load({ point, direction, pushes, style }, letter) {
    const { view, big } = this, f = view.axes(), [x, y] = view.project(point), e = rows(f, direction), flat = [e[0], -e[1]], size = Math.hypot(...flat);
    if (size < 0.25) {
      this.piece("circle", { class: "disc", cx: x, cy: y, r: 9 });
      if (e[2] > 0) this.piece("circle", { class: "head", cx: x, cy: y, r: 3 });
      else this.piece("path", { class: "shaft", d: `M${x - 5} ${y - 5}l10 10m0 -10l-10 10` });
      this.text(letter, x + 20, y + 4, "halo");
      this.text(letter, x + 20, y + 4);
      return;
    }
    const [ux, uy] = [flat[0] / size, flat[1] / size], length = (38 + 30 * size) * big;
    const tip = pushes ? [x, y] : [x + ux * length, y + uy * length], tail = pushes ? [x - ux * length, y - uy * length] : [x, y];
    const neck = [tip[0] - 12 * ux, tip[1] - 12 * uy], path = `M${tail.map((c) => c.toFixed(1)).join(" ")}L${neck.map((c) => c.toFixed(1)).join(" ")}`;
    this.piece("path", { class: "halo", d: path });
    this.piece("path", { class: `shaft ${style}`, d: path });
    const head = ([a, b]) => this.piece("polygon", { class: "head", points: `${a},${b} ${a - 13 * ux - 5.5 * uy},${b - 13 * uy + 5.5 * ux} ${a - 13 * ux + 5.5 * uy},${b - 13 * uy - 5.5 * ux}` });
    head(tip);
    if (style === "turn") head([tip[0] - 10 * ux, tip[1] - 10 * uy]);
    const end = pushes ? [tail[0] - 12 * big * ux, tail[1] - 12 * big * uy] : [tip[0] + 12 * big * ux, tip[1] + 12 * big * uy];
    this.piece("circle", { class: "disc", cx: end[0], cy: end[1], r: 11 * big });
    this.text(letter, end[0], end[1] + 4.5 * big);
  }

  axes() {
    const { view } = this, f = view.axes(), [x, y] = [44, view.canvas.clientHeight - 44];
    for (let i = 0; i < 3; i++) {
      const [dx, dy] = [f[0][i] * 28, -f[1][i] * 28];
      this.piece("line", { class: "axis", x1: x, y1: y, x2: x + dx, y2: y + dy });
      this.text("xyz"[i], x + dx * 1.4, y + dy * 1.4 + 4, "small");
    }
    if (!this.bed) return;
    const b = rows(f, view.build), [bx, by] = [view.canvas.clientWidth - 60 * this.big, view.canvas.clientHeight - 40];
    const [ex, ey] = [bx + b[0] * 30, by - b[1] * 30];
    this.piece("line", { class: "build", x1: bx, y1: by, x2: ex, y2: ey });
    this.piece("circle", { class: "buildhead", cx: ex, cy: ey, r: 4.5 });
    this.text("up on the bed", bx, by + 26, "small");
  }

  ruler() {
    const { view } = this, room = (view.canvas.clientWidth < 480 ? 60 : 110) / view.zoom, power = 10 ** Math.floor(Math.log10(room)), length = [5, 2, 1].find((s) => s * power <= room) * power;
    const [x, y] = [96, view.canvas.clientHeight - 20];
    this.piece("path", { class: "axis", d: `M${x} ${y - 5}v10m0 -5h${(length * view.zoom).toFixed(1)}m0 -5v10` });
    const t = this.piece("text", { class: "small", x: x + length * view.zoom + 8, y: y + 4 });
    t.textContent = `${Number(length.toPrecision(3))} mm`;
    t.style.textAnchor = "start";
  }

  // Broken lines to what lies on the far side; found out when the picture rests, for rays cost time.
  far() {
    const known = new Map();
    for (const e of this.svg.children) {
      if (!e.place) continue;
      const key = e.place.join();
      if (!known.has(key)) known.set(key, this.view.hidden(e.place));
      e.classList.toggle("far", known.get(key));
    }
  }
}
