// What is wrong with a brought file, drawn on the file itself; its bodies, to be chosen by a click.
import { hands, look } from "/static/hands.js";
import { made } from "/static/desk.js";
import { Marks } from "/static/marks.js";
import { fetched } from "/static/space.js";
import { View } from "/static/view.js";

const get = (id) => document.getElementById(id), canvas = get("canvas");
const LETTER = { open: "O", crossing: "X", crowded: "M" }, KIND = { crossing: 4, turned: 2, inward: 2, sheet: 2 };
const DRAWN = { crossing: "striped orange and brown", turned: "dotted", inward: "dotted", sheet: "dotted", open: "thick line", crowded: "thick line" };
const NUMBERED = 24, AMONG_FAULTS = 6;
let view, marks, scene = null, chosen = 0, told = null;

// Bodies beside the chosen one are pale; before one is chosen, those that are not closed are hatched.
function mark() {
  const { head, arrays } = scene, drawn = [];
  const pale = head.bodies.filter((b) => (chosen ? b.number !== chosen : b.open && head.bodies.length > 1)).map((b) => b.number);
  const numbers = new Set(pale);
  drawn.push([[...arrays.body.keys()].filter((t) => numbers.has(arrays.body[t])), chosen ? 5 : 1]);
  head.findings.forEach((f, i) => { if (KIND[f.kind]) drawn.push([arrays[`marked${i}`], KIND[f.kind]]); });
  view.mark(drawn);
  view.draw();
}

function choose(number) { chosen = number; mark(); }

function clicked(x, y) {
  const hit = view.under(x, y);
  if (!hit || scene.head.bodies.length < 2) return;
  const number = scene.arrays.body[hit.triangle], radio = document.querySelector(`#bodies input[value="${number}"]`);
  if (radio) radio.checked = true;
  get("told").textContent = `Body ${number} is chosen: look again to use it.`;
  choose(number);
}

// A place on each body for its number: the corner nearest to the middle of the body.
function places() {
  const { bodies } = scene.head, { body } = scene.arrays, sums = bodies.map(() => [0, 0, 0, 0]), best = bodies.map(() => [Infinity, null]);
  const corner = (t) => { const a = 3 * view.triangles[3 * t]; return [view.points[a], view.points[a + 1], view.points[a + 2]]; };
  body.forEach((b, t) => { const c = corner(t), s = sums[b - 1]; for (let k = 0; k < 3; k++) s[k] += c[k]; s[3] += 1; });
  body.forEach((b, t) => {
    const c = corner(t), s = sums[b - 1], d = Math.hypot(...c.map((v, k) => v - s[k] / s[3]));
    if (d < best[b - 1][0]) best[b - 1] = [d, c];
  });
  return best.map(([, place], i) => ({ place, letter: String(i + 1), square: true }));
}

function label() {
  const { head, arrays } = scene, tags = [], key = [];
  head.findings.forEach((f, i) => {
    const letter = LETTER[f.kind];
    key.push([letter ?? "", `${f.words} (${DRAWN[f.kind]})`]);
    f.spots.forEach((s, k) => {
      tags.push({ place: s.point, letter: `${letter}${k + 1}` });
      const near = made("button", { type: "button", "aria-label": `Show ${letter}${k + 1} near` }, `${letter}${k + 1}`);
      near.addEventListener("click", () => { view.near(s.point); view.draw(); });
      key.push([near, s.words]);
    });
    if (f.more) key.push(["", `and ${f.more} more, smaller`]);
    if (arrays[`lines${i}`].length) {
      const strip = view.strip();
      view.put(strip, arrays[`lines${i}`]);
      view.faults.push(strip);
    }
  });
  if (head.bodies.length > 1) tags.push(...places().slice(0, head.findings.length ? AMONG_FAULTS : NUMBERED));
  if (!key.length) key.push(["", "nothing is wrong with the surface as the file holds it"]);
  else key.push(["", "thin lines are seen through the part; dark and hatched: the inside of the surface"]);
  marks.tags = tags;
  get("faults").replaceChildren(...key.map(([k, v]) => made("div", {}, made("dt", {}, k), made("dd", {}, v))));
}

// Draw a file as it was answered about; `list(head, choose)` shows its bodies.
export async function survey(found, list) {
  const q = new URLSearchParams({ unit: found.unit ?? "", mend: found.mend ? "1" : "0" });
  const asked = (told = `/brought/${encodeURIComponent(found.file)}?${q}`);
  get("survey").hidden = false;
  get("told").textContent = "Drawing the file";
  try {
    const now = await fetched(asked);
    if (asked !== told) return;
    scene = now;
    if (!view) {
      view = new View(canvas, () => marks?.draw());
      Object.assign(view, { both: true, bed: false, columns: false });
      marks = new Marks(get("over"), view);
      marks.bed = false;
      hands(view, clicked);
      for (const b of document.querySelectorAll("[data-look]")) b.addEventListener("click", () => look(view, b.dataset.look));
    }
    view.faults = [];
    view.load(scene.arrays);
    chosen = found.body ?? 0;
    label();
    mark();
    list(scene.head, choose);
    const some = scene.head.findings.length, many = scene.head.bodies.length;
    get("told").textContent = `${many === 1 ? "One body" : `${many} bodies`}, ${some ? "with faults where the lines, hatches and letters are." : "without fault."} Drag to turn, wheel to zoom.`;
    canvas.dataset.shown = String(Number(canvas.dataset.shown ?? 0) + 1);
  } catch (error) { get("told").textContent = error.message; }
}
