// The page of one part: viewer and sphere of directions together, what a click says, faces by clicking.
import { Disc } from "/static/disc.js";
import { naming } from "/static/faces.js";
import { hands, look } from "/static/hands.js";
import { Marks } from "/static/marks.js";
import { made, order } from "/static/desk.js";
import { dot, fetched, plus, scaled, unit } from "/static/space.js";
import { NO_CUT, View } from "/static/view.js";

const get = (id) => document.getElementById(id);
const work = get("work"), name = encodeURIComponent(work.dataset.part), tools = get("tools").elements, told = get("told"), canvas = get("canvas");
const CHANGE = [-0.5, -0.3, -0.15, -0.05, 0.05, 0.15, 0.3, 0.5];
const CHANGE_BANDS = [[16, 78, 139], [74, 134, 186], [151, 190, 220], [236, 235, 230], [240, 190, 150], [217, 134, 76], [163, 76, 22]];
let view, marks, disc, scene, n = null, shown = null, base = null, current = null;

// Rounded up, as in every table, so that no value above the limit reads as 1.00.
const answer = (v) => (v === null ? "–" : (Math.ceil(100 * v - 1e-7) / 100).toFixed(2));

let scaleShown = null;
function legend(levels, bands, limit, unitName) {
  if (scaleShown === bands) return;  // the same scale as before
  scaleShown = bands;
  get("scale").replaceChildren(...bands.map((b, i) => {
    const bar = made("i"), step = made("div", { class: levels[i] === limit ? "limit" : "" }, bar, made("span", {}, levels[i] === limit ? "limit" : `${Number(levels[i].toPrecision(3))}${i === 0 && unitName ? " " + unitName : ""}`));
    bar.style.background = levels[i] >= limit ? `repeating-linear-gradient(45deg, rgb(${b}) 0 4px, #461806 4px 7px)` : `rgb(${b})`;
    return step;
  }));
  view.scale(levels, bands, limit);
}

// The values that the choice under the picture asks for, and their scale.
function repaint(moving = false) {
  const paint = tools.paint.value;
  get("scale").hidden = paint === "layers" || paint === "plain";
  view.paint = { layers: 1, plain: 2 }[paint] ?? 0;
  if (paint === "field" && current) { legend(scene.head.levels, scene.head.bands, 1, ""); view.values(current); }
  else if (paint === "change" && current && base) { legend(CHANGE, CHANGE_BANDS, Infinity, ""); view.values(current.map((v, i) => Math.max(-0.499, Math.min(0.499, v - base[i])))); }
  else if (paint === "temperature" && scene.arrays.temperature) {
    const t = scene.arrays.temperature, low = t.reduce((a, b) => Math.min(a, b)), high = Math.max(low + 1, t.reduce((a, b) => Math.max(a, b)));
    legend(Array.from({ length: 9 }, (_, i) => low + ((high - low) * i) / 8), scene.head.warm, Infinity, "°C");
    view.values(t);
  } else if (view.paint === 0) view.paint = 2;
  if (paint === "layers") told.textContent = `One stripe stands for ${Number((view.tall / 36 / scene.head.layer).toPrecision(2))} layers of ${scene.head.layer} mm; hatched: overhang beyond ${scene.head.overhang}° that needs support.`;
  if (moving) view.paintNow(true, true); else view.draw();
}

// ---- directions: the newest wish is put as soon as the last one is answered --------------------------------------------

