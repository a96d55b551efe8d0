// What every page shares: the state told by the server, jobs with their progress, orders to the server.

export async function order(verb, data) {
  const answer = await fetch(`/do/${verb}`, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(data) });
  let said;
  try { said = await answer.json(); } catch { said = { error: `the page was not answered (${answer.status})` }; }
  if (!answer.ok) throw Object.assign(new Error(said.error || "refused"), { status: answer.status, said });
  return said;
}

// A new element with attributes and children; texts become text, never markup.
export function made(tag, attributes = {}, ...children) {
  const e = document.createElement(tag);
  for (const [k, v] of Object.entries(attributes)) if (v !== false && v != null) e.setAttribute(k, v === true ? "" : v);
  e.append(...children.filter((c) => c != null));
  return e;
}

const heard = [];
let state = null;
export function onState(f) { heard.push(f); if (state) f(state); }

const strip = document.getElementById("jobs"), fresh = document.getElementById("fresh");
const seen = new Set();
let first = true, run = null, touched = false;
for (const kind of ["input", "change", "drop"]) document.addEventListener(kind, () => { touched = true; }, true);

function duration(s) { return s < 90 ? `${Math.round(s)} s` : `${Math.floor(s / 60)} min ${Math.round(s % 60)} s`; }

function line(job) {
  const what = job.kept ? "gathering what is kept" : job.parts.length ? job.parts.join(", ") : "all parts";
  const busy = job.state === "running" || job.state === "waiting";
  const li = made("li", {}, made("strong", {}, `${job.state}: ${what}`));
  if (job.state === "running") {
    const parts = Object.entries(job.stages);
    const share = job.parts.length ? parts.reduce((a, [, [, s]]) => a + s, 0) / job.parts.length : null;
    const bar = made("progress", { "aria-label": `progress of ${what}`, max: "1" });
    if (share) bar.value = Math.min(1, share);
    li.append(bar, made("span", { class: "stages" }, parts.slice(-2).map(([p, [s, f]]) => `${p ? p + ": " : ""}${s}${f > 0 && f < 1 ? ` ${Math.round(100 * f)} %` : ""}`).join("; ")));
  }
  if (job.seconds) li.append(made("span", {}, duration(job.seconds)));
  if (job.words) li.append(made("span", {}, job.words));
  for (const n of job.notes) li.append(made("span", { class: "stages" }, n));
  if (busy) {
    const stop = made("button", { type: "button" }, "Stop");
    stop.addEventListener("click", () => order("stop", { id: job.id }));
    li.append(stop);
  } else {
    const away = made("button", { type: "button", "aria-label": `Put away: ${job.state}, ${what}` }, "Put away");
    away.addEventListener("click", () => { seen.add(job.id); show(state); });
    li.append(away);
  }
  return li;
}

function show(s) {
  if (first) for (const j of s.jobs) if (j.state === "done" || j.state === "stopped") seen.add(j.id);
  first = false;
  const listed = s.jobs.filter((j) => j.state === "running" || j.state === "waiting" || (!seen.has(j.id) && !(j.kept && j.state === "done")));
  strip.hidden = !listed.length;
  strip.replaceChildren(made("ul", {}, ...listed.map(line)));
  document.documentElement.dataset.busy = String(s.jobs.some((j) => j.state === "running" || j.state === "waiting"));
  if (run !== null && run !== s.run && s.run) {
    const again = made("button", { type: "button" }, "Show them");
    again.addEventListener("click", () => location.reload());
    fresh.replaceChildren("New answers are there. ", again);
    fresh.hidden = false;
    if (!touched && !document.querySelector("form#editor, #work")) location.reload();  // what was typed would be lost
  }
  if (run === null) run = s.run;
}

// A tab that is not seen listens to nothing: a browser keeps six lines open to one address, for all tabs together.
let source = null, lost = false;
function listen() {
  source?.close();
  source = null;
  if (document.hidden) return;
  source = new EventSource("/events");
  source.onmessage = (e) => { state = JSON.parse(e.data); show(state); for (const f of heard) f(state); document.documentElement.dataset.state = "known"; if (lost) { lost = false; fresh.hidden = true; } };
  source.onerror = () => { lost = true; fresh.replaceChildren("The page is not answered: printworthy serve has ended or is starting. What is written is kept."); fresh.hidden = false; };
}
document.addEventListener("visibilitychange", listen);
listen();

for (const b of document.querySelectorAll("[data-assess]")) {
  b.addEventListener("click", async () => {
    try { await order("assess", { parts: b.dataset.assess ? [b.dataset.assess] : [] }); }
    catch (error) { fresh.replaceChildren(error.message); fresh.hidden = false; }
  });
}
