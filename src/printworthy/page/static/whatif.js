// What other figures of the vehicle do, asked while they are typed: handling at once, then parts and the drop limit.
import { made, order } from "/static/desk.js";

const PAUSE = 350;  // ms without a key before the question goes out

export function asker(place, said) {
  let wanted = null, timer = 0, busy = false;
  function put(answer) {
    const parts = [...new DOMParser().parseFromString(answer.html, "text/html").body.childNodes];
    if (answer.problems.length) parts.push(made("ul", {}, ...answer.problems.map((p) => made("li", {}, `${p.at} ${p.field ? p.field + ": " : ""}${p.what}. ${p.do}`))));
    place.replaceChildren(...parts);
    place.hidden = !parts.length;
    return !answer.problems.length;
  }
  async function go() {
    if (busy) return;  // the answer under way asks again
    busy = true;
    while (wanted) {
      const now = wanted;
      said.textContent = "Computing";
      try {
        const sound = put(await order("vary", { ...now, whole: false }));
        place.dataset.told = "handling";
        if (sound && wanted === now) {
          put(await order("vary", { ...now, whole: true }));
          place.dataset.told = "whole";
        }
        said.textContent = sound ? "Told; nothing is written yet." : "These figures cannot be: see below.";
      } catch (error) { place.hidden = true; said.textContent = error.message; }
      if (wanted === now) wanted = null;
    }
    busy = false;
  }
  return (question) => {
    clearTimeout(timer);
    delete place.dataset.told;
    wanted = question;
    if (!question) { place.hidden = true; said.textContent = ""; return; }
    timer = setTimeout(go, PAUSE);
  };
}