let busy = false, wish = null, later = 0, asked = null, began = 0;
function pick(direction) {
  n = unit(direction);
  disc?.show(n);
  began = performance.now();
  wish = { began, direction: n };
  if (!busy) turn();
}
async function turn() {
  busy = true;
  while (wish) {
    const { began, direction } = wish;
    wish = null;
    const q = new URLSearchParams({ x: direction[0], y: direction[1], z: direction[2], case: tools.case.value, mode: tools.mode.value, moved: Number(tools.deformed.value) ? "1" : "0" });
    try {
      const found = await fetched(`/part/${name}/turned?${q}`);
      work.dataset.answered = (performance.now() - began).toFixed(1);
      shown = found.head;
      current = found.arrays.field;
      if (found.arrays.moved) deform(found.arrays.moved);
      view.stand(direction);
      view.columns = false;
      marks.spot = { place: shown.spot, text: `Governs here: ${answer(shown.shown)}` };
      repaint(true);
      work.dataset.repaint = (performance.now() - began).toFixed(1);
      work.dataset.turned = String(Number(work.dataset.turned || 0) + 1);
      read();
    } catch (error) { told.textContent = error.message; }
  }
  busy = false;
  clearTimeout(later);
  later = setTimeout(follow, 400);
}
function read() {
  get("r-words").textContent = shown.words;
  get("r-map").textContent = `${answer(shown.utilisation)} of 1${scene.head.error ? `, off by ${(100 * scene.head.error).toPrecision(1)} % at most where it was checked` : ""}${scene.head.heated ? "; each place as hot as the hottest of several directions makes it" : ""}`;
  get("r-mode").textContent = `${shown.mode}; ${shown.case}`;
  const known = solved(n);
  if (known) exactly(known); else get("r-exact").textContent = "is being solved";
  get("r-time").textContent = "–";
  const tilt = (Math.acos(Math.max(-1, Math.min(1, n[2]))) * 180) / Math.PI;
  write("tilt", tilt);
  if (tilt > 0.5 && tilt < 179.5) write("azimuth", (Math.atan2(n[1], n[0]) * 180) / Math.PI);
}
// A direction that the run has solved, either way round, needs no second solution.
const solved = (direction) => scene.head.notable.find((d) => d.exact && Math.abs(dot(d.direction, direction)) > 1 - 1e-9)?.exact;
function exactly(found) {
  get("r-exact").replaceChildren(made("strong", {}, `${answer(found.utilisation)} of 1`), `: ${found.word}, ${found.material}`);
  get("r-mode").textContent = `${found.mode}; ${found.case}`;
}
// Never over what somebody is typing.
function write(id, degrees) { if (document.activeElement !== get(id)) get(id).value = Math.round(degrees); }
async function follow() {
  const direction = n, q = new URLSearchParams({ x: n[0], y: n[1], z: n[2] });
  fetched(`/part/${name}/standing?${q}`).then(({ head, arrays }) => {
    if (direction !== n) return;
    get("r-height").textContent = `${head.height}, ${head.layers} layers`;
    get("r-support").textContent = `${head.support}; overhang ${head.overhang}`;
    get("r-bed").textContent = `${head.room}; ${head.stands}`;
    view.put(view.support, arrays.columns);
    view.columns = tools.columns.checked;
    view.draw();
  }).catch((error) => { get("r-bed").textContent = error.message; });
  const mine = (asked = {}), where = { part: work.dataset.part, x: n[0], y: n[1], z: n[2] }, past = (found) => mine !== asked || direction !== n || found.superseded;
  let row = "r-exact";
  try {
    if (!solved(direction)) {
      const found = await order("exact", where);
      if (past(found)) return;
      exactly(found);
    }
    row = "r-time";
    const piece = await order("making", where);
    if (!past(piece)) get("r-time").textContent = `${piece.time}${piece.cost ? `; ${piece.cost}` : ""}`;
  } catch (error) { if (mine === asked) get(row).textContent = error.message; }
}

function deform(moved) {
  view.shifts(moved);
  let most = 1e-12;
  for (let i = 0; i < moved.length; i += 3) most = Math.max(most, Math.hypot(moved[i], moved[i + 1], moved[i + 2]));
  view.most = most;
  stretch();
}
function stretch() {
  const step = Number(tools.deformed.value), raw = step && view.most ? (0.02 * step * view.extent) / view.most : 0;
  view.stretch = raw ? Number(raw.toPrecision(2)) : 0;
  tools.times.value = view.stretch ? `× ${view.stretch}, case ${shown ? shown.deformed + 1 : ""}` : "as is";
}

// ---- the picture ------------------------------------------------------------------------------------------------------

