// Bringing a model in: the file, the questions it raises, its report, and the part made of it.
import { made, order } from "/static/desk.js";

const drop = document.getElementById("drop"), file = document.getElementById("file"), said = document.getElementById("said");
const questions = document.getElementById("questions"), report = document.getElementById("report"), make = document.getElementById("make");
const part = (id) => document.getElementById(id);
let answer = { file: "", unit: null, body: null, mend: false };

function show(found) {
  answer = { file: found.file, unit: found.unit, body: found.body, mend: found.mend };
  said.textContent = found.refused || "";
  for (const q of ["unit", "body", "mend"]) part(q).hidden = found.ask !== q;
  questions.hidden = !found.ask;
  report.hidden = !found.report;
  if (found.ask === "unit") {
    part("unitwords").textContent = `${found.words}.`;
    part("units").replaceChildren(part("units").firstElementChild, ...found.sizes.map((s) => made("label", { class: "check" }, made("input", { type: "radio", name: "unit", value: s.unit }), ` ${s.size} if the numbers are ${s.unit}`)));
  }
  if (found.ask === "body") part("bodywords").textContent = found.words;
  if (found.ask === "mend") part("mendwords").textContent = "It cannot be used as it is.";
  if (found.report) {
    const r = found.report;
    part("facts").replaceChildren(...Object.entries({ size: r.size, unit: r.unit, volume: r.volume, surface: r.surface, body: r.body }).map(([k, v]) => made("div", {}, made("dt", {}, k), made("dd", {}, v))));
    const lines = [...r.found.map((l) => `found: ${l}`), ...r.mended.map((l) => `mended: ${l}`)];
    part("mended").replaceChildren(...(lines.length ? lines : ["nothing wrong"]).map((l) => made("li", {}, l)));
    if (found.suggested && !make.name.value) make.name.value = found.suggested;
  }
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
  } catch (error) { said.textContent = error.message; questions.hidden = report.hidden = true; }
}
file.addEventListener("change", () => { if (file.files[0]) send(file.files[0]); });
for (const kind of ["dragover", "dragenter"]) drop.addEventListener(kind, (e) => { e.preventDefault(); drop.classList.add("over"); });
drop.addEventListener("dragleave", () => drop.classList.remove("over"));
drop.addEventListener("drop", (e) => { e.preventDefault(); drop.classList.remove("over"); if (e.dataTransfer.files[0]) send(e.dataTransfer.files[0]); });
part("again").addEventListener("click", async () => {
  const unit = questions.querySelector("[name=unit]:checked");
  if (unit && !part("unit").hidden) answer.unit = unit.value;
  if (!part("body").hidden && part("bodynumber").value) answer.body = Number(part("bodynumber").value);
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
