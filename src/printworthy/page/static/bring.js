// Bringing a model in: the file, the questions it raises, its report, and the part made of it.
import { made, order } from "/static/desk.js";
import { survey } from "/static/survey.js";

const drop = document.getElementById("drop"), file = document.getElementById("file"), said = document.getElementById("said");
const questions = document.getElementById("questions"), report = document.getElementById("report"), make = document.getElementById("make");
const part = (id) => document.getElementById(id);
let answer = { file: "", unit: null, body: null, mend: false };

function show(found) {
  answer = { file: found.file, unit: found.unit, body: found.body, mend: found.mend };
  said.textContent = found.refused || "";
  for (const q of ["unit", "body", "mend"]) part(q).hidden = found.ask !== q;
  questions.hidden = !found.ask;
  if (found.seen) survey(found, bodies); else part("survey").hidden = true;
  report.hidden = !found.report;
  if (found.ask === "unit") {
    part("unitwords").textContent = `${found.words}.`;
    part("units").replaceChildren(part("units").firstElementChild, ...found.sizes.map((s) => made("label", { class: "check" }, made("input", { type: "radio", name: "unit", value: s.unit }), ` ${s.size} if the numbers are ${s.unit}`)));
  }
  part("mendwords").textContent = "As it is it cannot be used; overlapping bodies count as one where it is mended.";
  if (found.report) {
    const r = found.report;
    part("facts").replaceChildren(...Object.entries({ size: r.size, unit: r.unit, volume: r.volume, surface: r.surface, body: r.body }).map(([k, v]) => made("div", {}, made("dt", {}, k), made("dd", {}, v))));
    const lines = [...r.found.map((l) => `found: ${l}`), ...r.mended.map((l) => `mended: ${l}`)];
    part("mended").replaceChildren(...(lines.length ? lines : ["nothing wrong"]).map((l) => made("li", {}, l)));
    if (found.suggested && !make.name.value) make.name.value = found.suggested;
  }
}
// A file of several bodies asks which, whatever else it asks: a sound one may lie among broken ones.
function bodies({ bodies: listed, findings }, onChosen) {
  part("body").hidden = listed.length < 2;
  if (listed.length < 2) return;
  questions.hidden = false;
  part("bodywords").textContent = `The file holds ${listed.length}; one of them is the part. Bodies that are one part must be joined in CAD.`;
  if (!answer.mend && findings.some((f) => f.kind === "crossing")) part("mend").hidden = false;
  const rows = listed.map((b) => made("label", { class: "check" }, made("input", { type: "radio", name: "body", value: b.number, checked: b.number === answer.body }), `${b.number}${b.name ? ` ${b.name}` : ""}: ${b.size}, ${b.open ? `not closed, ${b.open} open edges` : b.volume}`));
  part("bodies").replaceChildren(part("bodies").firstElementChild, ...rows);
  part("bodies").onchange = (e) => onChosen(Number(e.target.value));
}
async function send(f) {
  said.textContent = `Reading ${f.name}`;
  make.elements.name.value = "";
  try {
    const reply = await fetch(`/do/bring?name=${encodeURIComponent(f.name)}`, { method: "POST", body: f });
    const found = reply.headers.get("content-type")?.includes("json") ? await reply.json() : { error: await reply.text() };
    if (!reply.ok) throw new Error(found.error);
    if (found.suggested) make.elements.name.value = found.suggested;
    show(found);
  } catch (error) { said.textContent = error.message; questions.hidden = report.hidden = part("survey").hidden = true; }
}
file.addEventListener("change", () => { if (file.files[0]) send(file.files[0]); });
if (file.files[0]) send(file.files[0]);  // chosen before this was loaded
for (const kind of ["dragover", "dragenter"]) drop.addEventListener(kind, (e) => { e.preventDefault(); drop.classList.add("over"); });
drop.addEventListener("dragleave", () => drop.classList.remove("over"));
drop.addEventListener("drop", (e) => { e.preventDefault(); drop.classList.remove("over"); if (e.dataTransfer.files[0]) send(e.dataTransfer.files[0]); });
part("again").addEventListener("click", async () => {
  const unit = questions.querySelector("[name=unit]:checked");
  if (unit && !part("unit").hidden) answer.unit = unit.value;
  const body = questions.querySelector("[name=body]:checked");
  if (body && !part("body").hidden) answer.body = Number(body.value);
  if (!part("mend").hidden) answer.mend = part("mending").checked;
  said.textContent = "Looking";
  try { show(await order("look", answer)); } catch (error) { said.textContent = error.message; }
});
make.addEventListener("submit", async (e) => {
  e.preventDefault();
  const f = make.elements;
  try {
    const done = await order("make-part", { ...answer, name: f.name.value, title: f.title.value, role: f.role.value, material: f.material.value, cool: f.cool.value });
    location.href = `/part/${done.name}`;
  } catch (error) { said.textContent = error.message; }
});
