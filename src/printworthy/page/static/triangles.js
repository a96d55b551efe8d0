// The triangles of the part as index buffers: grouped by the mark they bear, those that face away left out.
const KINDS = 6;  // marks, beginning with none
const GRAZING = -1e-4;  // cosine below which a triangle surely faces away; the others are judged when they are drawn

// Unit normals of triangles, three numbers each; written out, for they are many.
function facets(points, triangles) {
  const found = new Float32Array(triangles.length);
  for (let k = 0; k < triangles.length; k += 3) {
    const a = 3 * triangles[k], b = 3 * triangles[k + 1], c = 3 * triangles[k + 2];
    const ex = points[b] - points[a], ey = points[b + 1] - points[a + 1], ez = points[b + 2] - points[a + 2];
    const fx = points[c] - points[a], fy = points[c + 1] - points[a + 1], fz = points[c + 2] - points[a + 2];
    const x = ey * fz - ez * fy, y = ez * fx - ex * fz, z = ex * fy - ey * fx, size = Math.sqrt(x * x + y * y + z * z) || 1;
    found[k] = x / size;
    found[k + 1] = y / size;
    found[k + 2] = z / size;
  }
  return found;
}

export class Triangles {
  // `sorting`: whether triangles that face away are to be left out before they are drawn.
  constructor(gl, points, triangles, sorting) {
    Object.assign(this, { gl, triangles, groups: [], from: null, facing: sorting ? facets(points, triangles) : null });
  }

  indexed(numbers) {
    const gl = this.gl, buffer = gl.createBuffer();
    gl.bindVertexArray(null);
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, buffer);
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, numbers, gl.STATIC_DRAW);
    return { buffer, count: numbers.length };
  }

  // Triangles with a mark, as [numbers, kind]; the last one counts. Each is drawn once, with the mark it has.
  mark(chosen) {
    const kinds = new Uint8Array(this.triangles.length / 3);
    for (const [numbers, kind] of chosen) for (const t of numbers) kinds[t] = kind;
    for (const { index } of this.groups) this.gl.deleteBuffer(index.buffer);
    const many = new Uint32Array(KINDS);
    for (const kind of kinds) many[kind] += 1;
    const lists = Array.from(many, (count) => new Uint32Array(count)), at = new Uint32Array(KINDS);
    kinds.forEach((kind, t) => { lists[kind][at[kind]++] = t; });
    this.groups = lists.flatMap((numbers, kind) => {
      if (!numbers.length) return [];
      const all = new Uint32Array(3 * numbers.length);
      for (let i = 0; i < all.length; i++) all[i] = this.triangles[3 * numbers[Math.floor(i / 3)] + (i % 3)];
      return [{ index: this.indexed(all), kind, numbers, all, seen: new Uint32Array(all.length) }];
    });
    this.from = null;
  }

  // Drawn by software, half of the time goes into triangles that face away: leave them out beforehand. `eye`: towards the
  // eye, in the axes of the part; null: all of them.
  turnAway(eye) {
    const key = String(eye);
    if (!this.facing || this.from === key) return;
    this.from = key;
    const gl = this.gl, { facing } = this, [x, y, z] = eye ?? [0, 0, 0];
    gl.bindVertexArray(null);
    for (const { index, numbers, all, seen } of this.groups) {
      let n = 0;
      for (let i = 0; eye && i < numbers.length; i++) {
        const t = 3 * numbers[i];
        if (facing[t] * x + facing[t + 1] * y + facing[t + 2] * z < GRAZING) continue;
        seen[n++] = all[3 * i];
        seen[n++] = all[3 * i + 1];
        seen[n++] = all[3 * i + 2];
      }
      gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, index.buffer);
      gl.bufferSubData(gl.ELEMENT_ARRAY_BUFFER, 0, eye ? seen : all, 0, eye ? n : all.length);
      index.count = eye ? n : all.length;
    }
  }

  elements({ buffer, count }, kind) {
    this.gl.bindBuffer(this.gl.ELEMENT_ARRAY_BUFFER, buffer);
    this.gl.drawElements(kind, count, this.gl.UNSIGNED_INT, 0);
  }
}
