import { order } from "/static/desk.js";

const start = document.getElementById("start");
start?.addEventListener("submit", async (e) => {
  e.preventDefault();
  try {
    await order("begin", { title: start.elements.title.value, low: start.elements.low.value, high: start.elements.high.value });
    location.reload();
  } catch (error) { document.getElementById("startsaid").textContent = error.message; }
});

// Filters and order of the table of parts; kept in the address, so that a reload shows the same.
const form = document.getElementById("filters"), body = document.querySelector("#table tbody");
if (form && body) {
  const rows = [...body.rows], wanted = new URLSearchParams(location.hash.slice(1));
  if (wanted.has("find")) form.find.value = wanted.get("find");
  if (wanted.has("sort")) form.sort.value = wanted.get("sort");
  if (wanted.has("turned")) form.turned.checked = true;
  if (wanted.has("without")) for (const box of form.querySelectorAll("[name=word]")) box.checked = !wanted.getAll("without").includes(box.value);

  function apply() {
    const find = form.find.value.trim().toLowerCase();
    const words = new Set([...form.querySelectorAll("[name=word]:checked")].map((b) => b.value));
    const key = form.sort.value;
    const order = key ? [...rows].sort((a, b) => Number(b.dataset[key]) - Number(a.dataset[key])) : rows;
    let shown = 0;
    for (const row of order) {
      row.hidden = !(words.has(row.dataset.word) && (!form.turned.checked || row.dataset.changed === "1") && row.textContent.toLowerCase().includes(find));
      shown += !row.hidden;
      body.append(row);
    }
    document.getElementById("shown").textContent = `${shown} of ${rows.length} parts`;
    const kept = new URLSearchParams();
    if (find) kept.set("find", form.find.value);
    if (key) kept.set("sort", key);
    if (form.turned.checked) kept.set("turned", "1");
    for (const box of form.querySelectorAll("[name=word]:not(:checked)")) kept.append("without", box.value);
    history.replaceState(null, "", kept.size ? `#${kept}` : location.pathname);
  }
  form.addEventListener("input", apply);
  form.addEventListener("submit", (e) => e.preventDefault());
  apply();
}
