// Naming a face that was clicked: selectors to choose from, what it is used for, written into the text of the part.
import { made, order } from "/static/desk.js";

const get = (id) => document.getElementById(id);
const form = get("faceform"), told = get("facetold"), problems = get("faceproblems");
let part = "", place = null, offered = [];

export const naming = { onProposal: () => {}, drawnPatch: () => [], assessed: () => false, at };

function picked() {
  const i = Number(form.querySelector("[name=selector]:checked")?.value ?? -1);
  if (i >= 0) naming.onProposal(naming.assessed() ? Uint32Array.from(offered[i].facets) : naming.drawnPatch(place));
}

async function at(name, where) {
  part = name;
  place = where;
  get("naming").hidden = false;
  told.textContent = "Looking for what finds this face again; the first time the part is meshed for it.";
  get("proposals").replaceChildren(get("proposals").firstElementChild);
  naming.onProposal(naming.drawnPatch(place));
  try {
    const found = await order("propose", { part, point: where });
    if (found.superseded) return;
    offered = found.proposals;
    get("proposals").append(...offered.map((p, i) => made("label", { class: "check" },
      made("input", { type: "radio", name: "selector", value: i, checked: i === 0 }),
      made("span", {}, `${p.words}${p.patches > 1 ? `: ${p.patches} smooth patches` : ""}`, made("code", {}, p.text)))));
    told.textContent = offered.length ? "" : "Nothing finds this face again.";
    picked();
    form.elements.name.focus();
  } catch (error) { told.textContent = error.message; }
}

function list(found) {
  problems.replaceChildren(...found.map((p) => made("li", {}, p.name ? made("a", { href: `/text/${p.name}#L${p.line}` }, p.at) : p.at, ` ${p.what}. ${p.do}`)));
}
form.addEventListener("change", (e) => {
  if (e.target.name === "selector") picked();
  for (const use of ["support", "load"]) form.querySelector(`.for-${use}`).hidden = form.elements.as.value !== use;
});
form.addEventListener("submit", async (e) => {
  e.preventDefault();
  const i = Number(form.querySelector("[name=selector]:checked")?.value ?? -1), f = form.elements;
  if (i < 0) { told.textContent = "Click a face first."; return; }
  const use = Object.fromEntries(["as", "kind", "stiffness", "load", "value", "case", "case_kind", "source"].map((k) => [k, f[k].value]));
  try {
    const done = await order("add-face", { part, name: f.name.value, selector: offered[i].text, use });
    told.textContent = `Written into ${done.name}.${done.problems.length ? " The check says:" : ""}`;
    list(done.problems);
  } catch (error) { told.textContent = error.status === 409 ? "The text was changed elsewhere just now; try again." : error.message; }
});
get("undo").addEventListener("click", async () => {
  try {
    const done = await order("undo", { part: part || get("work").dataset.part });
    told.textContent = `${done.name} is as it was before.`;
    list(done.problems);
  } catch (error) { told.textContent = error.message; }
});
