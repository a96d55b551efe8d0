// The programs that shade the part and its lines, in WebGL2.

const VERTEX = `#version 300 es
in vec3 at, normal, shift; in float value;
uniform mat4 clip; uniform vec3 lamp, up; uniform vec2 aside; uniform float stretch, nearer;
out vec3 place; out float light, lean, v;
void main() {
  float l = abs(dot(normal, lamp));
  place = at; light = 0.72 + 0.28 * l * (0.8 + 0.2 * l); lean = dot(normal, up); v = value;
  gl_Position = clip * vec4(at + stretch * shift, 1.0);
  gl_Position.xy += aside;
  gl_Position.z -= nearer;
}`;
// Without CUT nothing is discarded, so that what lies behind is not shaded.
const FRAGMENT = `
precision highp float;
in vec3 place; in float light, lean, v; out vec4 colour;
uniform sampler2D lut; uniform vec2 range; uniform float limit, pitch, low, sine, first, grain;
uniform vec4 cut; uniform vec3 build, plain; uniform int paint, mark;
void main() {
  vec2 p = gl_FragCoord.xy / grain;
#ifdef CUT
  // The nearest surface seen from within closes the section: the line of sight enters the part through the cut.
  float inside = cut.w - dot(place, cut.xyz), rim = fwidth(inside);
  if (inside < 0.0) discard;
  if (!gl_FrontFacing) {
    colour = vec4(mod(p.x - p.y, 9.0) < 1.6 ? vec3(0.36, 0.38, 0.39) : vec3(0.8, 0.795, 0.77), 1.0);
    return;
  }
  if (inside < 1.6 * rim) { colour = vec4(0.09, 0.11, 0.12, 1.0); return; }
#endif
  vec3 c = plain;
  if (paint == 0) {
    vec4 t = texture(lut, vec2(clamp((v - range.x) / (range.y - range.x), 0.0005, 0.9995), 0.5));
    c = t.rgb;
    if (v > limit && mod(p.x + p.y, 7.0) < 2.5) c = vec3(0.275, 0.094, 0.024);
    if (fwidth(t.a) > 0.002) c *= v > limit * 0.98 && v < limit * 1.02 ? 0.2 : 0.78;
  }
  if (paint == 1) {
    float h = dot(place, build) - low, slope = 1.0 - abs(lean);
    if (-lean > sine && h > first) c = mod(p.x + p.y, 8.0) < 3.0 ? vec3(0.46, 0.2, 0.04) : vec3(0.92, 0.62, 0.36);
    else if (fract(h / pitch) < 0.28) c = mix(c, vec3(0.17, 0.2, 0.21), 0.34 * clamp(slope / 0.15, 0.0, 1.0));
  }
  c *= light;
  if (!gl_FrontFacing) c = mod(p.x - p.y, 9.0) < 1.6 ? vec3(0.3, 0.32, 0.33) : vec3(0.58, 0.575, 0.55);
  if (mark == 1 && mod(p.x - p.y, 8.0) < 1.7) c = mix(c, vec3(0.17, 0.2, 0.21), 0.75);
  if (mark == 2 && mod(p.x, 7.0) < 2.1 && mod(p.y, 7.0) < 2.1) c = mix(c, vec3(0.17, 0.2, 0.21), 0.65);
  if (mark == 4) c = mod(p.x + p.y, 6.0) < 3.0 ? vec3(0.55, 0.22, 0.04) : vec3(0.95, 0.66, 0.4);
  if (mark == 5) c = mix(c, vec3(0.925, 0.922, 0.894), 0.72);
  if (mark == 3) c = mix(c, vec3(0.11, 0.36, 0.41), mod(p.x + 2.0 * p.y, 8.0) < 4.0 ? 0.75 : 0.45);
  colour = vec4(c, 1.0);
}`;
const LINES = `#version 300 es
precision highp float;
in vec3 place; out vec4 colour; uniform vec4 cut, ink;
void main() { if (dot(place, cut.xyz) > cut.w) discard; colour = ink; }`;
export const NAMES = ["at", "normal", "shift", "value"];

function program(gl, fragment) {
  const p = gl.createProgram();
  for (const [kind, text] of [[gl.VERTEX_SHADER, VERTEX], [gl.FRAGMENT_SHADER, fragment]]) {
    const s = gl.createShader(kind);
    gl.shaderSource(s, text);
    gl.compileShader(s);
    if (!gl.getShaderParameter(s, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(s));
    gl.attachShader(p, s);
  }
  NAMES.forEach((name, i) => gl.bindAttribLocation(p, i, name));
  gl.linkProgram(p);
  if (!gl.getProgramParameter(p, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(p));
  const found = { p };
  for (let i = 0; i < gl.getProgramParameter(p, gl.ACTIVE_UNIFORMS); i++) {
    const { name } = gl.getActiveUniform(p, i);
    found[name] = gl.getUniformLocation(p, name);
  }
  return found;
}

// Drawn by software, smoothing of edges costs three times the time.
export function software() {
  const gl = document.createElement("canvas").getContext("webgl2");
  const info = gl && gl.getExtension("WEBGL_debug_renderer_info");
  const name = info ? gl.getParameter(info.UNMASKED_RENDERER_WEBGL) : "";
  gl?.getExtension("WEBGL_lose_context")?.loseContext();
  return /swiftshader|llvmpipe|software/i.test(name);
}

// The whole skin, the skin cut open, and lines.
export const programs = (gl) => ({
  whole: program(gl, `#version 300 es${FRAGMENT}`), opened: program(gl, `#version 300 es\n#define CUT${FRAGMENT}`), line: program(gl, LINES),
});
