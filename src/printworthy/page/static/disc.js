// The sphere of build directions as a disc seen from +z (Lambert's equal-area map): pick, drag, keys.
import { unit } from "/static/space.js";

const SVG = "http://www.w3.org/2000/svg";
const piece = (parent, tag, attributes, text = "") => {
  const e = parent.appendChild(document.createElementNS(SVG, tag));
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  if (text) e.textContent = text;
  return e;
};
const onDisc = (n) => { const s = n[2] < 0 ? -1 : 1, d = Math.sqrt(1 + s * n[2]); return [(s * n[0]) / d, (s * n[1]) / d]; };

export class Disc {
  constructor(svg, picture, notable, onPick) {
    this.svg = svg;
    this.onPick = onPick;
    this.under = false;
    this.n = [0, 0, 1];
    piece(svg, "image", { href: picture, x: -1, y: -1, width: 2, height: 2 });
    for (const tilt of [30, 60, 90]) piece(svg, "circle", { class: "ring", cx: 0, cy: 0, r: Math.sqrt(1 - Math.cos((tilt * Math.PI) / 180)) });
    for (const [name, x, y] of [["+x", 1.1, 0.03], ["−x", -1.1, 0.03], ["+y", 0, -1.06], ["−y", 0, 1.13]]) piece(svg, "text", { x, y }, name);
    for (const d of notable) {
      const [u, v] = onDisc(d.direction);
      const mark = piece(svg, "circle", { class: `note ${d.kind}`, cx: u, cy: -v, r: d.kind === "answer" ? 0.05 : 0.03 });
      piece(mark, "title", {}, d.words);
    }
    this.marks = ["picked", "picked in"].map((kind) => piece(svg, "circle", { class: kind, r: 0.075 }));
    svg.addEventListener("pointerdown", (e) => { svg.setPointerCapture(e.pointerId); svg.focus({ preventScroll: true }); this.dragged = true; this.at(e); });
    svg.addEventListener("pointermove", (e) => { if (this.dragged) this.at(e); });
    for (const end of ["pointerup", "pointercancel"]) svg.addEventListener(end, () => { this.dragged = false; });
    svg.addEventListener("keydown", (e) => this.key(e));
  }

  at(e) {
    const box = this.svg.getBoundingClientRect(), view = this.svg.viewBox.baseVal, scale = Math.min(box.width, box.height) / view.width;
    this.place((e.clientX - box.left - box.width / 2) / scale, -(e.clientY - box.top - box.height / 2) / scale);
  }

  place(u, v) {
    const r = Math.hypot(u, v);
    if (r > 1) [u, v] = [u / r, v / r];
    const q = Math.min(1, u * u + v * v), s = Math.sqrt(2 - q), side = this.under ? -1 : 1;
    this.onPick(unit([side * u * s, side * v * s, side * (1 - q)]));
  }

  key(e) {
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1], PageUp: [0, 5], PageDown: [0, -5] }[e.key];
    if (!step) return;
    e.preventDefault();
    const [u, v] = onDisc(this.n), size = (2 * Math.PI) / 180 / Math.SQRT2;
    let [x, y] = [u + size * step[0], v + size * step[1]];
    const r = Math.hypot(x, y);
    if (r > 1) {  // over the rim: the opposite place of the rim is the same line, seen from below
      this.under = !this.under;
      [x, y] = [-x * (2 - r) / r, -y * (2 - r) / r];
    }
    this.place(x, y);
  }

  show(n) {
    this.n = n;
    if (Math.abs(n[2]) > 1e-9) this.under = n[2] < 0;
    const [u, v] = onDisc(n);
    for (const m of this.marks) { m.setAttribute("cx", u); m.setAttribute("cy", -v); m.setAttribute("stroke-dasharray", this.under ? "0.06 0.04" : "none"); }
  }
}
