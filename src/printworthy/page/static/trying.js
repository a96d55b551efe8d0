// The form of figures on the page of the ride.
import { order } from "/static/desk.js";
import { asker } from "/static/whatif.js";

const form = document.getElementById("trying"), said = document.getElementById("tryingsaid");
const inputs = [...form.querySelectorAll("input")], keep = form.querySelector("[type=submit]");
const ask = asker(document.getElementById("whatif"), said);

function figures() { return Object.fromEntries(inputs.filter((i) => i.value.trim() !== i.dataset.stated).map((i) => [i.name, i.value])); }
function asked() {
  const found = figures(), any = Object.keys(found).length > 0;
  keep.disabled = !any;
  ask(any ? { figures: found } : null);
}
form.addEventListener("input", asked);
form.addEventListener("reset", () => setTimeout(asked));
form.addEventListener("submit", async (e) => {
  e.preventDefault();
  try {
    const answer = await order("keep", { figures: figures() });
    for (const i of inputs) i.dataset.stated = i.value.trim();
    keep.disabled = true;
    said.textContent = answer.problems.length ? `Kept, with ${answer.problems.length} problems in the texts.` : "Kept in vehicle.toml; what it does is told below. Assess what changed to have it in full.";
  } catch (error) { said.textContent = `Not kept: ${error.message}`; }
});
