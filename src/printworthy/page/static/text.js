// The editor of one text: line numbers, save over the version it was made from, what the check says, nothing lost.
import { made, onState, order } from "/static/desk.js";
import { asker } from "/static/whatif.js";

const form = document.getElementById("editor"), area = document.getElementById("text"), numbers = document.getElementById("numbers");
const said = document.getElementById("said"), found = document.getElementById("found"), undo = document.getElementById("undo");
const clash = document.getElementById("clash"), name = form.dataset.name;
let digest = form.dataset.digest, saved = area.value, marked = new Set(), theirs = null, sending = false;

function count() {
  const n = area.value.split("\n").length;
  numbers.replaceChildren(...Array.from({ length: n }, (_, i) => [marked.has(i + 1) ? made("b", {}, `▸${i + 1}`) : String(i + 1), "\n"]).flat());
  numbers.scrollTop = area.scrollTop;
}
function list(problems, remarks = []) {
  marked = new Set(problems.filter((p) => p.name === name).map((p) => p.line));
  found.replaceChildren(...problems.map((p) => {
    const at = p.name === name ? made("button", { type: "button" }, p.at) : p.name ? made("a", { href: `/text/${p.name}#L${p.line}` }, p.at) : made("span", {}, p.at);
    if (p.name === name) at.addEventListener("click", () => go(p.line));
    return made("li", {}, at, ` ${p.field ? p.field + ": " : ""}${p.what}. ${p.do}`);
  }), ...remarks.map((r) => made("li", {}, `worth a look: ${r}`)));
  if (!problems.length && !remarks.length) found.replaceChildren(made("li", {}, "no problems found"));
  count();
}
function go(number) {
  const lines = area.value.split("\n"), at = lines.slice(0, number - 1).reduce((a, l) => a + l.length + 1, 0);
  area.focus();
  area.setSelectionRange(at, at + (lines[number - 1] || "").length);
  area.scrollTop = Math.max(0, (number - 6) * 19.5);
}
function taken(answer, words) {
  digest = answer.digest;
  saved = answer.content;
  if (area.value !== answer.content) area.value = answer.content;
  undo.disabled = !answer.earlier;
  clash.hidden = true;
  said.textContent = words;
  list(answer.problems);
}
function different(now) {
  theirs = now;
  document.getElementById("theirs").textContent = now.content;
  clash.hidden = false;
  said.textContent = "Not saved: the file was changed elsewhere.";
}
async function put(over = digest) {
  sending = true;  // what this page writes itself is no change by another
  try { taken(await order("save", { name, content: area.value, digest: over }), "Saved."); }
  catch (error) { if (error.status === 409) different(error.said.now); else said.textContent = `Not saved: ${error.message}`; }
  sending = false;
}
form.addEventListener("submit", (e) => { e.preventDefault(); put(); });
undo.addEventListener("click", async () => {
  sending = true;
  try { taken(await order("undo", { name, digest }), "The version before is back."); }
  catch (error) { if (error.status === 409) different(error.said.now); else said.textContent = error.message; }
  sending = false;
});
async function check() {
  said.textContent = "Checking";
  const answer = await fetch("/check");
  const all = await answer.json();
  list(all.problems, all.remarks);
  said.textContent = area.value === saved ? "Checked as saved." : "Checked; what is not saved was not.";
}
document.getElementById("check").addEventListener("click", check);
document.getElementById("mine").addEventListener("click", () => put(theirs.digest));
document.getElementById("other").addEventListener("click", () => { area.value = theirs.content; digest = theirs.digest; saved = theirs.content; clash.hidden = true; said.textContent = "The other version stands here now."; count(); });
area.addEventListener("input", count);
if (document.getElementById("whatif")) {
  const ask = asker(document.getElementById("whatif"), document.getElementById("tryingsaid"));
  area.addEventListener("input", () => ask(area.value === saved ? null : { content: area.value }));
}
area.addEventListener("scroll", () => { numbers.scrollTop = area.scrollTop; });
area.addEventListener("keydown", (e) => { if ((e.ctrlKey || e.metaKey) && e.key === "s") { e.preventDefault(); put(); } });
addEventListener("beforeunload", (e) => { if (area.value !== saved) e.preventDefault(); });

let reading = false;
onState(async (state) => {
  const now = state.texts[name];
  if (sending || now === undefined || now === digest || reading || !clash.hidden) return;
  reading = true;
  const page = new DOMParser().parseFromString(await (await fetch(location.pathname)).text(), "text/html");
  reading = false;
  const there = page.getElementById("editor").dataset.digest;
  if (sending || there === digest) return;  // what was told is older than what we wrote
  if (area.value !== saved) { said.textContent = "This file was just changed elsewhere; saving will show both."; return; }
  area.value = saved = page.getElementById("text").value;  // nothing of ours is at stake
  digest = there;
  said.textContent = "Read again: the file was changed elsewhere.";
  count();
});
count();
check();
const asked = /^#L(\d+)$/.exec(location.hash);
if (asked && Number(asked[1])) go(Number(asked[1]));
