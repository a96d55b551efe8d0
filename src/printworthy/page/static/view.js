// The viewer: one mesh, one value per vertex, in WebGL2. It draws when something changed, and never else.
import { Camera } from "/static/camera.js";
import { NAMES, programs, software } from "/static/shade.js";
import { Triangles } from "/static/triangles.js";
import { back, cross, dot, meet, minus, plus, rows, scaled, upright } from "/static/space.js";

const LAMP = [-0.35, 0.55, 0.76], REST = 300, LUT = 1024, NO_CUT = [0, 0, 0, 1];
const RIM = [[0, 0], [1, 0], [-1, 0], [0, 1], [0, -1], [1, 1], [-1, -1], [1, -1], [-1, 1]];  // pixels that make a line thick

export class View extends Camera {
  constructor(canvas, onDrawn) {
    super(canvas);
    this.onDrawn = onDrawn;
    this.slow = software();
    const gl = (this.gl = canvas.getContext("webgl2", { antialias: !this.slow, alpha: false }));
    if (!gl) throw new Error("this browser draws no WebGL2, so the part cannot be shown in three dimensions; the tables below say the same");
    Object.assign(this, programs(gl));
    Object.assign(this, { stretch: 0, paint: 2, limit: 1, range: [0, 1], build: [0, 0, 1], cut: NO_CUT, edges: true, bed: true, columns: true, faults: [] });
    this.ground = [0.925, 0.922, 0.894];
    this.lut = gl.createTexture();
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => { this.size(); this.draw(); });
    new ResizeObserver(() => { this.size(); this.draw(); }).observe(canvas);
  }

  load(arrays) {
    const gl = this.gl;
    this.points = arrays.points;
    this.triangles = arrays.triangles;
    this.buffers = {};
    this.vao = gl.createVertexArray();
    gl.bindVertexArray(this.vao);
    const n = arrays.points.length / 3;
    const contents = [arrays.points, arrays.normals, new Float32Array(3 * n), new Float32Array(n)];
    NAMES.forEach((name, i) => {
      const b = (this.buffers[name] = gl.createBuffer());
      gl.bindBuffer(gl.ARRAY_BUFFER, b);
      gl.bufferData(gl.ARRAY_BUFFER, contents[i], i < 2 ? gl.STATIC_DRAW : gl.DYNAMIC_DRAW);
      gl.enableVertexAttribArray(i);
      gl.vertexAttribPointer(i, i === 3 ? 1 : 3, gl.FLOAT, false, 0, 0);
    });
    gl.bindVertexArray(null);
    this.drawn = new Triangles(gl, arrays.points, arrays.triangles, this.slow);
    this.edge = this.drawn.indexed(arrays.edges);
    this.support = this.strip();
    this.floor = this.strip();
    const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
    for (let i = 0; i < this.points.length; i++) {
      low[i % 3] = Math.min(low[i % 3], this.points[i]);
      high[i % 3] = Math.max(high[i % 3], this.points[i]);
    }
    this.low = low;
    this.high = high;
    this.centre = scaled(plus(low, high), 0.5);
    this.extent = Math.hypot(...minus(high, low));
    this.size();
    this.fit();
  }

  mark(chosen) { this.drawn.mark(chosen); }

  strip() {
    const gl = this.gl, vao = gl.createVertexArray(), buffer = gl.createBuffer();
    gl.bindVertexArray(vao);
    gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
    gl.enableVertexAttribArray(0);
    gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
    gl.bindVertexArray(null);
    return { vao, buffer, count: 0 };
  }

  put(strip, points) {
    const gl = this.gl;
    gl.bindBuffer(gl.ARRAY_BUFFER, strip.buffer);
    gl.bufferData(gl.ARRAY_BUFFER, points, gl.DYNAMIC_DRAW);
    strip.count = points.length / 3;
  }

  values(field) { this.fill("value", field); this.field = field; }
  shifts(moved) { this.fill("shift", moved); }
  fill(name, data) {
    this.gl.bindBuffer(this.gl.ARRAY_BUFFER, this.buffers[name]);
    this.gl.bufferSubData(this.gl.ARRAY_BUFFER, 0, data);
  }

  // Colours by step: bands[i] from levels[i] to levels[i + 1]; the last beyond the last level.
  scale(levels, bands, limit) {
    const gl = this.gl, low = levels[0], high = levels[levels.length - 1] + 0.04 * (levels[levels.length - 1] - low);
    const pixels = new Uint8Array(4 * LUT);
    for (let i = 0; i < LUT; i++) {
      const v = low + ((i + 0.5) / LUT) * (high - low);
      let b = levels.length - 1;
      while (b > 0 && v <= levels[b]) b--;
      b = Math.min(b, bands.length - 1);
      pixels.set([...bands[b], b], 4 * i);
    }
    gl.bindTexture(gl.TEXTURE_2D, this.lut);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, LUT, 1, 0, gl.RGBA, gl.UNSIGNED_BYTE, pixels);
    for (const f of [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER]) gl.texParameteri(gl.TEXTURE_2D, f, gl.NEAREST);
    this.range = [low, high];
    this.limit = limit;
  }

  // Whether an attribute is read for every vertex, which costs time, or is 0 for all.
  uses(name, whether) {
    const gl = this.gl;
    gl.bindVertexArray(this.vao);
    gl[whether ? "enableVertexAttribArray" : "disableVertexAttribArray"](NAMES.indexOf(name));
  }

  // Stand the part with direction n upwards on its bed.
  stand(n) {
    this.build = n;
    this.turn = upright(this.turn, n);
    let low = Infinity, high = -Infinity;
    for (let i = 0; i < this.points.length; i += 3) {
      const h = this.points[i] * n[0] + this.points[i + 1] * n[1] + this.points[i + 2] * n[2];
      low = Math.min(low, h);
      high = Math.max(high, h);
    }
    this.foot = low;
    this.tall = high - low;
    const local = this.corners().map((c) => rows(this.turn, c));
    const [x0, x1, y0, y1] = [0, 1].flatMap((i) => [Math.min(...local.map((c) => c[i])), Math.max(...local.map((c) => c[i]))]);
    const pad = 0.08 * Math.max(x1 - x0, y1 - y0), z = low;
    const at = (x, y) => back(this.turn, [x, y, z]);
    const a = at(x0 - pad, y0 - pad), b = at(x1 + pad, y0 - pad), c = at(x1 + pad, y1 + pad), d = at(x0 - pad, y1 + pad);
    this.rim = [a, b, c, d];
    this.put(this.floor, new Float32Array([a, b, c, a, c, d].flat()));
  }

  size() {
    const c = this.canvas, plate = /^#(..)(..)(..)$/.exec(getComputedStyle(c).getPropertyValue("--plate").trim());
    if (plate) this.ground = plate.slice(1).map((h) => parseInt(h, 16) / 255);
    this.resolve(false);
  }

  // Pixels of the picture for each of the page. Drawn by software, one that moves has half of them each way: it is drawn
  // whole as soon as it rests.
  resolve(moving) {
    const c = this.canvas, grain = Math.min(devicePixelRatio || 1, 2) * (moving && this.slow ? 0.5 : 1);
    const [width, height] = [c.clientWidth, c.clientHeight].map((side) => Math.max(1, Math.round(side * grain)));
    if (c.width !== width) c.width = width;
    if (c.height !== height) c.height = height;
    this.grain = grain;
    clearTimeout(this.rest);
    if (moving && this.slow) this.rest = setTimeout(() => this.draw(), REST);
  }

  gone() { const { cut } = this; return cut === NO_CUT ? null : (p) => dot(p, cut) > cut[3]; }

  // What lies under a pixel of the page: the triangle, the place, the value there.
  under(x, y) {
    const f = this.axes();
    const across = (x - this.canvas.clientWidth / 2) / this.zoom + this.pan[0], up = (this.canvas.clientHeight / 2 - y) / this.zoom + this.pan[1];
    const from = plus(this.centre, plus(plus(scaled(f[0], across), f[1], up), f[2], 2 * this.extent));
    const hit = meet(this.points, this.triangles, from, scaled(f[2], -1), this.gone());
    if (!hit) return null;
    const place = plus(from, f[2], -hit.t);
    const [a, b, c] = [0, 1, 2].map((k) => this.triangles[3 * hit.triangle + k]);
    const [p, q, r] = [a, b, c].map((v) => [0, 1, 2].map((k) => this.points[3 * v + k]));
    const leaning = dot(f[2], this.cut);
    if (this.cut !== NO_CUT && leaning > 1e-9 && dot(cross(minus(q, p), minus(r, p)), f[2]) < 0) {
      return { triangle: -1, place: plus(place, f[2], (this.cut[3] - dot(place, this.cut)) / leaning), value: null };
    }
    const value = this.field ? this.field[a] * (1 - hit.u - hit.v) + this.field[b] * hit.u + this.field[c] * hit.v : null;
    return { triangle: hit.triangle, place, value };
  }

  // Whether a place on the skin lies behind the part.
  hidden(p) {
    const f = this.axes(), from = plus(p, f[2], 0.004 * this.extent);
    return meet(this.points, this.triangles, from, f[2], this.gone()) !== null;
  }

  draw(moving = false) {
    if (this.pending || !this.points) return;
    this.pending = requestAnimationFrame(() => this.paintNow(false, moving));
  }

  // Draw at once; with `wait` the call returns when the picture is there. `moving`: it is about to change again.
  paintNow(wait = false, moving = false) {
    if (this.pending) cancelAnimationFrame(this.pending);
    this.pending = 0;
    this.resolve(moving);
    const gl = this.gl, { canvas } = this;
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.clearColor(...this.ground, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.depthFunc(gl.LEQUAL);
    const cutting = this.cut !== NO_CUT;
    gl[cutting || this.stretch || this.both ? "disable" : "enable"](gl.CULL_FACE);
    const f = this.axes();
    this.drawn.turnAway(cutting || this.stretch || this.both ? null : f[2]);
    this.uses("shift", this.stretch !== 0);
    const sx = (2 * this.zoom) / canvas.clientWidth, sy = (2 * this.zoom) / canvas.clientHeight, sz = -1 / (4 * this.extent);
    const shift = (r) => -dot(r, this.centre);
    const clip = new Float32Array([
      sx * f[0][0], sy * f[1][0], sz * f[2][0], 0, sx * f[0][1], sy * f[1][1], sz * f[2][1], 0,
      sx * f[0][2], sy * f[1][2], sz * f[2][2], 0, sx * (shift(f[0]) - this.pan[0]), sy * (shift(f[1]) - this.pan[1]), sz * shift(f[2]), 1,
    ]);
    const s = cutting ? this.opened : this.whole;
    gl.useProgram(s.p);
    gl.uniformMatrix4fv(s.clip, false, clip);
    gl.uniform3fv(s.lamp, back(f, LAMP));
    gl.uniform1f(s.stretch, this.stretch);
    gl.uniform1f(s.nearer, 0);
    gl.uniform1f(s.grain, this.grain);
    gl.uniform2fv(s.range, this.range);
    gl.uniform1f(s.limit, this.limit);
    gl.uniform4fv(s.cut, this.cut);
    gl.uniform1i(s.paint, this.paint);
    gl.uniform3fv(s.build, this.build);
    gl.uniform3fv(s.up, this.build);
    gl.uniform1f(s.low, this.foot ?? 0);
    gl.uniform1f(s.pitch, (this.tall ?? this.extent) / 36);
    gl.uniform1f(s.sine, this.sine ?? 2);
    gl.uniform1f(s.first, this.first ?? 0.2);
    gl.uniform3fv(s.plain, [0.847, 0.831, 0.788]);
    gl.activeTexture(gl.TEXTURE0);
    gl.bindTexture(gl.TEXTURE_2D, this.lut);
    gl.uniform1i(s.lut, 0);
    gl.bindVertexArray(this.vao);
    for (const { index, kind } of this.drawn.groups) {
      gl.uniform1i(s.mark, kind);
      this.drawn.elements(index, gl.TRIANGLES);
    }
    this.drawLines(clip);
    gl.bindVertexArray(null);
    if (wait) gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
    this.onDrawn?.(!(moving && this.slow));
  }

  drawLines(clip) {
    const gl = this.gl, l = this.line;
    gl.useProgram(l.p);
    gl.uniformMatrix4fv(l.clip, false, clip);
    gl.uniform4fv(l.cut, this.cut);
    gl.uniform1f(l.stretch, this.stretch);
    if (this.edges) {
      gl.uniform1f(l.nearer, 0.0012);
      gl.uniform4fv(l.ink, [0.12, 0.15, 0.17, 1]);
      this.drawn.elements(this.edge, gl.LINES);
    }
    gl.uniform1f(l.nearer, 0);
    gl.uniform1f(l.stretch, 0);
    gl.enable(gl.BLEND);
    gl.blendFuncSeparate(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA, gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    for (const fault of this.faults) this.thick(fault);
    if (this.columns && this.support.count) {
      gl.uniform4fv(l.ink, [0.55, 0.33, 0.12, 0.8]);
      gl.bindVertexArray(this.support.vao);
      gl.drawArrays(gl.LINES, 0, this.support.count);
    }
    if (this.bed && this.floor.count) {
      gl.uniform4fv(l.ink, [0.55, 0.54, 0.49, 0.42]);
      gl.uniform4fv(l.cut, NO_CUT);
      gl.bindVertexArray(this.floor.vao);
      gl.disable(gl.CULL_FACE);
      gl.drawArrays(gl.TRIANGLES, 0, this.floor.count);
    }
    gl.disable(gl.BLEND);
  }

  // Lines that must not be missed: seen thin through the part, thick and rimmed in white where nothing hides them.
  thick(strip) {
    const gl = this.gl, l = this.line, draw = (ink, pixels, depth) => {
      gl.depthFunc(depth);
      gl.uniform4fv(l.ink, ink);
      for (const [x, y] of pixels) {
        gl.uniform2f(l.aside, (2 * this.grain * x) / this.canvas.width, (2 * this.grain * y) / this.canvas.height);
        gl.drawArrays(gl.LINES, 0, strip.count);
      }
    };
    gl.bindVertexArray(strip.vao);
    gl.uniform1f(l.nearer, 0.002);
    draw([0.55, 0.22, 0.04, 0.55], RIM.slice(0, 1), gl.ALWAYS);
    gl.depthMask(false);  // the rim must not hide the line
    draw([1, 1, 1, 1], RIM.map(([x, y]) => [2.2 * x, 2.2 * y]), gl.LEQUAL);
    draw([0.62, 0.2, 0.02, 1], RIM, gl.LEQUAL);
    gl.depthMask(true);
    gl.uniform2f(l.aside, 0, 0);
    gl.uniform1f(l.nearer, 0);
  }
}

export { NO_CUT };