function cut() {
  const axis = tools.cutaxis.value, share = Number(tools.cut.value) / 1000;
  if (axis === "") { view.cut = NO_CUT; return; }
  const along = axis === "3" ? view.build : [0, 1, 2].map((i) => Number(i === Number(axis))), ends = view.corners().map((c) => dot(c, along));
  view.cut = [...along, Math.min(...ends) + share * (Math.max(...ends) - Math.min(...ends))];
}
function faces(chosen = []) {
  const drawn = [];
  if (tools.marks.checked) {
    const held = new Set(scene.head.supports.map((s) => s.face));
    const picked = tools.case.value !== "" ? Object.keys(scene.head.loads)[Number(tools.case.value)] : shown?.case;
    const loaded = new Set((scene.head.loads[picked] ?? []).map((l) => l.face));
    scene.head.faces.forEach((f, i) => { if (loaded.has(f)) drawn.push([scene.arrays[`face${i}`], 2]); });
    scene.head.faces.forEach((f, i) => { if (held.has(f)) drawn.push([scene.arrays[`face${i}`], 1]); });
  }
  if (chosen.length) drawn.push([chosen, 3]);
  view.mark(drawn);
}
function loads() {
  const cases = Object.keys(scene.head.loads), picked = tools.case.value !== "" ? cases[Number(tools.case.value)] : shown?.case ?? scene.head.governs ?? cases[0];
  marks.loads = tools.marks.checked ? scene.head.loads[picked] ?? [] : [];
  marks.supports = tools.marks.checked ? scene.head.supports : [];
  const key = [...marks.loads.map((l, i) => [`L${i + 1}`, l.text]), ...marks.supports.map((s, i) => [`S${i + 1}`, s.text])];
  if (marks.spot) key.unshift(["G", marks.spot.text]);
  if (marks.loads.length && picked) key.push(["", `loads of ${picked}, without the factor on load`]);
  get("viewkey").replaceChildren(...key.map(([k, v]) => made("div", {}, made("dt", {}, k), made("dd", {}, v))));
}

let chosenFace = [];
function changed(e) {
  view.edges = tools.edges.checked;
  view.bed = tools.bed.checked;
  view.columns = tools.columns.checked;
  get("stage").classList.toggle("aiming", true);
  cut();
  faces(chosenFace);
  if (e && ["case", "mode"].includes(e.target.name) && scene.head.turns) pick(n);
  else if (e?.target.name === "deformed" && Number(tools.deformed.value) && !view.most) pick(n);
  else { stretch(); repaint(); }
  loads();
}

function clicked(x, y) {
  const hit = view.under(x, y);
  if (!hit) { marks.probe = null; view.draw(); return; }
  const at = hit.place.map((c) => c.toFixed(1)).join(", ");
  const on = scene.head.faces.filter((f, i) => scene.arrays[`face${i}`].includes(hit.triangle));
  if (tools.click.value === "face") { naming.at(work.dataset.part, hit.place); marks.probe = { place: hit.place, text: "" }; view.draw(); return; }
  const value = view.paint === 0 && hit.value !== null ? `${answer(hit.value)}${tools.paint.value === "temperature" ? " °C" : ""}` : "";
  marks.probe = { place: hit.place, text: value };
  if (hit.triangle < 0) told.textContent = `inside the part at (${at}) mm, on the cut: values are kept for its skin alone`;
  else told.textContent = `${value ? `${value} ` : ""}at (${at}) mm${on.length ? `, on face ${on.join(", ")}` : ""}`;
  view.draw();
}

// The directions that nothing beats: pictures, and a table whose rows put them on the bed.
async function unbeaten() {
  const said = get("unbeatentold"), sheet = get("weighed").closest(".sheet");
  if (!get("pareto").open || !sheet.hidden) return;
  try {
    const found = await order("unbeaten", { part: work.dataset.part });
    if (found.superseded) return;
    get("unbeaten").replaceChildren(...found.pictures.map((p) => made("div", { class: "plate" }, document.importNode(new DOMParser().parseFromString(p, "image/svg+xml").documentElement, true))));
    get("weighed").replaceChildren(...found.rows.map((r, i) => {
      const up = made("button", { type: "button" }, r.words);
      up.addEventListener("click", () => pick(r.direction));
      return made("tr", {}, made("th", { scope: "row" }, i ? String(i) : "A"), made("td", {}, up), ...["used", "support", "height", "time", "cost"].map((k) => made("td", { class: "number" }, r[k])));
    }));
    sheet.hidden = false;
    said.textContent = "";
  } catch (error) { said.textContent = error.message; }
}

