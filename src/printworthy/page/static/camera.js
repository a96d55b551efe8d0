// The camera: parallel projection, turntable about the bed's vertical, in the axes of the part.
import { IDENTITY, back, frame, minus, rows } from "/static/space.js";

const NEAR = 6;  // times as large as the whole

export class Camera {
  constructor(canvas) {
    this.canvas = canvas;
    Object.assign(this, { turn: IDENTITY, azimuth: 0.9, elevation: 0.42, pan: [0, 0], zoom: 1 });
  }

  corners() {
    const { low, high } = this;
    return [0, 1, 2, 3, 4, 5, 6, 7].map((k) => [k & 1 ? high[0] : low[0], k & 2 ? high[1] : low[1], k & 4 ? high[2] : low[2]]);
  }

  fit() {
    if (!this.points) return;
    const f = this.axes(), seen = this.corners().map((p) => rows(f, minus(p, this.centre)));
    const x = Math.max(...seen.map((p) => Math.abs(p[0]))), y = Math.max(...seen.map((p) => Math.abs(p[1])));
    this.zoom = 0.42 * Math.min(this.canvas.clientWidth / x, this.canvas.clientHeight / y);
    this.pan = [0, 0];
  }

  // Rows right, up, towards the eye, in the axes of the part.
  axes() { return frame(this.azimuth, this.elevation).map((r) => back(this.turn, r)); }

  lookFrom(direction) {
    const w = rows(this.turn, direction);
    this.elevation = Math.asin(Math.max(-1, Math.min(1, w[2])));
    if (Math.hypot(w[0], w[1]) > 1e-6) this.azimuth = Math.atan2(w[1], w[0]);
  }

  // A place of the part in pixels of the page, and its depth [mm] towards the eye.
  project(p) {
    const e = rows(this.axes(), minus(p, this.centre));
    return [this.canvas.clientWidth / 2 + (e[0] - this.pan[0]) * this.zoom, this.canvas.clientHeight / 2 - (e[1] - this.pan[1]) * this.zoom, e[2]];
  }

  // A place in the middle, large.
  near(p) {
    this.fit();
    this.pan = rows(this.axes(), minus(p, this.centre)).slice(0, 2);
    this.zoom *= NEAR;
  }
}
