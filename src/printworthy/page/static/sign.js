// Signing the verdict that is shown, or taking a signature back; what is refused is said in a line.
import { order } from "/static/desk.js";

const form = document.getElementById("sign"), place = document.getElementById("signing").dataset, said = document.getElementById("signsaid");
async function send(verb) {
  const { who, words } = form.elements;
  if (!who.reportValidity()) return;
  try {
    const found = await order(verb, { part: place.part, read: place.read, who: who.value, words: words.value });
    document.getElementById("signstate").textContent = `${found.words}${words.value ? `: “${words.value}”` : ""}`;
    document.getElementById("revoke").disabled = found.state === "revoked";
    said.textContent = `Recorded as ${found.record}.`;
    words.value = "";
  } catch (error) { said.textContent = error.message; }
}
form?.addEventListener("submit", (e) => { e.preventDefault(); send("sign"); });
document.getElementById("revoke")?.addEventListener("click", () => send("revoke"));