async function begin() {
  scene = await fetched(`/part/${name}/scene`);
  const { head, arrays } = scene;
  view = new View(canvas, (whole) => { marks?.draw(); if (whole && began) work.dataset.whole = (performance.now() - began).toFixed(1); });
  marks = new Marks(get("over"), view);
  hands(view, clicked);
  view.load(arrays);
  view.sine = Math.sin((Math.min(head.overhang + 0.1, 90) * Math.PI) / 180);
  view.first = head.layer;
  current = arrays.utilisation ?? null;
  if (!current) { tools.paint.value = "plain"; for (const o of ["field", "change"]) tools.paint.querySelector(`[value=${o}]`).disabled = true; }
  tools.paint.querySelector("[value=temperature]").disabled = !arrays.temperature;
  for (const control of [tools.case, tools.mode, tools.deformed, tools.paint.querySelector("[value=change]")]) control.disabled = !head.turns;
  if (head.spot) marks.spot = { place: head.spot, text: `Governs here: ${head.spot_words}` };
  n = head.direction ?? [0, 0, 1];
  view.stand(n);
  view.fit();
  if (head.turns && get("disc")) {
    disc = new Disc(get("disc"), `/part/${name}/disc.png`, head.notable, pick);
    const list = get("notable");
    list.replaceChildren(made("option", { value: "" }, "choose"), ...head.notable.map((d, i) => made("option", { value: i }, `(${d.direction.map((c) => c.toFixed(2)).join(", ")}) ${d.words}`)));
    list.addEventListener("change", () => { if (list.value !== "") pick(head.notable[Number(list.value)].direction); });
    for (const id of ["tilt", "azimuth"]) get(id).addEventListener("change", () => { const t = (get("tilt").value * Math.PI) / 180, a = (get("azimuth").value * Math.PI) / 180; pick([Math.sin(t) * Math.cos(a), Math.sin(t) * Math.sin(a), Math.cos(t)]); });
    get("over-turn").addEventListener("click", () => pick(scaled(n, -1)));
    get("pareto").addEventListener("toggle", unbeaten);
    if (matchMedia("(min-width: 2400px)").matches) get("pareto").open = true;
    if (head.map_material !== head.material) told.textContent = `The answer is in ${head.material}; the directions shown beside are those of ${head.map_material}.`;
  }
  changed();
  view.paintNow(true);
  get("wait").hidden = true;
  work.dataset.ready = performance.now().toFixed(0);
  if (head.turns) {
    const q = new URLSearchParams({ x: n[0], y: n[1], z: n[2] });
    base = (await fetched(`/part/${name}/turned?${q}`)).arrays.field;
    pick(n);
  }
}

get("tools").addEventListener("input", changed);
get("tools").addEventListener("submit", (e) => e.preventDefault());
for (const b of document.querySelectorAll("[data-look]")) b.addEventListener("click", () => look(view, b.dataset.look));
for (const b of document.querySelectorAll("[data-face]")) {
  b.addEventListener("click", () => {
    const on = b.getAttribute("aria-pressed") !== "true", i = scene.head.faces.indexOf(b.dataset.face);
    for (const other of document.querySelectorAll("[data-face]")) other.setAttribute("aria-pressed", "false");
    b.setAttribute("aria-pressed", String(on));
    chosenFace = on && i >= 0 ? scene.arrays[`face${i}`] : [];
    if (on && i < 0) told.textContent = "This face is not on the drawn skin yet: assess the part.";
    faces(chosenFace);
    view.draw();
  });
}
naming.onProposal = (places) => {
  // the proposal's facets are those of the meshed skin; on an unassessed part, whose skin is the file's, its patch stands in
  chosenFace = places;
  faces(chosenFace);
  view.draw();
};
naming.drawnPatch = (place) => {
  let best = 0, nearest = Infinity;
  for (let t = 0; t < view.triangles.length / 3; t++) {
    let c = [0, 0, 0];
    for (let k = 0; k < 3; k++) { const a = 3 * view.triangles[3 * t + k]; c = plus(c, [view.points[a], view.points[a + 1], view.points[a + 2]], 1 / 3); }
    const d = Math.hypot(c[0] - place[0], c[1] - place[1], c[2] - place[2]);
    if (d < nearest) { nearest = d; best = t; }
  }
  const patch = scene.arrays.patches[best];
  return Uint32Array.from([...scene.arrays.patches.keys()].filter((t) => scene.arrays.patches[t] === patch));
};
naming.assessed = () => scene.head.spot !== null;
begin().catch((error) => { get("wait").textContent = error.message; });
