// Vectors, the camera's frame, rays against triangles, and the binary answers of the server. No drawing.

export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
export const minus = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const plus = (a, b, s = 1) => [a[0] + s * b[0], a[1] + s * b[1], a[2] + s * b[2]];
export const scaled = (a, s) => [a[0] * s, a[1] * s, a[2] * s];
export const unit = (a) => scaled(a, 1 / Math.max(Math.hypot(...a), 1e-12));
export const rows = (m, v) => [dot(m[0], v), dot(m[1], v), dot(m[2], v)];
export const back = (m, v) => [0, 1, 2].map((i) => m[0][i] * v[0] + m[1][i] * v[1] + m[2][i] * v[2]);
export const IDENTITY = [[1, 0, 0], [0, 1, 0], [0, 0, 1]];

// The smallest turn of `m` (rows: world axes in the part) after which the part's direction n points up.
export function upright(m, n) {
  const now = unit(rows(m, n)), up = [0, 0, 1], c = now[2];
  if (c > 1 - 1e-12) return m;
  let axis = cross(now, up);
  if (Math.hypot(...axis) < 1e-6) axis = [1, 0, 0];
  axis = unit(axis);
  const s = Math.sqrt(Math.max(0, 1 - c * c));
  const turn = (v) => plus(plus(scaled(v, c), cross(axis, v), s), axis, dot(axis, v) * (1 - c));
  const columns = [0, 1, 2].map((i) => turn([m[0][i], m[1][i], m[2][i]]));
  return [0, 1, 2].map((r) => [columns[0][r], columns[1][r], columns[2][r]]);
}

// Rows right, up, towards the eye, for a turntable camera.
export function frame(azimuth, elevation) {
  const ca = Math.cos(azimuth), sa = Math.sin(azimuth), ce = Math.cos(elevation), se = Math.sin(elevation);
  const toward = [ce * ca, ce * sa, se], right = [-sa, ca, 0];
  return [right, cross(toward, right), toward];
}

// The nearest triangle that a line meets: { triangle, t, u, v }, or null. `gone(place)` says what is cut away.
export function meet(points, triangles, from, along, gone = null) {
  const [ox, oy, oz] = from, [dx, dy, dz] = along;
  let best = null, nearest = Infinity;
  for (let k = 0; k < triangles.length; k += 3) {
    const a = 3 * triangles[k], b = 3 * triangles[k + 1], c = 3 * triangles[k + 2];
    const ax = points[a], ay = points[a + 1], az = points[a + 2];
    const ex = points[b] - ax, ey = points[b + 1] - ay, ez = points[b + 2] - az;
    const fx = points[c] - ax, fy = points[c + 1] - ay, fz = points[c + 2] - az;
    const px = dy * fz - dz * fy, py = dz * fx - dx * fz, pz = dx * fy - dy * fx;
    const det = ex * px + ey * py + ez * pz;
    if (det > -1e-12 && det < 1e-12) continue;
    const sx = ox - ax, sy = oy - ay, sz = oz - az;
    const u = (sx * px + sy * py + sz * pz) / det;
    if (u < 0 || u > 1) continue;
    const qx = sy * ez - sz * ey, qy = sz * ex - sx * ez, qz = sx * ey - sy * ex;
    const v = (dx * qx + dy * qy + dz * qz) / det;
    if (v < 0 || u + v > 1) continue;
    const t = (fx * qx + fy * qy + fz * qz) / det;
    if (t < 0 || t >= nearest) continue;
    if (gone && gone([ox + t * dx, oy + t * dy, oz + t * dz])) continue;
    nearest = t;
    best = { triangle: k / 3, t, u, v };
  }
  return best;
}

// Every half-precision number (IEEE 754 binary16) as a number: a table of 256 kB, and no arithmetic later.
const HALF = Float32Array.from({ length: 65536 }, (_, h) => {
  const sign = h & 0x8000 ? -1 : 1, power = (h >> 10) & 31, rest = h & 1023;
  return sign * (power === 31 ? (rest ? NaN : Infinity) : power ? (1 + rest / 1024) * 2 ** (power - 15) : rest * 2 ** -24);
});

// A binary answer: head as JSON, then arrays, without a copy; half precision is widened.
export function unpack(buffer) {
  const length = new DataView(buffer).getUint32(0, true);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, length)));
  const arrays = {};
  let at = 4 + length;
  for (const a of head.arrays) {
    arrays[a.name] = a.kind === "f2" ? widened(new Uint16Array(buffer, at, a.count)) : new { u4: Uint32Array, f4: Float32Array }[a.kind](buffer, at, a.count);
    at += 4 * Math.ceil(a.kind === "f2" ? a.count / 2 : a.count);
  }
  return { head, arrays };
}

function widened(halves) {
  const found = new Float32Array(halves.length);
  for (let i = 0; i < halves.length; i++) found[i] = HALF[halves[i]];
  return found;
}

export async function fetched(address, signal) {
  const answer = await fetch(address, { signal });
  if (!answer.ok) {
    const said = await answer.json().catch(() => ({ error: `not answered (${answer.status})` }));
    throw new Error(said.error);
  }
  return unpack(await answer.arrayBuffer());
}
