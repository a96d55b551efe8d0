// Turning, moving and zooming the picture by pointer, wheel and keys.
import { plus, scaled } from "/static/space.js";

// `clicked(x, y)` hears of a click that moved nothing, in pixels of the canvas.
export function hands(view, clicked) {
  const { canvas } = view;
  let from = null, far = 0;
  canvas.addEventListener("pointerdown", (e) => { canvas.setPointerCapture(e.pointerId); from = [e.clientX, e.clientY]; far = 0; canvas.focus({ preventScroll: true }); });
  canvas.addEventListener("pointermove", (e) => {
    if (!from) return;
    const [dx, dy] = [e.clientX - from[0], e.clientY - from[1]];
    far += Math.abs(dx) + Math.abs(dy);
    from = [e.clientX, e.clientY];
    if (e.shiftKey || e.buttons === 2 || e.buttons === 4) view.pan = [view.pan[0] - dx / view.zoom, view.pan[1] + dy / view.zoom];
    else { view.azimuth -= 0.008 * dx; view.elevation = Math.max(-1.57, Math.min(1.57, view.elevation + 0.008 * dy)); }
    view.draw(true);
  });
  canvas.addEventListener("pointerup", (e) => { if (from && far < 5 && e.button === 0) clicked(e.offsetX, e.offsetY); from = null; });
  canvas.addEventListener("contextmenu", (e) => e.preventDefault());
  canvas.addEventListener("wheel", (e) => {
    e.preventDefault();
    const f = Math.exp(-0.0012 * e.deltaY), x = (e.offsetX - canvas.clientWidth / 2) / view.zoom, y = (canvas.clientHeight / 2 - e.offsetY) / view.zoom;
    view.pan = [view.pan[0] + x * (1 - 1 / f), view.pan[1] + y * (1 - 1 / f)];
    view.zoom *= f;
    view.draw(true);
  }, { passive: false });
  canvas.addEventListener("keydown", (e) => {
    const step = { ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
    if (step && e.shiftKey) view.pan = plus([...view.pan, 0], [...scaled([...step, 0], 24 / view.zoom)].slice(0, 3)).slice(0, 2);
    else if (step) { view.azimuth += 0.09 * step[0]; view.elevation = Math.max(-1.57, Math.min(1.57, view.elevation - 0.09 * step[1])); }
    else if (e.key === "+" || e.key === "=") view.zoom *= 1.15;
    else if (e.key === "-") view.zoom /= 1.15;
    else if (e.key.toLowerCase() === "f") view.fit();
    else if (/^[1-6]$/.test(e.key)) look(view, String(Number(e.key) - 1));
    else if (e.key === "Enter") clicked(canvas.clientWidth / 2, canvas.clientHeight / 2);
    else return;
    e.preventDefault();
    view.draw();
  });
}

// Look along an axis of the part ("0" to "5": +x, +y, +z, -x, -y, -z), or only fit it ("fit").
export function look(view, which) {
  if (which === "fit") view.fit();
  else {
    const k = Number(which);
    view.lookFrom([0, 1, 2].map((i) => (i === k % 3 ? (k < 3 ? 1 : -1) : 0)));
    view.fit();
  }
  view.draw();
}
